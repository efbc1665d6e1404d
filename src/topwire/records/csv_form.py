"""Entries as CSV and back: one file of each kind, its columns made from the kind's fields.

A figure stands in its column's unit (`mass_kg`), or with a unit of its own in the cell (“120 lb”).
"""

import csv
import io
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, time
from difflib import get_close_matches
from enum import StrEnum
from functools import cache
from typing import Any
from uuid import UUID, uuid5

from topwire.catalogue.names import CultivarNames, bare_name
from topwire.files.cells import read_cells
from topwire.records.entries import ENTRY_TYPES, Entry, EntryKind, How, LabFigure
from topwire.records.form import EntryField, NotAnEntry, Written, check, check_days, fields_of
from topwire.values.fault import Faults, FileNotice, fault
from topwire.values.figures import hold_commas
from topwire.values.units import parse, unit_in

MOST_FAULTS = 40
_EVENING = time(20)  # a line that does not say when it was noted was noted on its day
# Of lines that bring no identity: the same line of a file read again is the same entry.
_ROWS = UUID("c1f4a4d2-1c86-4c6e-8f43-0d6a1a0f6f57")
_SUFFIX = {"%": "percent"}


def column_of(field: EntryField) -> str:
    """The column's name: the field's with its unit."""
    unit = field.fact.unit
    return f"{field.name}_{_SUFFIX.get(unit, unit.lower())}" if unit else field.name


