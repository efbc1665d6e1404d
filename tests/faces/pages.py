"""Pages of a book as pictures, to be measured."""

import io
from collections.abc import Iterator
from typing import Any

import numpy as np
import numpy.typing as npt
from PIL import Image

from topwire.book.blocks import Book
from topwire.book.build import typeset

BANDS = 40  # strips a page's text is cut into; one is filled where it holds ink
DOTS = 48  # an inch
EDGE, HEAD, FOOT = (round(mm * DOTS / 25.4) for mm in (19, 23, 20))
Page = npt.NDArray[np.bool_]


def blocks_of(value: Any, kind: str) -> Iterator[dict[str, Any]]:
    """Every block of a kind, wherever it stands in the book."""
    if isinstance(value, dict):
        if value.get("kind") == kind:
            yield value
        for inner in value.values():
            yield from blocks_of(inner, kind)
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from blocks_of(inner, kind)


def pages_of(book: Book) -> list[Page]:
    """Where each page holds ink."""
    drawn = typeset("book", book.data, book.drawings, pictures=DOTS)
    return [np.asarray(Image.open(io.BytesIO(page)).convert("L")) < 200 for page in drawn]


def filled(page: Page) -> float:
    """Share of a page's bands that hold ink."""
    body = page[HEAD:-FOOT].any(axis=1)
    return float(np.mean([band.any() for band in np.array_split(body, BANDS)]))
