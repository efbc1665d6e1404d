"""The records at the size of a full orchard: 3,000 trees, 200,000 observations; and 200 writers killed at random.

python benchmarks/bench_records.py            figures, held against their bars
python benchmarks/bench_records.py --kills    also 200 kills (minutes)
"""

import random
import sys
import tempfile
import time
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from statistics import median
from uuid import UUID

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from records.crashes import killed_writers

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.engine.brought_in import bring_in
from topwire.records.csv_form import csv_of
from topwire.records.entries import (
    Entry,
    EntryKind,
    FruitPicked,
    FruitSized,
    SeenStage,
    StageSeen,
    TrunkMeasured,
)
from topwire.records.store import open_store

TREES, OBSERVATIONS, KILLS = 3_000, 200_000, 200
FIRST = date(2029, 4, 1)
CULTIVARS = ("Wealthy", "Gala", "GoldRush", "Golden Delicious", "McIntosh")


def observations(count: int, draw: random.Random) -> list[Entry]:
    """Measurements and sightings over five seasons on an orchard of 3,000 trees."""
    made: list[Entry] = []
    for _ in range(count):
        tree = draw.randrange(TREES)
        day = FIRST + timedelta(days=draw.randrange(5 * 365))
        where = {
            "block": "South",
            "row": tree // 100 + 1,
            "place": tree % 100 + 1,
            "cultivar": CULTIVARS[tree % 5],
        }
        common = {
            "identity": str(UUID(int=draw.getrandbits(128))),
            "day": day,
            "noted": datetime(day.year, day.month, day.day, 20, tzinfo=UTC),
            **where,
        }
        which = draw.random()
        if which < 0.5:
            made.append(TrunkMeasured(**common, diameter=draw.uniform(0.01, 0.06)))
        elif which < 0.9:
            made.append(
                FruitSized(**common, diameters=(draw.uniform(0.01, 0.07),), tag=str(draw.randrange(500)))
            )
        else:
            made.append(StageSeen(**common, stage=draw.choice(list(SeenStage))))
    return made


def bench(kills: bool) -> bool:
    draw = random.Random(1)
    good = True

    def told(what: str, value: float, unit: str, bar: float) -> None:
        nonlocal good
        good &= value <= bar
        print(f"{what:50} {value:9.1f} {unit:3} (bar {bar:g}){'' if value <= bar else '  MISSED'}")

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        trunks = [one for one in observations(200_000, draw) if isinstance(one, TrunkMeasured)][:100_000]
        while len(trunks) < 100_000:
            trunks += [one for one in observations(10_000, draw) if isinstance(one, TrunkMeasured)]
        (folder / "trunk.csv").write_text(csv_of(EntryKind.TRUNK, trunks[:99_999]), encoding="utf-8")
        names = Catalogue(read_tables()).names
        with open_store(folder) as store:
            start = time.perf_counter()
            kept = bring_in(store, folder / "trunk.csv", names)
            told(f"import of {len(kept.saved):,} rows from CSV", time.perf_counter() - start, "s", 5.0)
            store.append(observations(OBSERVATIONS - len(kept.saved), draw))
            spent = []
            for number in range(200):
                pick = FruitPicked(day=FIRST, cultivar="Gala", mass=5.0 + number, block="South", row=3)
                start = time.perf_counter()
                store.append([pick])
                spent.append(1e3 * (time.perf_counter() - start))
            told("an entry saved, median of 200", median(spent), "ms", 20.0)
            told("an entry saved, the 190th of 200", sorted(spent)[189], "ms", 20.0)
            start = time.perf_counter()
            found = store.entries(StageSeen, since=date(2033, 1, 1), until=date(2033, 6, 1))
            told(f"a spring's {len(found):,} dates read", 1e3 * (time.perf_counter() - start), "ms", 300.0)
            start = time.perf_counter()
            life = store.history(block="South", row=3, place=41)
            told(f"one tree's life, {len(life)} entries", 1e3 * (time.perf_counter() - start), "ms", 100.0)
        size = sum(path.stat().st_size for path in folder.glob("records.db*")) / 1e6
        told(f"the file with {OBSERVATIONS + 200:,} entries", size, "MB", 100.0)
        if kills:
            with tempfile.TemporaryDirectory() as other:
                result = killed_writers(Path(other), KILLS, seed=2)
            print(f"{KILLS} kills: {result.acknowledged:,} entries acknowledged, {result.lost} lost")
            good &= result.lost == 0
    return good


if __name__ == "__main__":
    sys.exit(0 if bench("--kills" in sys.argv) else 1)
