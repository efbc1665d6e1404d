"""Lines of `records/bloom.csv` and `takes.csv` as the entries they are, to bring them in for good.

Fruitlets stay in their file: its lines do not say when the fruit was measured, which an entry has to.
"""

from collections.abc import Iterable, Mapping
from datetime import UTC, date, datetime
from typing import Any

from topwire.catalogue.tables import RawRow
from topwire.records.entries import Entry, How, SeenStage, StageSeen, TakeCounted
from topwire.records.joined import line_identity

BROUGHT_IN = ("bloom", "takes")


def entries_of_lines(table: str, rows: Mapping[str, RawRow]) -> tuple[Entry, ...]:
    """The entries of a table's lines, each with the identity under which the line is read today.

    Takes without a year are left where they are.
    """
    return tuple(_entries(table, rows.items()))


def _entries(table: str, rows: Iterable[tuple[str, RawRow]]) -> Iterable[Entry]:
    for key, row in rows:
        cells = {name: cell for name, cell in row.cells.items() if cell}
        common: dict[str, Any] = {
            "how": How.IMPORT,
            "identity": line_identity(table, key),
            "cultivar": cells.get("cultivar", ""),
            "remark": cells.get("remark", ""),
        }
        if table == "bloom":
            day = date.fromisoformat(cells["date"])
            yield StageSeen(day=day, noted=_evening(day), stage=SeenStage(cells["event"]), **common)
        elif "year" in cells:
            day = date(int(cells["year"]), 6, 15)  # they are counted in June
            started, good = int(cells["started"]), int(cells["good"])
            yield TakeCounted(day=day, noted=_evening(day), lot=key, started=started, good=good, **common)


def _evening(day: date) -> datetime:
    return datetime(day.year, day.month, day.day, 20, tzinfo=UTC)
