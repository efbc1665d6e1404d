"""What really happened in the orchard, out of the folder `records/`: dates seen, lots counted, fruitlets measured."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path

from topwire.catalogue.model import Catalogue
from topwire.catalogue.names import NO_NAMES
from topwire.catalogue.tables import RawTable, Row, overlaid, reference_faults, typed_rows
from topwire.files.own_file import own_text
from topwire.records.schemas import RECORDS
from topwire.values.fault import Faults, FileNotice, fault

FOLDER = "records"
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


NO_RECORDS = Records()


def read_records(folder: Path, catalogue: Catalogue | None) -> Records:
    """The records of the orchard in `folder`.

    Parameters
    ----------
    catalogue : None where it could not be read, and no name can be resolved

    Raises
    ------
    Faults
        With file, line and column of every cell that does not fit.
    """
    tables = dict(NO_RECORDS.tables)
    names = NO_NAMES if catalogue is None else catalogue.names
    faults: list[FileNotice] = []
    for path in sorted((folder / FOLDER).glob("*.csv")):
        where = f"{FOLDER}/{path.name}"
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
    if catalogue is not None:
        for name, table in tables.items():
            faults.extend(reference_faults(table, RECORDS[name], {"cultivars": catalogue.cultivar}))
    if faults:
        raise Faults(faults)
    return Records(tables)
