"""Speed of the week and of the cellar with 200,000 observations, on one core.

    OMP_NUM_THREADS=1 python benchmarks/bench_season.py FOLDER

FOLDER holds a planned orchard; it is copied, what a week reads of the plan is laid out again beside itself until 3,000
trees stand (rows, water zones, kitchen and cellar with them), and the copy gets invented entries of twenty years:
dates, counts, trunks, pests, work, picks and what left the cellar. What a week needs of plan, catalogue and weather is
kept after the first asking; printed is processor time of the second and later ones, the start of Python apart.
"""

import shutil
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from topwire.engine.store import keep
from topwire.records.entries import (
    CellarMoved,
    Counted,
    Entry,
    FruitCounted,
    FruitGrade,
    FruitPicked,
    LotFate,
    PestSeen,
    SeenStage,
    StageSeen,
    TrunkMeasured,
    WorkDone,
)
from topwire.records.store import open_store
from topwire.season.answer import week_of
from topwire.season.asked import WeekBasis
from topwire.season.cellar import cellar_of
from topwire.season.kept import BASIS, open_folder
from topwire.season.outlook import outlook_on
from topwire.season.records import seen_by

TREES = 3_000
ENTRIES, YEARS, AT_ONCE = 200_000, 20, 20_000
# Of a hundred entries: what people and phones note most is seen on single trees.
SHARES = {"pest": 40, "trunk": 20, "count": 10, "work": 10, "stage": 8, "pick": 6, "cellar": 6}


def laid_again(basis: WeekBasis) -> WeekBasis:
    """The orchard so often beside itself that at least TREES trees stand."""
    trees = sum(row.trees for line in basis.cultivars for row in line.rows)
    times = -(-TREES // trees)

    def rows(names: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(f"{name}{'*' * lap}" for lap in range(times) for name in names)

    cultivars = tuple(
        replace(
            line,
            rows=tuple(
                replace(row, row=f"{row.row}{'*' * lap}") for lap in range(times) for row in line.rows
            ),
            planted=tuple((year, times * count) for year, count in line.planted),
        )
        for line in basis.cultivars
    )
    guarded = tuple(
        replace(one, rows=rows(one.rows), trees=times * one.trees) for one in basis.protection.guarded
    )
    water = basis.water
    if water is not None:
        zones = tuple(
            replace(zone, name=f"{zone.name}{'*' * lap}", rows=rows(zone.rows))
            for lap in range(times)
            for zone in water.zones
        )
        water = replace(water, zones=zones)
    needs = tuple(
        replace(need, wanted=times * need.wanted, served=times * need.served) for need in basis.needs
    )
    amounts = tuple(
        replace(
            need,
            weekly=None if need.weekly is None else times * need.weekly,
            total=times * need.total,
            weekly_capacity=None if need.weekly_capacity is None else times * need.weekly_capacity,
        )
        for need in basis.kitchen.needs
    )
    return replace(
        basis,
        cultivars=cultivars,
        needs=needs,
        kitchen=replace(basis.kitchen, needs=amounts),
        cellar_holds=None if basis.cellar_holds is None else times * basis.cellar_holds,
        water=water,
        protection=replace(basis.protection, guarded=guarded),
    )


def invented(names: tuple[str, ...], last: int, count: int) -> list[Entry]:
    """Entries of the years up to `last`, in order of day."""
    random = np.random.default_rng(5)
    kinds = random.choice(list(SHARES), size=count, p=np.array(list(SHARES.values())) / 100)
    days = np.sort(random.integers(0, YEARS * 365, count))
    made: list[Entry] = []
    for kind, at in zip(kinds.tolist(), days.tolist(), strict=True):
        day = date(last - YEARS + 1, 1, 1) + timedelta(days=at)
        noted = datetime(day.year, day.month, day.day, 18, tzinfo=UTC)
        name = names[int(random.integers(len(names)))]
        tree = {"block": "South", "row": int(random.integers(1, 30)), "place": int(random.integers(1, 100))}
        common = {"day": day, "noted": noted, "cultivar": name}
        if kind == "pest":
            made.append(PestSeen(**common, **tree, what="scab", share=0.02))
        elif kind == "trunk":
            made.append(TrunkMeasured(**common, **tree, diameter=0.04))
        elif kind == "count":
            made.append(FruitCounted(**common, counted=Counted.FRUITS, count=300, trees=5))
        elif kind == "work":
            made.append(WorkDone(**common, job="mowing", hours=2.0))
        elif kind == "stage":
            made.append(StageSeen(**common, **tree, stage=SeenStage.FULL_BLOOM))
        elif kind == "pick":
            made.append(FruitPicked(**common, mass=40.0, grade=FruitGrade.TABLE, lot=f"crate {at % 400}"))
        else:
            made.append(CellarMoved(**common, mass=10.0, fate=LotFate.KITCHEN, lot=f"crate {at % 400}"))
    return made


def timed(work: Callable[[], object], times: int = 5) -> float:
    """Shortest processor time of several runs [s]."""
    best = float("inf")
    for _ in range(times):
        started = time.process_time()
        work()
        best = min(best, time.process_time() - started)
    return best


def main() -> None:
    source = Path(sys.argv[1])
    with TemporaryDirectory() as room:
        folder = Path(room) / "orchard"
        shutil.copytree(source, folder, ignore=shutil.ignore_patterns("records.db*"))
        opened = open_folder(folder)
        basis = laid_again(opened.basis)
        keep(folder, BASIS, opened.key, basis)
        trees = sum(row.trees for line in basis.cultivars for row in line.rows)
        year = basis.planting + YEARS
        entries = invented(basis.names, year, ENTRIES)
        with open_store(folder) as store:
            for start in range(0, ENTRIES, AT_ONCE):
                store.append(entries[start : start + AT_ONCE])
        size = sum(path.stat().st_size for path in folder.glob("records.db*")) / 1e6
        print(f"{trees:,} trees of {len(basis.cultivars)} cultivars, {ENTRIES:,} entries, {size:.0f} MB")
        for day in (date(year, 5, 4), date(year, 9, 20), date(year, 12, 5)):

            def week(day: date = day) -> object:
                opened = open_folder(folder)
                return week_of(opened, day, seen_by(folder, day))

            def cellar(day: date = day) -> object:
                opened, seen = open_folder(folder), seen_by(folder, day)
                return cellar_of(opened, day, seen, outlook_on(opened, day, seen))

            week()
            print(f"  the week on {day}   {1e3 * timed(week):6.0f} ms   (bar 300 ms)")
            print(f"  the cellar               {1e3 * timed(cellar, 3):6.0f} ms   (bar 1 s)")


if __name__ == "__main__":
    main()
