"""What to bring out and lay down, in the order of a walk up one row and down the next."""

from collections import Counter
from dataclasses import dataclass

import numpy as np

from topwire.layout.findings import Ground, Layout
from topwire.values.address import row_name


@dataclass(frozen=True)
class Bundle:
    """Trees of one cultivar on one stock that stand side by side in a row; `first`, `last` place as they are met."""

    row: str  # “South 3”
    from_start: bool  # walked from the end where places are counted from
    first: int
    last: int
    cultivar: str
    code: str
    rootstock: str
    trees: int


@dataclass(frozen=True)
class Load:
    """All new trees of a cultivar on one stock, in so many bundles."""

    cultivar: str
    code: str
    rootstock: str
    trees: int
    bundles: int


def bundles(ground: Ground, layout: Layout) -> tuple[Bundle, ...]:
    """Every run of new trees, row after row: odd rows from their start, even ones from their end.

    Rows without new trees are not walked.
    """
    found: list[Bundle] = []
    back = False
    for b, block in enumerate(ground.blocks):
        for r, row in enumerate(block.rows):
            here = np.flatnonzero((ground.block == b) & (ground.row == r))
            kind = np.where(layout.standing[here], -1, layout.cultivar[here])
            if (kind < 0).all():
                continue
            cuts = np.flatnonzero(np.diff(kind) != 0) + 1
            pieces = [piece for piece in np.split(here, cuts) if not layout.standing[piece[0]]]
            for piece in reversed(pieces) if back else pieces:
                number = int(layout.cultivar[piece[0]])
                if number < 0:
                    continue
                first, last = int(ground.place[piece[0]]), int(ground.place[piece[-1]])
                found.append(
                    Bundle(
                        row_name(block.name, row.number),
                        not back,
                        last if back else first,
                        first if back else last,
                        layout.cultivars[number],
                        layout.codes[number],
                        layout.rootstock[number],
                        piece.size,
                    )
                )
            back = not back
    return tuple(found)


def loads(listed: tuple[Bundle, ...]) -> tuple[Load, ...]:
    """The bundles together by cultivar and stock, in the order of the codes."""
    trees: Counter[tuple[str, str, str]] = Counter()
    count: Counter[tuple[str, str, str]] = Counter()
    for bundle in listed:
        key = (bundle.code, bundle.cultivar, bundle.rootstock)
        trees[key] += bundle.trees
        count[key] += 1
    return tuple(
        Load(cultivar, code, stock, trees[code, cultivar, stock], count[code, cultivar, stock])
        for code, cultivar, stock in sorted(trees, key=lambda key: (key[0].lower(), key))
    )
