"""Five invented seasons of records for the example valley-inn-seasons: python examples/invented

Bloom and ripening follow the real weather of 2015 to 2019 through topwire's own models, moved by invented departures of
the place, of each cultivar and of each year; everything else is drawn, with a seed. Nobody's orchard is meant.
"""

import csv
import sys
from collections import defaultdict
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from drawn import EXAMPLES, FIRST, LAST, PLANTED, SEED, Invented, dates, rows
from stored import harvest, winter

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.records.csv_form import csv_of
from topwire.records.entries import (
    Counted,
    Entry,
    EntryKind,
    FruitCounted,
    FruitSized,
    HeightMeasured,
    LabFigure,
    PestSeen,
    PhMeasured,
    SampleTested,
    SeenStage,
    StageSeen,
    TakeCounted,
    TreeChanged,
    TreeEvent,
    TrunkMeasured,
    Watered,
    WeatherRead,
    Withdrawn,
    WorkDone,
)

# Moths in the traps of the meadow: hung early in April and empty until the first catch, which comes at 220 to 265
# degF d (base 50, from 1 January) of the real weather.
FIRST_CATCH = {
    2015: date(2015, 4, 26),
    2016: date(2016, 4, 19),
    2017: date(2017, 4, 12),
    2018: date(2018, 4, 19),
    2019: date(2019, 4, 19),
}
CATCHES = (2, 6, 5)  # on the day of the first, and each a fortnight later
METER = {"Meadow": 3.0, "Lane": 1.5}  # [m3/h] a little below what the emitters are rated


def seasons() -> list[Entry]:
    made = Invented(SEED)
    runs = rows()
    trees: dict[str, int] = defaultdict(int)
    home: dict[str, dict[str, Any]] = {}
    for run in runs:
        trees[run["cultivar"]] += run["last"] - run["first"] + 1
        home.setdefault(run["cultivar"], run)
    known, weather = dates()
    late = {name: made.near(2.0, 2.5) for name in trees}  # the place and the cultivar
    fertile = {name: max(0.5, made.near(1.0, 0.2)) for name in trees}
    cultivars = Catalogue(read_tables()).cultivar
    stated = {name: row.storage_weeks or 8.0 for name, row in cultivars.items()}
    keeps = {
        name: max(1.5, stated[name] * made.near(0.9, 0.2)) for name in sorted(trees)
    }  # [weeks] in this cellar
    _planting(made, runs, trees)
    for year in range(FIRST, LAST + 1):
        of_year = made.near(0.0, 1.5)
        bloom = {}
        for name in sorted(trees):
            full, first, last = known[name, year]
            moved = timedelta(days=round(late[name] + of_year + made.near(0.0, 1.0)))
            bloom[name] = (full + moved, first + moved, last + moved)
        leaf = year - PLANTED
        _spring(made, year, leaf, bloom, home, weather, sum(trees.values()))
        _summer(made, year, leaf, bloom, home, sum(trees.values()))
        lots = harvest(made, leaf, bloom, home, trees, fertile, cultivars)
        winter(made, year, lots, keeps, cultivars)
        _measured(made, year, leaf, home, trees)
        _losses(made, year, runs)
    for first in FIRST_CATCH.values():  # drawn last, so that all else stays as it was
        _traps(made, first)
    return sorted(made.entries, key=lambda entry: (entry.noted, entry.identity))


def _traps(made: Invented, first: date) -> None:
    weekly = [date(first.year, 4, 5) + timedelta(weeks=at) for at in range(4)]
    counts = [(day, 0) for day in weekly if day < first]
    counts += [(first + timedelta(weeks=2 * at), count) for at, count in enumerate(CATCHES)]
    for day, count in counts:
        made.add(PestSeen, day, what="codling moth", on="trap", count=count, block="Meadow")


def _planting(made: Invented, runs: list[dict[str, Any]], trees: dict[str, int]) -> None:
    for name in sorted(trees):
        started = round(trees[name] * 1.25) + 3
        good = min(started, round(started * min(0.97, made.near(0.86, 0.06))))
        made.add(
            TakeCounted, date(2013, 6, 20), cultivar=name, started=started, good=good, lot=f"2013 {name}"
        )
    for run in runs:
        for place in (run["first"], run["last"]):
            where = {"block": run["block"], "row": run["row"], "place": place, "cultivar": run["cultivar"]}
            made.add(TreeChanged, date(2014, 4, 8), event=TreeEvent.PLANTED, rootstock="G.41", **where)
    figures = (
        LabFigure("pH", 6.1),
        LabFigure("organic matter", 3.2, "%"),
        LabFigure("potassium", 96.0, "ppm"),
    )
    made.add(SampleTested, date(2013, 10, 4), of="soil", block="Meadow", figures=figures, depth=0.2)
    for job, hours in (("planting", 61.0), ("posts and wires", 148.0), ("deer fence", 96.0)):
        made.add(WorkDone, date(2014, 4, 9), job=job, hours=hours, hands=3)


