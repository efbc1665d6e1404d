"""Tables of the trade: shipped CSV files, overridden row by row from the orchard's own folder.

A table's first column is its key. Cells that are empty are not known: they become None, never zero. Rows are turned
into frozen dataclasses whose field names are the columns.
"""

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass, fields
from difflib import get_close_matches
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from topwire.notices import Faults, Notice, fault

Row = TypeVar("Row")
OWN = "own"  # mark of a figure from the orchard's own folder


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


def read_tables(own_folder: Path | None = None) -> Mapping[str, RawTable]:
    """All shipped tables, with the rows of `own_folder` laid over them.

    Raises
    ------
    Faults
        With every fault found in the own files: unknown table, unknown column, a line of another length.
    """
    tables = dict(_shipped())
    faults: list[Notice] = []
    if own_folder is not None and own_folder.is_dir():
        for path in sorted(own_folder.glob("*.csv")):
            where = f"catalogue/{path.name}"
            if path.stem not in tables:
                near = get_close_matches(path.stem, tables, n=1)
                remedy = (
                    f"Did you mean {near[0]}.csv?" if near else f"Tables are {', '.join(sorted(tables))}."
                )
                faults.append(fault(where, f"there is no table “{path.stem}”.", remedy))
                continue
            try:
                text = path.read_text(encoding="utf-8-sig")
            except UnicodeDecodeError:
                faults.append(fault(where, "is not a text file in UTF-8.", "Save it as CSV (UTF-8)."))
                continue
            table, found = _overlay(tables[path.stem], text, where)
            tables[path.stem] = table
            faults.extend(found)
    if faults:
        raise Faults(faults)
    return tables


def typed_rows(table: RawTable, row_type: type[Row]) -> tuple[Row, ...]:
    """The rows of `table` as `row_type`, a frozen dataclass with one field per column.

    Lists are written with “|” between the items. An empty cell is None; where the field may not be None that is a
    fault.

    Raises
    ------
    Faults
        With file, line and column of every cell that does not fit.
    """
    adapter = TypeAdapter(row_type)
    lists = {field.name for field in fields(row_type) if "tuple" in str(field.type)}  # type: ignore[arg-type]
    names = [field.name for field in fields(row_type)]  # type: ignore[arg-type]
    faults: list[Notice] = []
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
def _shipped() -> Mapping[str, RawTable]:
    tables = {}
    for entry in sorted(files("topwire.catalogue").joinpath("data").iterdir(), key=lambda item: item.name):
        if entry.name.endswith(".csv"):
            name = entry.name.removesuffix(".csv")
            columns, lines = _parse(entry.read_text(encoding="utf-8"))
            rows = {}
            for number, cells in lines:
                key = cells[columns[0]]
                if key in rows:
                    raise ValueError(f"{entry.name}, line {number}: “{key}” stands twice")
                rows[key] = RawRow(f"{entry.name}, line {number}", cells, own=False)
            tables[name] = RawTable(name, columns, rows)
    return tables


def _parse(text: str) -> tuple[tuple[str, ...], list[tuple[int, dict[str, str]]]]:
    reader = csv.reader(io.StringIO(text))
    columns = tuple(name.strip() for name in next(reader, ()))
    lines = []
    for cells in reader:
        if any(cell.strip() for cell in cells):
            lines.append(
                (reader.line_num, dict(zip(columns, (cell.strip() for cell in cells), strict=False)))
            )
    return columns, lines


def _overlay(table: RawTable, text: str, where: str) -> tuple[RawTable, list[Notice]]:
    columns, lines = _parse(text)
    faults = []
    for column in columns:
        if column not in table.columns:
            near = get_close_matches(column, table.columns, n=1)
            remedy = f"Did you mean “{near[0]}”?" if near else f"Columns are {', '.join(table.columns)}."
            faults.append(fault(f"{where}, line 1", f"there is no column “{column}”.", remedy))
    key_column = table.columns[0]
    if key_column not in columns:
        faults.append(
            fault(f"{where}, line 1", f"the column “{key_column}” is missing.", "Each row needs its key.")
        )
    if faults:
        return table, faults
    rows = dict(table.rows)
    for number, cells in lines:
        key = cells.get(key_column, "")
        if not key:
            faults.append(fault(f"{where}, line {number}", f"the row has no {key_column}."))
            continue
        shipped = dict(rows[key].cells) if key in rows else dict.fromkeys(table.columns, "")
        given = {column: value for column, value in cells.items() if value}
        if "mark" in table.columns and "mark" not in given:
            given["mark"] = OWN
        rows[key] = RawRow(f"{where}, line {number}", shipped | given, own=True)
    return RawTable(table.name, table.columns, rows), faults
