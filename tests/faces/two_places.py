"""One figure in all the places a person may meet it: book, pages, spreadsheet, files and JSON of one plan."""

import csv
import html
import io
import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import openpyxl
from pypdf import PdfReader
from web.desk import browsing, keep_plan

from topwire.book.build import book_pdf
from topwire.engine.orchard import Orchard
from topwire.engine.store import as_json
from topwire.export.comma import trees
from topwire.export.spreadsheet import spreadsheet
from topwire.show.table import Table
from topwire.show.tables import every_table

PAGES = ("place", "choice", "press", "ground", "trellis", "water", "soil", "nursery", "years", "ledger")


@dataclass(frozen=True)
class Places:
    """What stands where.

    Attributes
    ----------
    book : text of each page
    pages : text of each web page, tags left out
    sheets : worksheets as rows of cells
    tables : as the faces draw them
    """

    orchard: Orchard
    book: list[str]
    pages: dict[str, str]
    sheets: dict[str, list[tuple[Any, ...]]]
    tables: dict[str, Table]
    data: Any
    trees: list[dict[str, str]]

    def sheet(self, name: str) -> list[tuple[Any, ...]]:
        """Rows of a worksheet below its captions."""
        return self.sheets[name.replace(".", " ")][1:]


@contextmanager
def places_of(orchard: Orchard, folder: Path) -> Iterator[Places]:
    """All of them, of a plan worked out from the files of `folder`."""
    keep_plan(folder, orchard)
    with browsing(folder) as browser:
        pages = {name: bare(browser.get(f"/{name}").text) for name in PAGES}
    book = openpyxl.load_workbook(io.BytesIO(spreadsheet(orchard)), read_only=True, data_only=True)
    yield Places(
        orchard,
        [page.extract_text() for page in PdfReader(io.BytesIO(book_pdf(orchard))).pages],
        pages,
        {sheet.title: list(sheet.iter_rows(values_only=True)) for sheet in book.worksheets},
        {table.name: table for table in every_table(orchard)},
        json.loads(as_json(orchard)),
        list(csv.DictReader(io.StringIO(trees(orchard).decode("utf-8-sig")))),
    )


def bare(page: str) -> str:
    """A page's words without its tags, scripts and gaps."""
    words = re.sub(r"<(script|style)\b.*?</\1>", " ", page, flags=re.DOTALL)
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", words)))


def numbers(words: str) -> list[float]:
    return [float(number.replace(",", "")) for number in re.findall(r"\d[\d,]*(?:\.\d+)?", words)]
