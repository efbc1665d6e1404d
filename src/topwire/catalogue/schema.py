"""What a column of a table may hold: its sort, its unit, its bounds; and what is wrong with a cell.

One schema per table (`catalogue/schemas`, `records/schemas.py`) types every own row when it is read and makes the
reference of the columns; the dataclasses of the rooms are views of it.
"""

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from enum import StrEnum
from itertools import pairwise

from topwire.files.plain_text import unprintable


class Sort(StrEnum):
    """How a cell is written."""

    TEXT = "text"
    NUMBER = "number"
    WHOLE = "whole number"
    CHOICE = "one of"
    LIST = "list"
    DATE = "date"


@dataclass(frozen=True)
class TableColumn:
    """One column.

    Attributes
    ----------
    name, says : as the header has it, and what it is
    sort : how a cell is written
    needed : False where an empty cell means "not known"
    unit : of a number, as written; empty where it has none
    low, high : least and most a number may be
    over : the number has to be above `low`, not at it
    choices : the words a CHOICE takes
    refers : table whose key a cell names
    """

    name: str
    says: str
    sort: Sort = Sort.TEXT
    needed: bool = True
    unit: str = ""
    low: float = -math.inf
    high: float = math.inf
    over: bool = False
    choices: tuple[str, ...] = ()
    refers: str = ""

    @property
    def bounds(self) -> str:
        """The bounds in words; empty where there are none."""
        if math.isinf(self.high):
            return ""
        least = f"above {self.low:g}" if self.over else f"{self.low:g}"
        return f"{least} to {self.high:,g}"

    def wrong(self, text: str) -> str:
        """What is wrong with a cell, in words that complete "… does not fit: …"; empty where nothing is."""
        if not text:
            return "it may not be empty" if self.needed else ""
        found = unprintable(text)
        if found:
            return f"it holds {found}"
        if len(text) > LONGEST_CELL:
            return f"it has {len(text):,} signs; a cell has at most {LONGEST_CELL:,}"
        if self.sort in (Sort.NUMBER, Sort.WHOLE):
            return self._wrong_number(text)
        if self.sort is Sort.CHOICE and text not in self.choices:
            near = get_close_matches(text, self.choices, n=1)
            said = f"did you mean “{near[0]}”" if near else f"write {', '.join(self.choices)}"
            return said + ("?" if near else "")
        if self.sort is Sort.DATE:
            return "" if _is_date(text) else "write a date as 2024-04-28"
        return ""

    def _wrong_number(self, text: str) -> str:
        kind = "a whole number" if self.sort is Sort.WHOLE else "a number"
        said = f"{kind}, {self.bounds}" if self.bounds else kind
        said += f" {self.unit}" if self.unit else ""
        if len(text) > LONGEST_NUMBER or not _NUMBER.fullmatch(text):
            return f"write {said}"
        value = float(text)
        if not math.isfinite(value) or (self.sort is Sort.WHOLE and not value.is_integer()):
            return f"write {said}"
        if value > self.high or value < self.low or (self.over and value == self.low):
            return f"write {said}"
        return ""


@dataclass(frozen=True)
class TableSchema:
    """One table: its key is the first column; along each tuple in `rising` figures may not fall."""

    name: str
    says: str
    columns: tuple[TableColumn, ...]
    rising: tuple[tuple[str, ...], ...] = ()

    @property
    def column(self) -> Mapping[str, TableColumn]:
        """Columns by name."""
        return {column.name: column for column in self.columns}

    def row_faults(self, cells: Mapping[str, str]) -> list[tuple[str, str, str]]:
        """(column, cell, what is wrong) of one row."""
        found = []
        for column in self.columns:
            wrong = column.wrong(cells.get(column.name, ""))
            if wrong:
                found.append((column.name, cells.get(column.name, ""), wrong))
        if not found:
            for names in self.rising:
                known = [(name, float(cells[name])) for name in names if cells.get(name)]
                for (before, least), (after, most) in pairwise(known):
                    if most < least:
                        found.append((after, cells[after], f"it is below {before}, which is {least:g}"))
        return found


LONGEST_CELL = 2_000
LONGEST_NUMBER = 40
_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d{1,3})?", re.ASCII)


def _is_date(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return len(text) == 10


def text(name: str, says: str, *, needed: bool = True, refers: str = "") -> TableColumn:
    return TableColumn(name, says, Sort.TEXT, needed, refers=refers)


def listed(name: str, says: str, *, refers: str = "") -> TableColumn:
    return TableColumn(name, says, Sort.LIST, needed=False, refers=refers)


def day(name: str, says: str) -> TableColumn:
    return TableColumn(name, says, Sort.DATE)


def choice(name: str, says: str, words: Iterable[str], *, needed: bool = True) -> TableColumn:
    return TableColumn(name, says, Sort.CHOICE, needed, choices=tuple(map(str, words)))


def number(
    name: str, says: str, unit: str, low: float, high: float, *, needed: bool = True, over: bool = False
) -> TableColumn:
    return TableColumn(name, says, Sort.NUMBER, needed, unit, low, high, over)


def positive(name: str, says: str, unit: str, high: float, *, needed: bool = True) -> TableColumn:
    return number(name, says, unit, 0.0, high, needed=needed, over=True)


def whole(name: str, says: str, low: float, high: float, *, needed: bool = True) -> TableColumn:
    return TableColumn(name, says, Sort.WHOLE, needed, low=low, high=high)


SOURCE = text("source", "key in the bibliography", needed=False)
MARK = text("mark", "READ, MEMORY, proposal or own: how the figure is known", needed=False)
REMARK = text("remark", "anything worth saying", needed=False)
EVIDENCE = text("evidence", "mark and source of single columns: ploidy=READ:KEY; pollen=MEMORY", needed=False)
CURRENCY = TableColumn("currency", "three letters", needed=False)
SOURCED = (SOURCE, MARK)
REMARKED = (SOURCE, MARK, REMARK)
