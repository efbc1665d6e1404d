"""Labels for trees or runs: what they say, the QR code as modules, and where they stand on a sheet of plain labels."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice

from topwire.layout.findings import Ground, Layout

INCH = 0.0254
A4 = (0.210, 0.297)
LETTER = (8.5 * INCH, 11 * INCH)


@dataclass(frozen=True)
class LabelSheet:
    """A sheet of equal labels, all lengths in metres.

    `pitch_x`, `pitch_y` : from the left (top) edge of one label to that of the next.
    """

    name: str
    width: float
    height: float
    columns: int
    rows: int
    label_width: float
    label_height: float
    left: float
    top: float
    pitch_x: float
    pitch_y: float

    @property
    def per_sheet(self) -> int:
        return self.columns * self.rows


# Plain grids that fill the two common papers; a printed sheet is held against the light before the first real print.
SHEETS = (
    LabelSheet("A4, 3 by 8", *A4, 3, 8, 0.070, 0.037, 0.0, 0.0005, 0.070, 0.037),
    LabelSheet("A4, 2 by 7", *A4, 2, 7, 0.099, 0.038, 0.005, 0.0155, 0.101, 0.038),
    LabelSheet("letter, 3 by 10", *LETTER, 3, 10, 2.625 * INCH, INCH, 0.1875 * INCH, 0.5 * INCH, 2.75 * INCH, INCH),
    LabelSheet("letter, 2 by 5", *LETTER, 2, 5, 4 * INCH, 2 * INCH, 0.15 * INCH, 0.5 * INCH, 4.2 * INCH, 2 * INCH),
)  # fmt: skip


@dataclass(frozen=True)
class Label:
    """One label: three lines for people, one text for the QR code."""

    address: str  # “South 3, tree 41” or “South 3, trees 41 to 58”
    cultivar: str
    note: str  # short code, rootstock and year planted
    code: str


@dataclass(frozen=True)
class PlacedLabel:
    """A label on its sheet; `left`, `top` [m] of its corner on the paper."""

    sheet: int
    left: float
    top: float
    label: Label


def tree_labels(ground: Ground, layout: Layout) -> tuple[Label, ...]:
    """One label for each tree, in the order of the ground."""
    return tuple(
        Label(
            str(ground.address(index)),
            layout.cultivars[kind],
            _note(ground, layout, index, int(kind)),
            f"{ground.address(index)} | {layout.cultivars[kind]}",
        )
        for index, kind in enumerate(layout.cultivar)
        if kind >= 0
    )


def run_labels(ground: Ground, layout: Layout) -> tuple[Label, ...]:
    """One label for each run of a cultivar, for the post or wire where it begins."""
    at = {
        (ground.blocks[b].name, ground.blocks[b].rows[r].number, int(place)): index
        for index, (b, r, place) in enumerate(zip(ground.block, ground.row, ground.place, strict=True))
    }
    found = []
    for run in layout.runs:
        index = at[(run.block, run.row, run.first)]
        trees = f"tree {run.first}" if run.first == run.last else f"trees {run.first} to {run.last}"
        address = f"{run.block} {run.row}, {trees}"
        note = _note(ground, layout, index, int(layout.cultivar[index]))
        found.append(Label(address, run.cultivar, note, f"{address} | {run.cultivar}"))
    return tuple(found)


def qr_modules(text: str) -> tuple[tuple[bool, ...], ...]:
    """The QR code of `text` as rows of modules, True = dark, without the quiet zone of four modules.

    Level M of ISO/IEC 18004: a label that is scratched or splashed on a sixth of its code is still read.
    """
    import segno

    code = segno.make_qr(text, error="m", boost_error=False)
    return tuple(tuple(module == 1 for module in row) for row in code.matrix)


def place_labels(labels: Sequence[Label], sheet: LabelSheet, *, skip: int = 0) -> tuple[PlacedLabel, ...]:
    """Labels on as many sheets as they take, row by row; the first `skip` labels of the first sheet are used up.

    Raises
    ------
    ValueError
        When `skip` is more than a sheet holds.
    """
    if not 0 <= skip < sheet.per_sheet:
        raise ValueError(
            f"a sheet of {sheet.name} holds {sheet.per_sheet} labels; skip 0 to {sheet.per_sheet - 1}"
        )
    places = (
        (page, row, column)
        for page in range(-(-(len(labels) + skip) // sheet.per_sheet))
        for row in range(sheet.rows)
        for column in range(sheet.columns)
    )
    return tuple(
        PlacedLabel(page, sheet.left + column * sheet.pitch_x, sheet.top + row * sheet.pitch_y, label)
        for (page, row, column), label in zip(islice(places, skip, None), labels, strict=False)
    )


def _note(ground: Ground, layout: Layout, index: int, kind: int) -> str:
    stock = ground.standing_rootstock[index] if layout.standing[index] else layout.rootstock[kind]
    return f"{layout.codes[kind]}, {stock}, planted {int(layout.year_planted[index])}"
