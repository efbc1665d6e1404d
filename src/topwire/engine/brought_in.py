"""Files of records, each named after its kind, to entries: what `topwire records --csv-in` reads."""

import gc
from collections.abc import Sequence
from datetime import date
from difflib import get_close_matches
from pathlib import Path

from topwire.catalogue.names import CultivarNames
from topwire.catalogue.tables import RawTable, overlaid
from topwire.files.own_file import own_text
from topwire.records.csv_form import entries_of
from topwire.records.entries import Entry, EntryKind
from topwire.records.form import NotAnEntry, check_days
from topwire.records.lines import BROUGHT_IN, entries_of_lines
from topwire.records.read import LARGEST
from topwire.records.schemas import RECORDS
from topwire.records.store import Appended, RecordStore
from topwire.values.fault import Faults, FileNotice, fault


def bring_in(
    store: RecordStore,
    source: Path,
    names: CultivarNames,
    *,
    blocks: Sequence[str] = (),
    today: date | None = None,
) -> Appended:
    """Append all entries of a file, or of the CSVs of a folder. Raises Faults and NotSaved; then nothing is kept.

    Parameters
    ----------
    blocks : of the plan, which alone a kind's file may name; none = any
    today : no entry may be of a later day; None = as for an invented orchard, any day will do
    """
    collecting = gc.isenabled()
    gc.disable()  # 100,000 small objects that all stay: looking for garbage among them takes a quarter of the time
    try:
        return store.append(brought_in(source, names, blocks=blocks, today=today), checked=True)
    finally:
        if collecting:
            gc.enable()


def brought_in(
    source: Path, names: CultivarNames, *, blocks: Sequence[str] = (), today: date | None = None
) -> tuple[Entry, ...]:
    """All entries of a file, or of the CSVs of a folder.

    Raises
    ------
    Faults
        With file, line and column of everything that does not fit; nothing is brought in then.
    """
    paths = sorted(source.glob("*.csv")) if source.is_dir() else [source]
    if not paths:
        raise Faults([fault(str(source), "holds no CSV.", "Name a file, or a folder of them.")])
    made: list[Entry] = []
    faults: list[FileNotice] = []
    for path in paths:
        try:
            made += _entries(path, names, blocks, today)
        except Faults as found:
            faults += found.notices
    if faults:
        raise Faults(faults)
    return tuple(made)


def _entries(
    path: Path, names: CultivarNames, blocks: Sequence[str], today: date | None
) -> tuple[Entry, ...]:
    kinds = [*EntryKind, *BROUGHT_IN]
    if path.stem not in kinds:
        near = get_close_matches(path.stem, kinds, n=1)
        remedy = f"Did you mean {near[0]}.csv?" if near else f"There are {', '.join(kinds)}."
        raise Faults([fault(path.name, "is not named after a kind of entry.", remedy)])
    text = own_text(path, path.name, path.name, LARGEST, "Save it as CSV (UTF-8).")
    if path.stem not in BROUGHT_IN:
        return entries_of(text, EntryKind(path.stem), path.name, names, blocks=blocks, today=today)
    schema = RECORDS[path.stem]
    table, faults = overlaid(RawTable(path.stem, tuple(schema.column), {}), schema, text, path.name, names)
    if faults:
        raise Faults(faults)
    made: list[Entry] = []
    for key, row in table.rows.items():
        for entry in entries_of_lines(path.stem, {key: row}):
            try:
                if today is not None:
                    check_days(entry, today)
            except NotAnEntry as wrong:
                faults.append(fault(row.where, f"{entry.day}: {wrong.wrong[0][1]}."))
            made.append(entry)
    if faults:
        raise Faults(faults)
    return tuple(made)
