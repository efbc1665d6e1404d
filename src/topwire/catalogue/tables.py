"""Tables of the trade: shipped CSV files, overridden row by row from the orchard's own folder.

A table's first column is its key. Cells that are empty are not known: they become None, never zero. Rows are turned
into frozen dataclasses whose field names are the columns.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, fields
from difflib import get_close_matches
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from topwire.catalogue.names import NO_NAMES, CultivarNames, bare_name, names_of
from topwire.catalogue.schema import TableSchema
from topwire.catalogue.schemas import SCHEMAS
from topwire.files.cells import read_cells
from topwire.files.own_file import own_text
from topwire.values.fault import Faults, FileNotice, fault

Row = TypeVar("Row")
CULTIVARS = "cultivars"
LEARNED = "learned"  # folder of figures from the records that the grower uses
OWN = "own"  # mark of a figure from the orchard's own folder
LARGEST = 5_000_000  # bytes of one own table
MOST_FAULTS = 40  # of one file, before reading it is given up
_MOVED = {  # tables that growers of earlier versions kept in the catalogue
    "own_dates": "records/bloom.csv",
    "own_takes": "records/takes.csv",
    "own_fruitlets": "records/fruitlets.csv",
}


@dataclass(frozen=True)
class RawRow:
    """One line as written: where it stands, and its cells by column."""

    where: str
    cells: Mapping[str, str]
    own: bool


@dataclass(frozen=True)
class RawTable:
    """One table: its columns and its rows by key, own rows already in place."""

    name: str
    columns: tuple[str, ...]
    rows: Mapping[str, RawRow]


def read_tables(
    own_folder: Path | None = None, *, learnt: bool = True, tried: Path | None = None
) -> Mapping[str, RawTable]:
    """All shipped tables, with the rows of `own_folder` laid over them.

    Between the two lie figures learnt from the records, of the folder `learned` beside it, where the grower uses them.

    Parameters
    ----------
    learnt : False = leave those out
    tried : a folder of such figures that are only tried, laid over those

    Raises
    ------
    Faults
        With every fault found in the own files: unknown table, unknown column, a cell that does not fit its column, a
        name that no other table has.
    """
    tables = dict(_shipped())
    faults: list[FileNotice] = []
    own = []
    if own_folder is not None:
        used = _files(own_folder.with_name(LEARNED)) if learnt else []
        own = [*used, *([] if tried is None else _files(tried)), *_files(own_folder)]
    for path in own:
        where = f"{path.parent.name}/{path.name}"
        if path.stem not in tables:
            faults.append(_no_such_table(path.stem, tables, where))
            continue
        try:
            text = own_text(path, where, path.name, LARGEST, "Save it as CSV (UTF-8).")
            names = names_of(row.cells for row in tables[CULTIVARS].rows.values())
            tables[path.stem], found = overlaid(
                tables[path.stem], SCHEMAS[path.stem], text, where, names, own=path.parent == own_folder
            )
            faults.extend(found)
        except Faults as unreadable:
            faults.extend(unreadable.notices)
    known = {name: table.rows for name, table in tables.items()}
    for path in own:
        if path.stem in tables:
            faults.extend(reference_faults(tables[path.stem], SCHEMAS[path.stem], known))
    if faults:
        raise Faults(faults)
    return tables


def _files(folder: Path) -> list[Path]:
    """Its tables, cultivars first, since other tables name them."""
    return sorted(folder.glob("*.csv"), key=lambda path: (path.stem != CULTIVARS, path.name))


def _no_such_table(name: str, tables: Mapping[str, RawTable], where: str) -> FileNotice:
    if name in _MOVED:
        return fault(where, "is a record, not a table of the catalogue.", f"Move it to {_MOVED[name]}.")
    near = get_close_matches(name, tables, n=1)
    remedy = f"Did you mean {near[0]}.csv?" if near else f"Tables are {', '.join(sorted(tables))}."
    return fault(where, f"there is no table “{name}”.", remedy)


def reference_faults(
    table: RawTable, schema: TableSchema, known: Mapping[str, Collection[str]]
) -> list[FileNotice]:
    """Names in own rows that the table they refer to does not have; a name a shipped row uses is taken too."""
    faults = []
    for column in schema.columns:
        if not column.refers:
            continue
        names = {*known[column.refers]}
        names |= {name for row in table.rows.values() if not row.own for name in _names(row, column.name)}
        for row in table.rows.values():
            for name in _names(row, column.name) if row.own else ():
                if name not in names:
                    near = get_close_matches(name, names, n=2, cutoff=0.6)
                    remedy = (
                        f"Did you mean {' or '.join(near)}?" if near else f"Add it to {column.refers}.csv."
                    )
                    says = f"{column.refers}.csv has no “{name}”."
                    faults.append(fault(f"{row.where}, column {column.name}", says, remedy))
    return faults


def _names(row: RawRow, column: str) -> list[str]:
    return [part.strip() for part in row.cells.get(column, "").split("|") if part.strip()]


def typed_rows(table: RawTable, row_type: type[Row]) -> tuple[Row, ...]:
    """The rows of `table` as `row_type`, a frozen dataclass with one field per column.

    Lists are written with “|” between the items. An empty cell is None; where the field may not be None that is a
    fault.

    Raises
    ------
    Faults
        With file, line and column of every cell that does not fit.
    """
    adapter = _adapter(row_type)  # type: ignore[arg-type]
    lists = {field.name for field in fields(row_type) if "tuple" in str(field.type)}  # type: ignore[arg-type]
    names = [field.name for field in fields(row_type)]  # type: ignore[arg-type]
    faults: list[FileNotice] = []
    made: list[Row] = []
    for raw in table.rows.values():
        cells: dict[str, Any] = {}
        for name in names:
            text = raw.cells.get(name, "").strip()
            if name in lists:
                cells[name] = tuple(part.strip() for part in text.split("|") if part.strip())
            else:
                cells[name] = text or None
        try:
            made.append(adapter.validate_python(cells))
        except ValidationError as error:
            for item in error.errors():
                column = str(item["loc"][0]) if item["loc"] else names[0]
                said = raw.cells.get(column, "")
                faults.append(
                    fault(f"{raw.where}, column {column}", f"“{said}” does not fit: {item['msg']}.")
                )
    if faults:
        raise Faults(faults)
    return tuple(made)


@cache
def _adapter(row_type: Any) -> TypeAdapter[Any]:
    """The way from cells to a row; making it takes longer than reading most tables."""
    return TypeAdapter(row_type)


@cache
def _shipped() -> Mapping[str, RawTable]:
    tables = {}
    for entry in sorted(files("topwire.catalogue").joinpath("data").iterdir(), key=lambda item: item.name):
        if entry.name.endswith(".csv"):
            name = entry.name.removesuffix(".csv")
            columns, lines = read_cells(entry.read_text(encoding="utf-8"), entry.name)
            rows = {}
            for number, cells in lines:
                key = cells[columns[0]]
                if key in rows:
                    raise ValueError(f"{entry.name}, line {number}: “{key}” stands twice")
                rows[key] = RawRow(f"{entry.name}, line {number}", cells, own=False)
            tables[name] = RawTable(name, columns, rows)
    return tables


def _as_one(key: str, table: str) -> str:
    """What keys have in common that differ in capitals alone; cultivars in signs too, which find no cultivar."""
    return bare_name(key) or key if table == CULTIVARS else key.casefold()


def _by_catalogue_name(
    cells: Mapping[str, str], schema: TableSchema, names: CultivarNames
) -> Mapping[str, str]:
    """A line with its cultivars by the catalogue's names. An own cultivar may bear a synonym, but no trade mark."""
    found = {
        column.name: names.catalogue_name(cells[column.name])
        for column in schema.columns
        if column.refers == CULTIVARS and column.name in cells
    }
    if schema.name == CULTIVARS:
        other = names.others.get(bare_name(cells.get("name", "")))
        if other is not None and other.trade_mark:
            found["name"] = other.cultivar
    return {**cells, **found}