def _spring(
    made: Invented,
    year: int,
    leaf: int,
    bloom: dict[str, Any],
    home: dict[str, Any],
    weather: Any,
    trees: int,
) -> None:
    for name, (full, _, _) in bloom.items():
        if leaf < 2:
            continue
        steps = [(SeenStage.FULL_BLOOM, 0)]
        if made.draw.random() < 0.4:
            steps += [
                (SeenStage.GREEN_TIP, -27), (SeenStage.PINK, -7), (SeenStage.FIRST_BLOOM, -3),
                (SeenStage.PETAL_FALL, 8),
            ]  # fmt: skip
        for stage, after in steps:
            made.add(StageSeen, full + timedelta(days=after), cultivar=name, stage=stage)
    middle = sorted(full for full, _, _ in bloom.values())[len(bloom) // 2]
    day = weather.day.astype("datetime64[D]").tolist()
    cold = [
        at
        for at, one in enumerate(day)
        if one.year == year and middle - timedelta(days=35) < one < middle + timedelta(days=10)
    ]
    for at in cold[::4]:
        low = float(weather.tmin[at]) + made.near(-1.2, 0.7)
        made.add(WeatherRead, day[at], at="hollow by the lane", low=round(low, 1))
    for at in cold:
        if weather.tmin[at] < -2.5 and middle - day[at] < timedelta(days=12) and leaf >= 3:
            share = min(0.6, max(0.02, made.near(0.15, 0.1)))
            name = made.draw.choice(sorted(bloom))
            made.add(PestSeen, day[at], what="frost", on="flowers", share=round(share, 2), cultivar=name)
    made.add(PhMeasured, date(year, 4, 3), of="water", ph=round(made.near(7.3, 0.1), 1))
    for job, month, date_, hours in (
        ("dormant pruning", 2, 20, 14.0 + 5.0 * leaf), ("check trellis", 3, 6, 5.0), ("scout", 4, 20, 2.0),
        ("mow", 5, 2, 2.5), ("weed strip", 5, 9, 6.0), ("feed first", 4, 12, 3.0),
    ):  # fmt: skip
        spent = round(max(1.0, made.near(hours, 0.1 * hours)), 1)
        all_of_them = trees if job == "dormant pruning" else None
        made.add(WorkDone, date(year, month, date_), job=job, hours=spent, hands=2, trees=all_of_them)
    if leaf >= 3:
        for name in sorted(home, key=lambda one: home[one]["row"])[:8]:
            where = {"block": home[name]["block"], "row": home[name]["row"]}
            count = round(3 * made.near(18.0 * leaf, 3.0))
            made.add(
                FruitCounted,
                bloom[name][0] - timedelta(days=5),
                cultivar=name,
                counted=Counted.CLUSTERS,
                count=count,
                trees=3,
                **where,
            )


def _summer(
    made: Invented, year: int, leaf: int, bloom: dict[str, Any], home: dict[str, Any], trees: int
) -> None:
    for week in range(12):
        day = date(year, 6, 1) + timedelta(days=7 * week)
        for block in ("Meadow", "Lane"):
            hours = round(max(0.5, made.near(10.0 + 0.8 * leaf, 1.5)), 1)
            volume = round(hours * METER[block] * made.near(1.0, 0.04), 2)
            made.add(Watered, day, block=block, hours=hours, volume=volume)
        if week % 2 == 0:
            caught = max(0, round(made.near(4.0, 3.0)))
            made.add(PestSeen, day, what="codling moth", on="trap", count=caught, block="Meadow")
        if week % 3 == 0:
            made.add(WorkDone, day, job="mow", hours=round(made.near(2.5, 0.3), 1), hands=1)
    for what, name, month in (
        ("scab", "Granny Smith", 6),
        ("cedar apple rust", "Golden Delicious", 6),
        ("sooty blotch", "GoldRush", 8),
    ):
        share = round(min(0.3, max(0.01, made.near(0.05, 0.03))), 2)
        on = "fruit" if what == "sooty blotch" else "leaves"
        made.add(PestSeen, date(year, month, 14), what=what, on=on, share=share, cultivar=name)
    figures = (
        LabFigure("nitrogen", round(made.near(2.2, 0.1), 2), "%"),
        LabFigure("potassium", round(made.near(1.4, 0.1), 2), "%"),
    )
    made.add(SampleTested, date(year, 7, 28), of="leaf", figures=figures, block="Meadow")
    spent = round(trees * 1.6 / 60 * min(leaf, 4) / 4 * made.near(1.0, 0.1), 1)
    made.add(
        WorkDone,
        date(year, 6, 12),
        job="hand thinning",
        hours=max(2.0, spent if leaf > 1 else 4.0),
        hands=3,
        trees=trees,
    )
    made.add(
        WorkDone, date(year, 7, 20), job="summer pruning", hours=round(5.0 * leaf, 1), hands=2, trees=trees
    )
    made.add(WorkDone, date(year, 6, 25), job="tie leader", hours=round(12.0 / leaf, 1), hands=2)
    if leaf < 3:
        return
    for name in sorted(home, key=lambda one: home[one]["row"])[:8]:
        full = bloom[name][0]
        where = {"block": home[name]["block"], "row": home[name]["row"]}
        made.add(
            FruitCounted,
            full + timedelta(days=45),
            cultivar=name,
            counted=Counted.FRUITS,
            trees=3,
            count=round(3 * made.near(19.0 * leaf, 4.0)),
            **where,
        )
        for after, size in ((30, 0.021), (60, 0.042), (90, 0.058)):
            sizes = tuple(round(made.near(size, 0.08 * size), 4) for _ in range(10))
            made.add(FruitSized, full + timedelta(days=after), cultivar=name, diameters=sizes, **where)


def _measured(made: Invented, year: int, leaf: int, home: dict[str, Any], trees: dict[str, int]) -> None:
    for name in sorted(trees):
        run = home[name]
        for place in sorted({run["first"], (run["first"] + run["last"]) // 2, run["last"]}):
            where = {"block": run["block"], "row": run["row"], "place": place, "cultivar": name}
            across = round(made.near(0.014 + 0.0075 * leaf, 0.0015), 4)
            made.add(TrunkMeasured, date(year, 11, 12), diameter=across, above_union=0.3, **where)
            if place == run["first"]:
                made.add(
                    HeightMeasured,
                    date(year, 11, 12),
                    height=round(min(3.0, made.near(1.1 + 0.5 * leaf, 0.12)), 2),
                    **where,
                )
    made.add(WorkDone, date(year, 11, 12), job="count trees", hours=4.0, hands=2)
    made.add(WorkDone, date(year, 11, 20), job="mouse guard", hours=3.5, hands=2)


def _losses(made: Invented, year: int, runs: list[dict[str, Any]]) -> None:
    for number in range(max(1, round(made.near(7.0, 2.0)))):
        run = made.draw.choice(runs)
        where = {
            "block": run["block"],
            "row": run["row"],
            "place": made.draw.randint(run["first"], run["last"]),
        }
        why = made.draw.choice(
            ("voles", "did not come through the winter", "fire blight", "broke at the union")
        )
        dead = made.add(
            TreeChanged,
            date(year, 5, 20),
            event=TreeEvent.DIED,
            cultivar=run["cultivar"],
            remark=why,
            **where,
        )
        if number == 0:  # it had only been late
            made.add(Withdrawn, date(year, 6, 9), corrects=dead.identity, remark="it leafed out")
        elif year < LAST:
            made.add(
                TreeChanged,
                date(year + 1, 4, 10),
                event=TreeEvent.REPLACED,
                cultivar=run["cultivar"],
                rootstock="G.41",
                **where,
            )


def write(folder: Path) -> None:
    """A CSV of each kind. Columns that nothing stands in are left out, and identities that no entry names."""
    folder.mkdir(parents=True, exist_ok=True)
    made = seasons()
    named = {entry.corrects for entry in made if entry.corrects}
    for kind in EntryKind:
        of_kind = [entry for entry in made if entry.KIND is kind]
        lines = list(csv.reader(csv_of(kind, of_kind).splitlines()))
        own = lines[0].index("identity")
        for line in lines[1:]:
            line[own] = line[own] if line[own] in named else ""
        filled = [any(line[at] for line in lines[1:]) for at in range(len(lines[0]))]
        kept = [at for at, name in enumerate(lines[0]) if name != "how" and filled[at]]
        with (folder / f"{kind}.csv").open("w", encoding="utf-8", newline="") as stream:
            csv.writer(stream, lineterminator="\n").writerows([line[at] for at in kept] for line in lines)


if __name__ == "__main__":
    write(Path(sys.argv[1]) if len(sys.argv) > 1 else EXAMPLES / "valley-inn-seasons/entries")