def csv_of(kind: EntryKind, entries: Iterable[Entry]) -> str:
    """A file of entries of one kind, everything in it, so that reading it again changes nothing."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    known = fields_of(kind)
    writer.writerow([column_of(field) for field in known.values()])
    for entry in entries:
        writer.writerow([_cell(getattr(entry, name), field) for name, field in known.items()])
    return out.getvalue()


def _cell(value: Any, field: EntryField) -> str:
    if value is None:
        return ""
    if field.many:
        return "|".join(_cell(one, _one(field)) for one in value)
    if isinstance(value, LabFigure):
        return f"{value.name}={value.value!r} {value.unit}".strip()
    if isinstance(value, float):
        return f"{field.outside(value):.10g}"
    if isinstance(value, date):
        return value.isoformat()
    text = str(value)
    # An apostrophe keeps spreadsheets from taking a text for a formula; it is taken off again.
    return f"'{text}" if text[:1] in ("=", "+", "-", "@") else text


@cache
def _one(field: EntryField) -> EntryField:
    return replace(field, many=False)


def entries_of(
    text: str,
    kind: EntryKind,
    where: str,
    names: CultivarNames,
    *,
    blocks: Sequence[str] = (),
    today: date | None = None,
) -> tuple[Entry, ...]:
    """The entries of a file of one kind.

    Parameters
    ----------
    blocks : of the plan, which alone may be named, in capitals or not; none = any
    today : no entry may be of a later day; None = as for an invented orchard, any day will do

    Raises
    ------
    Faults
        With line and column of every cell that does not fit.
    """
    columns, lines = read_cells(text, where)
    known = fields_of(kind)
    by_column = {column_of(field): field for field in known.values()}
    faults = [
        _no_column(column, by_column, where) for column in columns if column and column not in by_column
    ]
    missing = [name for name, field in by_column.items() if field.needed and name not in columns]
    faults += [fault(f"{where}, line 1", f"the column “{name}” is missing.") for name in missing]
    if faults:
        raise Faults(faults)
    readers: list[tuple[str, EntryField, Callable[[str], Any]]] = [
        (column, by_column[column], _reader(by_column[column])) for column in columns if column
    ]
    made: list[Entry] = []
    entry_type = ENTRY_TYPES[kind]
    known_name = cache(lambda written: _known_name(written, names))
    known_block = cache(lambda written: _known_block(written, blocks))
    alike: Counter[str] = Counter()
    first: dict[str, tuple[int, Entry]] = {}
    for number, cells in lines:
        try:
            line = str(sorted(cells.items()))
            again = (
                f" {alike[line]}" if alike[line] else ""
            )  # two crates of one weight: two lines alike, two entries
            entry = _entry(entry_type, readers, cells, known_name, known_block, f"{kind}:{line}{again}")
            alike[line] += not cells.get("identity")
            if today is not None:
                check_days(entry, today)
            before, same_one = first.setdefault(entry.identity, (number, entry))
            if same_one != entry:
                raise NotAnEntry((("identity", f"line {before} has it too, and says something else"),))
            made.append(entry)
        except NotAnEntry as wrong:
            for name, says in wrong.wrong:
                column = column_of(known[name])
                said = f"“{cells.get(column, '')[:60]}”"
                told = says if says.startswith(said) else f"{said}: {says}"
                faults.append(fault(f"{where}, line {number}, column {column}", f"{told}."))
            if len(faults) > MOST_FAULTS:
                raise Faults([*faults, fault(where, "has more such lines; mend these first.")]) from None
    if faults:
        raise Faults(faults)
    return tuple(made)


def _no_column(column: str, known: Mapping[str, EntryField], where: str) -> FileNotice:
    near = get_close_matches(column, known, n=1)
    remedy = f"Did you mean “{near[0]}”?" if near else f"Columns are {', '.join(known)}."
    return fault(f"{where}, line 1", f"there is no column “{column[:60]}”.", remedy)


def _entry(
    entry_type: type[Entry],
    readers: Iterable[tuple[str, EntryField, Callable[[str], Any]]],
    cells: Mapping[str, str],
    known_name: Callable[[str], str],
    known_block: Callable[[str], str],
    line: str,
) -> Entry:
    values: dict[str, Any] = {"how": How.IMPORT}
    wrong = []
    for column, field, read in readers:
        cell = cells.get(column, "")
        if not cell:
            if field.needed:
                wrong.append((field.name, "it may not be empty"))
            continue
        try:
            values[field.name] = read(cell)
        except ValueError as error:
            wrong.append((field.name, str(error)))
    if wrong:
        raise NotAnEntry(tuple(wrong))
    if "cultivar" in values:
        values["cultivar"] = known_name(values["cultivar"])
    if (
        "block" in values and "identity" not in values
    ):  # what was an entry before may be of a block that is no more
        values["block"] = known_block(values["block"])
    if "noted" not in values:
        values["noted"] = datetime.combine(values["day"], _EVENING, tzinfo=UTC)
    if "identity" not in values:
        values["identity"] = str(uuid5(_ROWS, line))
    entry = entry_type(**values)
    try:
        check(entry)
    except NotAnEntry:
        check(entry, _written(readers, cells))  # told as it stands in the cell
        raise
    return entry


def _written(
    readers: Iterable[tuple[str, EntryField, Callable[[str], Any]]], cells: Mapping[str, str]
) -> dict[float, Written]:
    """Figures with a unit of their own in the cell, by their SI values."""
    parts = [
        (part.strip(), field.kind)
        for column, field, _ in readers
        if field.kind is not None
        for part in cells.get(column, "").split("|")
    ]
    return {
        parse(part, kind): Written(part[:60], unit_in(part, kind))
        for part, kind in parts
        if part and not _bare(part)
    }


def _bare(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


def _known_name(written: str, names: CultivarNames) -> str:
    name = names.catalogue_name(written)
    bare = bare_name(name)
    if names.own and bare not in names.own:
        near = get_close_matches(bare, names.own, n=1)
        remedy = f"did you mean {names.own[near[0]]}?" if near else "add it to catalogue/cultivars.csv"
        raise NotAnEntry((("cultivar", f"no cultivar of the catalogue; {remedy}"),))
    return name


def _known_block(written: str, blocks: Sequence[str]) -> str:
    """The block that is meant: as it is written, else capitals not minded."""
    meant = [name for name in blocks if name == written] or [
        name for name in blocks if name.casefold() == written.casefold()
    ]
    if blocks and len(meant) != 1:
        near = get_close_matches(written, blocks, n=1, cutoff=0.5)
        remedy = f"did you mean {near[0]}?" if near else f"blocks are {', '.join(blocks)}"
        raise NotAnEntry((("block", f"no block of the plan; {remedy}"),))
    return meant[0] if meant else written


def _reader(field: EntryField) -> Callable[[str], Any]:
    if field.many:
        one = _reader(_one(field))
        return lambda cell: tuple(one(part.strip()) for part in cell.split("|") if part.strip())
    if field.sort is LabFigure:
        return _lab_figure
    if field.sort is date:
        return _date
    if field.sort is datetime:
        return _time
    if field.sort is int:
        return _whole
    if field.sort is float:
        return lambda cell: _figure(cell, field)
    if issubclass(field.sort, StrEnum):
        return lambda cell: _choice(cell, field.sort)
    return lambda cell: cell[1:] if cell[:1] == "'" and cell[1:2] in ("=", "+", "-", "@") else cell


def _figure(cell: str, field: EntryField) -> float:
    try:
        return field.inside(float(cell))
    except ValueError:
        hold_commas(cell)
        if field.kind is None:
            raise ValueError(f"write a number, {field.bounds}") from None
        return parse(cell, field.kind)


def _whole(cell: str) -> int:
    if not cell.lstrip("-").isdecimal():
        raise ValueError("write a whole number")
    return int(cell)


def _date(cell: str) -> date:
    try:
        return date.fromisoformat(cell)
    except ValueError:
        raise ValueError("write a date as 2031-05-12") from None


def _time(cell: str) -> datetime:
    try:
        made = datetime.fromisoformat(cell)
    except ValueError:
        raise ValueError("write a time as 2031-05-12T18:30:00-04:00") from None
    return made if made.tzinfo is not None else made.replace(tzinfo=UTC)


def _choice(cell: str, words: type[StrEnum]) -> StrEnum:
    try:
        return words(cell)
    except ValueError:
        near = get_close_matches(cell, list(words), n=1)
        said = f"did you mean “{near[0]}”?" if near else f"write {', '.join(words)}"
        raise ValueError(said) from None


def _lab_figure(cell: str) -> LabFigure:
    name, _, figure = cell.partition("=")
    value, _, unit = figure.strip().partition(" ")
    try:
        return LabFigure(name.strip(), float(value), unit.strip())
    except ValueError:
        hold_commas(cell)
        raise ValueError("write it as potassium=120 ppm") from None