def overlaid(
    table: RawTable,
    schema: TableSchema,
    text: str,
    where: str,
    names: CultivarNames = NO_NAMES,
    *,
    own: bool = True,
) -> tuple[RawTable, list[FileNotice]]:
    """A table with the rows of `text` over its own, and what is wrong with them.

    Cultivars written by another name are taken by the catalogue's.

    Parameters
    ----------
    own : the rows are the grower's own and stand as they are; False for single figures learnt, beside which all else
        that is known of a row goes on

    Raises
    ------
    Faults
        Where `text` is no comma-separated table.
    """
    columns, lines = read_cells(text, where)
    faults = []
    for column in columns:
        if column not in table.columns:
            near = get_close_matches(column, table.columns, n=1)
            remedy = f"Did you mean “{near[0]}”?" if near else f"Columns are {', '.join(table.columns)}."
            faults.append(fault(f"{where}, line 1", f"there is no column “{column[:60]}”.", remedy))
    key_column = table.columns[0]
    if key_column not in columns:
        faults.append(
            fault(f"{where}, line 1", f"the column “{key_column}” is missing.", "Each row needs its key.")
        )
    if faults:
        return table, faults
    rows = dict(table.rows)
    seen: dict[str, int] = {}
    spelt = {_as_one(key, table.name): key for key in rows}
    for number, written in lines:
        cells = _by_catalogue_name(written, schema, names)
        key = cells.get(key_column, "")
        line = f"{where}, line {number}"
        if not key:
            faults.append(fault(line, f"the row has no {key_column}."))
            continue
        if key in seen:
            faults.append(
                fault(line, f"“{key[:60]}” stands in line {seen[key]} already.", "Keep one of the two.")
            )
            continue
        seen[key] = number
        there = spelt.setdefault(_as_one(key, table.name), key)
        if there != key:
            says = f"“{key[:60]}” would stand beside “{there}”, from which its spelling alone parts it."
            faults.append(fault(f"{line}, column {key_column}", says, f"Write {there}."))
            continue
        shipped = dict(rows[key].cells) if key in rows else dict.fromkeys(table.columns, "")
        given = {column: value for column, value in cells.items() if value}
        if "mark" in table.columns and "mark" not in given:
            given["mark"] = OWN
        rows[key] = RawRow(line, shipped | given, own)
        faults += [
            fault(
                f"{line}, column {column}",
                f"“{said[:60]}” does not fit: {wrong.rstrip('?')}{'?' if wrong.endswith('?') else '.'}",
            )
            for column, said, wrong in schema.row_faults(rows[key].cells)
        ]
        if len(faults) > MOST_FAULTS:
            return table, [*faults, fault(where, "has more such lines; mend these first.")]
    return RawTable(table.name, table.columns, rows), faults
