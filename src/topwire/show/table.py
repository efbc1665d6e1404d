"""A titled table as every face takes it: terminal, page, book and spreadsheet."""

import math
from dataclasses import dataclass
from enum import StrEnum


class Figure(float):
    """A number with the digits it deserves.

    It stays a number for a spreadsheet or JSON; `str` gives what a person reads ("1,240", "0.7").
    """

    digits: int

    def __new__(cls, value: float, digits: int = 0) -> "Figure":
        made = super().__new__(cls, value)
        made.digits = digits
        return made

    def __str__(self) -> str:
        number = round(float(self), self.digits)
        return f"{0.0 if number == 0 else number:,.{self.digits}f}"  # no "-0"


UNKNOWN = "–"
Cell = str | int | Figure


def figure(value: float | None, digits: int = 0) -> Cell:
    """`value` to `digits`; a dash where it is not known."""
    return UNKNOWN if value is None or not math.isfinite(value) else Figure(value, digits)


class StandsIn(StrEnum):
    """Where the book prints a sheet; the spreadsheet holds them all."""

    CHAPTER = "chapter"  # its department's
    SURENESS = "sureness"  # the chapter on how sure the plan is
    SPREADSHEET = "spreadsheet"  # too long, or told in the book another way


@dataclass(frozen=True)
class Table:
    """Rows under captions.

    Attributes
    ----------
    title : what the table tells
    columns : captions, each with its unit after a comma ("row length, ft")
    rows : cells in the order of the captions
    rests_on : one line on what the figures rest on
    notes : further lines under the table
    widths : share of the page each column takes in print; empty = by content
    charts : names of the charts that tell the same
    name : of the sheet it was printed from
    stands_in : where the book prints it
    """

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    rests_on: str = ""
    notes: tuple[str, ...] = ()
    widths: tuple[float, ...] = ()
    charts: tuple[str, ...] = ()
    name: str = ""
    stands_in: StandsIn = StandsIn.CHAPTER

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row) != len(self.columns):
                raise ValueError(
                    f"“{self.title}”: a row of {len(row)} cells under {len(self.columns)} captions"
                )

    def is_number(self, column: int) -> bool:
        """Whether the column holds numbers, to be set flush right."""
        cells = [row[column] for row in self.rows if row[column] != UNKNOWN]
        return bool(cells) and all(isinstance(cell, (int, float)) for cell in cells)
