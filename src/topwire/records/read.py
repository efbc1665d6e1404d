"""What really happened, as the plan's departments read it: dates seen, lots counted, fruitlets measured.

From the files of the folder `records/` and from the entries of the records' store, joined.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from difflib import get_close_matches
from pathlib import Path

from topwire.catalogue.model import Catalogue
from topwire.catalogue.names import NO_NAMES
from topwire.catalogue.tables import RawTable, Row, overlaid, reference_faults, typed_rows
from topwire.files.own_file import own_text
from topwire.records.place_kept import TABLES, has_store
from topwire.records.schemas import RECORDS
from topwire.values.fault import Faults, FileNotice, fault

LARGEST = 20_000_000  # bytes


@dataclass(frozen=True)
class Records:
    """The tables of `records/`, empty where the grower keeps none."""

    tables: Mapping[str, RawTable] = field(
        default_factory=lambda: {
            name: RawTable(name, tuple(schema.column), {}) for name, schema in RECORDS.items()
        }
    )

    def rows(self, name: str, row_type: type[Row]) -> tuple[Row, ...]:
        """Typed rows of a table; see `typed_rows`."""
        return typed_rows(self.tables[name], row_type)

    @property
    def content(self) -> str:
        """All rows in one text: equal where a plan reads the same."""
        return repr(
            [
                (name, key, sorted(row.cells.items()))
                for name, table in sorted(self.tables.items())
                for key, row in table.rows.items()
            ]
        )


NO_RECORDS = Records()


def read_records(
    folder: Path, catalogue: Catalogue | None, *, known_on: date | None = None, files_only: bool = False
) -> Records:
    """The records of the orchard in `folder`.

    Parameters
    ----------
    catalogue : None where it could not be read, and no name can be resolved
    known_on : of the entries only those noted by that day
    files_only : without the entries, for who asks them apart

    Raises
    ------
    Faults
        With file, line and column of every cell that does not fit.
    """
    tables = dict(NO_RECORDS.tables)
    names = NO_NAMES if catalogue is None else catalogue.names
    faults: list[FileNotice] = []
    for path in sorted((folder / TABLES).glob("*.csv")):
        where = f"{TABLES}/{path.name}"
        if path.stem not in tables:
            near = get_close_matches(path.stem, tables, n=1)
            remedy = f"Did you mean {near[0]}.csv?" if near else f"There are {', '.join(tables)}."
            faults.append(fault(where, f"there is no record “{path.stem}”.", remedy))
            continue
        try:
            text = own_text(path, where, path.name, LARGEST, "Save it as CSV (UTF-8).")
            tables[path.stem], found = overlaid(tables[path.stem], RECORDS[path.stem], text, where, names)
            faults.extend(found)
        except Faults as unreadable:
            faults.extend(unreadable.notices)
    if not files_only and has_store(folder):  # late: a plan without entries needs no database
        from topwire.records.joined import joined
        from topwire.records.opening import NotSaved
        from topwire.records.store import open_store

        try:
            with open_store(folder, make=False) as store:
                tables = joined(tables, store, names, known_on=known_on)
        except NotSaved as hindered:
            faults += hindered.notices
    if catalogue is not None:
        for name, table in tables.items():
            faults.extend(reference_faults(table, RECORDS[name], {"cultivars": catalogue.cultivar}))
    if faults:
        raise Faults(faults)
    return Records(tables)
