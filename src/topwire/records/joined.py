"""What the entries say in the tables the plan's departments read: dates, lots of grafts, tagged fruitlets.

One truth: a line of `records/*.csv` and the entry imported from it have one identity, and count once.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from uuid import UUID, uuid5

from topwire.catalogue.names import CultivarNames, bare_name
from topwire.catalogue.tables import RawRow, RawTable
from topwire.records.entries import (
    Entry,
    EntryKind,
    FruitGrade,
    FruitPicked,
    FruitSized,
    SeenStage,
    StageSeen,
    TakeCounted,
)
from topwire.records.note_grafts import BUDS, FIELD_GRAFTS
from topwire.records.store import RecordStore
from topwire.values.own_date import DateSeen

TABLE_KINDS: Mapping[str, EntryKind] = {
    "bloom": EntryKind.STAGE,
    "takes": EntryKind.TAKE,
    "fruitlets": EntryKind.FRUIT_SIZE,
}
_LINES = UUID("5b7a5c0e-61a6-4be3-93d2-4f1b5b8e6f0d")  # of all lines of records/*.csv


def line_identity(table: str, key: str, part: str = "") -> str:
    """The identity of a line of `records/<table>.csv`; `part` tells apart several entries of one line."""
    return str(uuid5(_LINES, f"{table}:{key}{':' if part else ''}{part}"))


def joined(
    tables: Mapping[str, RawTable],
    store: RecordStore,
    names: CultivarNames,
    *,
    known_on: date | None = None,
) -> dict[str, RawTable]:
    """The tables with the entries' lines in them; lines of files that are entries by now are the entries'."""
    made = {}
    for name, table in tables.items():
        there = store.identities(TABLE_KINDS[name])
        rows = {key: row for key, row in table.rows.items() if line_identity(name, key) not in there}
        made[name] = replace(table, rows=rows)
    stages = store.entries(StageSeen, known_on=known_on)
    picks = store.entries(FruitPicked, known_on=known_on)
    bloom = made["bloom"].rows
    added = {
        "bloom": {**_dates(stages), **_first_picks(picks, stages, bloom.values())},
        "takes": _takes(store.entries(TakeCounted, known_on=known_on)),
        "fruitlets": _fruitlets(store.entries(FruitSized, known_on=known_on)),
    }
    for name, rows in added.items():
        by_name = {key: _named(row, names) for key, row in rows.items()}
        if names.own:  # what the catalogue does not have stays among the entries; no plan can read it
            by_name = {key: row for key, row in by_name.items() if _is_known(row.cells["cultivar"], names)}
        made[name] = replace(made[name], rows={**made[name].rows, **by_name})
    return made


def _named(row: RawRow, names: CultivarNames) -> RawRow:
    return replace(row, cells={**row.cells, "cultivar": names.catalogue_name(row.cells["cultivar"])})


def _is_known(cultivar: str, names: CultivarNames) -> bool:
    return not cultivar or bare_name(cultivar) in names.own


def _row(of: Entry, /, **cells: object) -> RawRow:
    written = {name: "" if value is None else str(value) for name, value in cells.items()}
    where = f"records, entry {of.identity[:8]}"
    return RawRow(where, {"cultivar": of.cultivar, "remark": of.remark, **written}, own=True)


def _dates(stages: Iterable[StageSeen]) -> dict[str, RawRow]:
    events = [str(event) for event in DateSeen]
    return {
        seen.identity: _row(seen, entry=seen.identity, event=seen.stage, date=seen.day)
        for seen in stages
        if seen.cultivar and str(seen.stage) in events
    }


def _first_picks(
    picks: Iterable[FruitPicked], stages: Iterable[StageSeen], lines: Iterable[RawRow]
) -> dict[str, RawRow]:
    """A year's first pick of a cultivar, where nobody said it outright; windfalls are no pick."""
    stated = {(seen.cultivar, seen.day.year) for seen in stages if seen.stage is SeenStage.FIRST_PICK}
    stated |= {
        (line.cells["cultivar"], int(line.cells["date"][:4]))
        for line in lines
        if line.cells.get("event") == DateSeen.FIRST_PICK
    }
    first: dict[tuple[str, int], FruitPicked] = {}
    for pick in picks:  # by day
        if pick.cultivar and pick.grade is not FruitGrade.WINDFALL:
            first.setdefault((pick.cultivar, pick.day.year), pick)
    return {
        pick.identity: _row(pick, entry=pick.identity, event=DateSeen.FIRST_PICK, date=pick.day)
        for at, pick in first.items()
        if at not in stated
    }


def _takes(takes: Iterable[TakeCounted]) -> dict[str, RawRow]:
    return {
        take.identity: _row(
            take, lot=take.lot or take.identity, year=take.day.year, started=take.started, good=take.good
        )
        for take in takes
        if take.remark.split(";")[0] not in (BUDS, FIELD_GRAFTS)  # the table is of bench grafts
    }


def _fruitlets(sizes: Iterable[FruitSized]) -> dict[str, RawRow]:
    """Tagged fruitlets measured at least twice in a year: the first and the last time; none left = fallen.

    One whose leaf nobody knows is left out: how many fruits a tree is to carry hangs on it.
    """
    by_tag: dict[tuple[str, str, int], list[FruitSized]] = {}
    for size in sizes:
        if size.tag and size.cultivar:
            by_tag.setdefault((size.cultivar, size.tag, size.day.year), []).append(size)
    made = {}
    for measured in by_tag.values():
        first, last = measured[0], measured[-1]
        if len(measured) < 2 or not first.diameters or first.leaf is None:
            continue
        made[first.identity] = _row(
            first,
            fruitlet=first.tag,
            leaf=first.leaf,
            cluster=first.cluster or first.tag,
            clusters_per_tree=first.clusters_per_tree,
            first_mm=f"{1e3 * first.diameters[0]:.4g}",
            second_mm=f"{1e3 * last.diameters[0]:.4g}" if last.diameters else "",
        )
    return made
