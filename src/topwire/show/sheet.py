"""Named Sheets of Columns: what every face prints. Rows hold SI values, the reader's units come last."""

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import Any

from topwire.show.table import UNKNOWN, Cell, Figure, Table
from topwire.show.table import StandsIn as StandsIn
from topwire.tell.reader import Reader
from topwire.values.calendar import day_label
from topwire.values.notice import Measured
from topwire.values.quantities import Plain, Quantity


class LinkKind(StrEnum):
    """What a cell or a column leads to."""

    SETTING = "setting"  # path in the plan
    TREE = "tree"
    CULTIVAR = "cultivar"
    SOURCE = "source"  # key of the bibliography
    TABLE = "table"  # of the catalogue


@dataclass(frozen=True)
class Link:
    kind: LinkKind
    name: str


def setting(*paths: str) -> tuple[Link, ...]:
    """Links to settings of the plan."""
    return tuple(Link(LinkKind.SETTING, path) for path in paths)


def table(*names: str) -> tuple[Link, ...]:
    """Links to tables of the catalogue."""
    return tuple(Link(LinkKind.TABLE, name) for name in names)


def source(*keys: str) -> tuple[Link, ...]:
    """Links to the bibliography."""
    return tuple(Link(LinkKind.SOURCE, key) for key in keys)


@dataclass(frozen=True)
class Linked:
    """A value that leads somewhere."""

    value: "Value"
    to: Link


def cultivar(name: str) -> Linked:
    """A cultivar's name that leads to it."""
    return Linked(name, Link(LinkKind.CULTIVAR, name))


Bare = bool | int | float | str | date | Measured | tuple[float, ...] | None  # several lengths a tape shows
Value = Bare | Linked


@dataclass(frozen=True)
class Column:
    """One column: its name for machines, its caption for people, what it measures, how finely, and where it is found.

    Attributes
    ----------
    key : stable name, lower case with underscores; SI values stand under it in JSON
    caption : for people, without a unit
    quantity : what the numbers measure; None for words and for plain numbers
    digits : decimals shown; a pair where US and metric differ; None = the usual for the quantity
    width : share of a printed page the column takes; 0 = by content
    unit : a unit that is no quantity's (a currency), shown after the caption
    links : settings, tables and sources all its figures rest on
    of : attribute of a line that holds it, or a function of the line; its key where empty; names are listed
    words : what stands for each value, where it is one of a few
    leads : what kind of thing each of its values is the name of
    tape : lengths as a tape shows them ("31 ft 6 1/4 in")
    """

    key: str
    caption: str
    quantity: Quantity | None = None
    digits: int | tuple[int, int] | None = None
    width: float = 0.0
    unit: str = ""
    links: tuple[Link, ...] = ()
    of: Callable[[Any], Any] | str = ""
    words: Mapping[Any, str] | None = field(default=None, compare=False)
    leads: LinkKind | None = None
    tape: bool = False

    def cell(self, line: object) -> "Value":
        """What it shows of a line."""
        value = self.of(line) if callable(self.of) else getattr(line, self.of or self.key)
        if self.words is not None:
            value = self.words[value]
        if isinstance(value, tuple) and not self.tape:
            value = ", ".join(map(str, value)) or None
        return Linked(value, Link(self.leads, value)) if self.leads and value else value

    def heading(self, reader: Reader) -> str:
        unit = self.unit or reader.unit(self.quantity)
        return f"{self.caption}, {unit}" if unit else self.caption

    def places(self, reader: Reader) -> int:
        if self.digits is None:
            return reader.digits(self.quantity)
        return self.digits if isinstance(self.digits, int) else self.digits[0 if reader.us else 1]


@dataclass(frozen=True)
class Sheet:
    """Rows under columns, with a stable name ("trellis.bill").

    Attributes
    ----------
    rests_on : one line on what the figures rest on
    notes : further lines under the sheet
    charts : names of the charts that tell the same
    """

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]
    rests_on: str = ""
    notes: tuple[str, ...] = ()
    charts: tuple[str, ...] = ()
    stands_in: StandsIn = StandsIn.CHAPTER

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row) != len(self.columns):
                raise ValueError(f"{self.name}: a row of {len(row)} cells under {len(self.columns)} columns")


def sheet_of(
    name: str,
    title: str,
    columns: Sequence[Column],
    lines: Iterable[object],
    rests_on: str = "",
    notes: tuple[str, ...] = (),
    charts: tuple[str, ...] = (),
    stands_in: StandsIn = StandsIn.CHAPTER,
) -> Sheet:
    """A sheet whose columns know what they show of each line."""
    rows = tuple(tuple(column.cell(line) for column in columns) for line in lines)
    return Sheet(name, title, tuple(columns), rows, rests_on, notes, charts, stands_in)


def value_of(cell: Value) -> Bare:
    """The bare value of a cell."""
    while isinstance(cell, Linked):
        cell = cell.value
    return cell


def printed(sheet: Sheet, reader: Reader) -> Table:
    """The sheet in the reader's units."""
    widths = tuple(column.width for column in sheet.columns)
    return Table(
        sheet.title,
        tuple(column.heading(reader) for column in sheet.columns),
        tuple(
            tuple(
                _cell(value_of(cell), column, reader) for cell, column in zip(row, sheet.columns, strict=True)
            )
            for row in sheet.rows
        ),
        sheet.rests_on,
        sheet.notes,
        widths if all(widths) else (),
        sheet.charts,
        sheet.name,
        sheet.stands_in,
    )


def _cell(value: Bare, column: Column, reader: Reader) -> Cell:
    if value is None or (isinstance(value, float) and not math.isfinite(value)):
        return UNKNOWN
    if isinstance(value, bool):
        return "yes" if value else ""
    if isinstance(value, Measured):
        return reader.measured(value)
    if isinstance(value, date):
        return reader.date(value.isoformat())
    if isinstance(value, str):
        return value
    if isinstance(value, tuple) or column.tape:
        return ", ".join(map(reader.tape, value if isinstance(value, tuple) else (value,)))
    if column.quantity is Plain.DAY_OF_YEAR:
        return day_label(value)
    if column.quantity in (Plain.YEAR, Plain.WEEK):
        return str(round(value))
    if isinstance(value, int) and column.quantity is None:
        return value
    places = value.digits if isinstance(value, Figure) else column.places(reader)
    return Figure(reader.convert(value, column.quantity), places)
