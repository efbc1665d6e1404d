"""A Sheet as a page shows it: cells that lead where they lead, and under it what its figures rest on."""

from dataclasses import dataclass
from itertools import chain
from urllib.parse import quote

from topwire.show.cited import keys_in
from topwire.show.sheet import Link, Linked, LinkKind, Sheet, Value, printed
from topwire.show.table import UNKNOWN
from topwire.sources import bibliography
from topwire.tell.reader import Reader

FIRST_ROWS = 30  # of a long sheet; the rest is a press away


@dataclass(frozen=True)
class Shown:
    """One cell: what it says, where it leads, and whether it is a number."""

    says: str
    leads: str = ""
    number: bool = False


@dataclass(frozen=True)
class Leads:
    """A link under a sheet: what stands there, and where."""

    says: str
    to: str


@dataclass(frozen=True)
class SheetView:
    name: str
    title: str
    headings: tuple[Shown, ...]
    rows: tuple[tuple[Shown, ...], ...]
    more: int  # rows that are not shown
    rests_on: str
    notes: tuple[str, ...]
    charts: tuple[str, ...]
    settings: tuple[Leads, ...]
    sources: tuple[Leads, ...]
    tables: tuple[str, ...]


def view(sheet: Sheet, reader: Reader, most: int | None = FIRST_ROWS) -> SheetView:
    """The sheet in the reader's units, its first `most` rows."""
    table = printed(sheet, reader)
    numbers = [table.is_number(column) for column in range(len(table.columns))]
    kept = len(sheet.rows) if most is None or len(sheet.rows) <= most + 5 else most
    rows = tuple(
        tuple(
            Shown(str(said), address_of(cell), number and said != UNKNOWN)
            for said, cell, number in zip(line, cells, numbers, strict=True)
        )
        for line, cells in zip(table.rows[:kept], sheet.rows[:kept], strict=True)
    )
    links = list(dict.fromkeys(link for column in sheet.columns for link in column.links))
    sources = [link.name for link in links if link.kind is LinkKind.SOURCE]
    for cell in chain.from_iterable(sheet.rows):
        if isinstance(cell, Linked) and cell.to.kind is LinkKind.SOURCE:
            sources += keys_in(cell.to.name)
    return SheetView(
        sheet.name,
        sheet.title,
        tuple(Shown(said, number=number) for said, number in zip(table.columns, numbers, strict=True)),
        rows,
        len(sheet.rows) - kept,
        sheet.rests_on,
        sheet.notes,
        sheet.charts,
        tuple(Leads(link.name, to(link)) for link in links if link.kind is LinkKind.SETTING),
        tuple(_source(key) for key in dict.fromkeys(sources) if key in bibliography()),
        tuple(link.name for link in links if link.kind is LinkKind.TABLE),
    )


def address_of(cell: Value) -> str:
    """Where a cell leads; empty where nowhere."""
    return to(cell.to) if isinstance(cell, Linked) else ""


def to(link: Link) -> str:
    """The address of what a link names."""
    name = quote(link.name, safe="")
    if link.kind is LinkKind.SETTING:
        return f"/plan?at={name}"
    if link.kind is LinkKind.TREE:
        return f"/tree?at={name}"
    if link.kind is LinkKind.CULTIVAR:
        return f"/cultivar?name={name}"
    if link.kind is LinkKind.SOURCE:
        return f"/sources#{quote(keys_in(link.name)[0] if keys_in(link.name) else link.name, safe='')}"
    return ""


def _source(key: str) -> Leads:
    source = bibliography()[key]
    return Leads(f"{source.citation} ({source.mark})", f"/sources#{quote(key, safe='')}")
