"""From the records of an orchard's folder to what a week sees of them."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import numpy as np

from topwire.engine.store import keep, load
from topwire.growth.trunk import area_of_diameter
from topwire.records.entries import (
    CellarRead,
    Counted,
    EntryKind,
    FruitCounted,
    FruitGrade,
    FruitPicked,
    FruitPressed,
    FruitSized,
    FruitTested,
    PestSeen,
    SeenStage,
    StageSeen,
    TreeChanged,
    TreeEvent,
    TrunkMeasured,
    Watered,
    WorkDone,
)
from topwire.records.joined import line_identity
from topwire.records.lots import LIES, overdrawn
from topwire.records.opening import NotSaved
from topwire.records.read import read_records
from topwire.records.store import RecordStore, open_store
from topwire.season.seen import (
    DaySeen,
    PestNoted,
    RipeTest,
    Seen,
    SizeSample,
    TreeCount,
    TreeNoted,
    WorkNoted,
)
from topwire.season.stock import CellarFlow, left_of, ph_noted, pressed_by
from topwire.values.address import TreeAddress
from topwire.values.fault import Faults
from topwire.values.key import key_of
from topwire.values.own_date import DateSeen, OwnDate

_EVENTS: Mapping[SeenStage, DateSeen] = {
    SeenStage.FIRST_BLOOM: DateSeen.FIRST_BLOOM,
    SeenStage.FULL_BLOOM: DateSeen.FULL_BLOOM,
    SeenStage.PETAL_FALL: DateSeen.PETAL_FALL,
    SeenStage.FIRST_PICK: DateSeen.FIRST_PICK,
}
_WRITTEN = (SeenStage.GREEN_TIP, SeenStage.FULL_BLOOM, SeenStage.PETAL_FALL)
_DRAWN_TOLD = timedelta(days=60)  # how long a lot that cannot be as noted is told
_COUNTS_BACK = timedelta(days=120)  # only the newest fortnight of counts is taken
_WORK_BACK = timedelta(days=150)  # beyond that no job is still told
_AUTUMN = 8  # month from which a tree set has its first leaf in the year after
_TRUNKS_TELL = range(3, 9)  # months in which fruit is counted and thinned by them
_TRUNKS_BACK = timedelta(days=250)  # a trunk measured since last autumn
_ONE_BLOOM = 30  # [d] within which the trees of a cultivar reach a stage (assumption)
_MM = 1e3
_EARLIER = "week-earlier"


def seen_by(folder: Path, day: date) -> Seen:
    """What had been noted by the evening of `day`: in records.db, and of dates in records/bloom.csv too.

    Raises
    ------
    Faults
        When the records cannot be used.
    """
    rows = read_records(folder, None, files_only=True).rows("bloom", OwnDate)
    dates = [row for row in rows if row.date <= day]
    try:
        with open_store(folder, make=False) as store:
            if dates:  # a line of the file that is an entry by now is the entry's
                there = store.identities(EntryKind.STAGE)
                dates = [row for row in dates if line_identity("bloom", row.entry) not in there]
            return _seen(store, folder, day, dates)
    except FileNotFoundError:
        return Seen(day, tuple(dates))
    except NotSaved as why:
        raise Faults(why.notices) from None


def _seen(store: RecordStore, folder: Path, day: date, dates: list[OwnDate]) -> Seen:
    begin = date(day.year, 1, 1)
    earlier = _earlier(store, folder, day)
    stages = store.entries(StageSeen, since=begin, until=day, known_on=day)
    picks = store.entries(FruitPicked, since=day - LIES, until=day, known_on=day)
    now = [entry for entry in picks if entry.day >= begin]
    sound = [entry for entry in now if entry.grade is not FruitGrade.WINDFALL]
    trunks = (
        store.entries(TrunkMeasured, since=day - _TRUNKS_BACK, until=day, known_on=day)
        if day.month in _TRUNKS_TELL
        else ()
    )
    counts = store.entries(FruitCounted, since=max(begin, day - _COUNTS_BACK), until=day, known_on=day)
    tests = store.entries(FruitTested, since=begin, until=day, known_on=day)
    read = store.entries(CellarRead, since=day - timedelta(days=30), until=day, known_on=day)
    watered = store.entries(Watered, since=begin, until=day, known_on=day)
    stock = CellarFlow.of(store, picks, day)
    return Seen(
        day=day,
        dates=(*dates, *earlier.dates, *_as_noted(stages)),
        work=tuple(
            WorkNoted(entry.day, entry.job, entry.cultivar, entry.where, entry.hours or 0.0)
            for entry in store.entries(WorkDone, since=day - _WORK_BACK, until=day, known_on=day)
        )
        + _implied(stages, counts, tests, read)
        + _worked(watered, sound, stock.pressed),
        picked=_sums(now),
        picked_on=_days_picked(sound),
        picked_before={(line.year, line.cultivar): line.kg for line in earlier.picked},
        over=tuple(
            {
                entry.cultivar
                for entry in stages
                if entry.stage is SeenStage.LAST_PICK and entry.day >= begin and entry.cultivar
            }
        ),
        trees=_trees(store.entries(TreeChanged, until=day, known_on=day)),
        counts=tuple(
            TreeCount(
                entry.cultivar,
                entry.day,
                entry.counted is Counted.CLUSTERS,
                entry.count / entry.trees,
                entry.trees,
            )
            for entry in counts
        ),
        sizes=_sizes(store.entries(FruitSized, since=begin, until=day, known_on=day)),
        tests=tuple(
            RipeTest(entry.cultivar, entry.day, entry.fruits or 5, entry.starch, entry.firmness, entry.brix)
            for entry in tests
        ),
        trunks=_trunks(trunks),
        runs=_runs(watered),
        pests=tuple(
            PestNoted(on, facts["what"], facts.get("on", ""), facts.get("count"), facts.get("share"))
            for on, facts in store.days_and_facts(
                PestSeen, since=date(day.year - 1, 9, 1), until=day, known_on=day
            )
        ),
        lots=left_of(stock),
        drawn=overdrawn(picks, stock.taken, stock.looked, since=day - _DRAWN_TOLD),
        cellar=read[-1].temperature if read else None,
        ph=ph_noted(store, day, picks),
        pressed=pressed_by(store, stock.pressed, day),
    )


@dataclass(frozen=True)
class PickedIn:
    """Fruit of a cultivar picked in a year."""

    year: int
    cultivar: str
    kg: float


@dataclass(frozen=True)
class EarlierYears:
    """What a season remembers of the years before it."""

    dates: tuple[OwnDate, ...]
    picked: tuple[PickedIn, ...]


def _earlier(store: RecordStore, folder: Path, day: date) -> EarlierYears:
    """Of the years before that of `day`, kept beside the plan until one of their entries, or a correction, comes in."""
    last = date(day.year - 1, 12, 31)
    key = key_of((day.year, store.mark_of((StageSeen, FruitPicked), until=last, known_on=day)))
    kept = load(folder, _EARLIER, key, EarlierYears)
    if kept is not None:
        return kept
    stages = store.entries(StageSeen, until=last, known_on=day)
    picks = store.entries(FruitPicked, until=last, known_on=day)
    sums: dict[tuple[int, str], float] = defaultdict(float)
    for entry in picks:
        sums[entry.day.year, entry.cultivar] += entry.mass
    sound = [entry for entry in picks if entry.grade is not FruitGrade.WINDFALL]
    picked = tuple(PickedIn(year, cultivar, kg) for (year, cultivar), kg in sums.items())
    found = EarlierYears(tuple(_dates(stages, sound)), picked)
    keep(folder, _EARLIER, key, found)
    return found


def _sums(picks: Iterable[FruitPicked]) -> dict[str, float]:
    found: dict[str, float] = defaultdict(float)
    for entry in picks:
        found[entry.cultivar] += entry.mass
    return dict(found)


def _days_picked(picks: Iterable[FruitPicked]) -> dict[str, tuple[date, ...]]:
    found: dict[str, set[date]] = defaultdict(set)
    for entry in picks:
        if entry.cultivar:
            found[entry.cultivar].add(entry.day)
    return {cultivar: tuple(sorted(days)) for cultivar, days in found.items()}


def _as_noted(stages: Iterable[StageSeen]) -> list[DaySeen]:
    """Each date of this year apart: which of them are weighed is found against what is reckoned."""
    found = Counter(
        (entry.cultivar, event, entry.day)
        for entry in stages
        if (event := _EVENTS.get(entry.stage)) is not None and entry.cultivar
    )
    return [
        DaySeen(f"{cultivar} {event} {day}", cultivar, event, day, times=times)
        for (cultivar, event, day), times in sorted(found.items())
    ]


def _dates(stages: Iterable[StageSeen], picks: Iterable[FruitPicked]) -> list[OwnDate]:
    """One date a cultivar, year and event: the middle of those seen; a first pick by the first fruit picked. What lies
    far apart has no middle: each is a date of its own, and what is learnt takes those near the forecast."""
    days: dict[tuple[str, int, DateSeen], list[int]] = defaultdict(list)
    for entry in stages:
        event = _EVENTS.get(entry.stage)
        if event is not None and entry.cultivar:
            days[entry.cultivar, entry.day.year, event].append(entry.day.toordinal())
    first: dict[tuple[str, int], int] = {}
    for pick in picks:
        if pick.cultivar:
            at = pick.cultivar, pick.day.year
            first[at] = min(first.get(at, pick.day.toordinal()), pick.day.toordinal())
    for (cultivar, year), at_first in first.items():
        days.setdefault((cultivar, year, DateSeen.FIRST_PICK), [at_first])
    return [
        OwnDate(
            f"{cultivar} {year} {event}", cultivar, event, date.fromordinal(round(float(np.median(together))))
        )
        for (cultivar, year, event), found in days.items()
        for together in _near_each_other(sorted(found))
    ]


def _near_each_other(days: list[int]) -> Iterator[list[int]]:
    """Days in their order, parted where nothing was seen for more than _ONE_BLOOM."""
    begin = 0
    for at in range(1, len(days) + 1):
        if at == len(days) or days[at] - days[at - 1] > _ONE_BLOOM:
            yield days[begin:at]
            begin = at


def _implied(
    stages: Iterable[StageSeen],
    counts: Iterable[FruitCounted],
    tests: Iterable[FruitTested],
    read: Iterable[CellarRead],
) -> tuple[WorkNoted, ...]:
    """Jobs of the calendar that are writing something down: the entry itself says they are done."""
    done = [(entry.day, str(entry.stage)) for entry in stages if entry.stage in _WRITTEN]
    done += [(entry.day, "count clusters") for entry in counts if entry.counted is Counted.CLUSTERS]
    done += [(entry.day, "test maturity") for entry in tests] + [
        (entry.day, "cellar checks") for entry in read
    ]
    return tuple(WorkNoted(day, job, "", "") for day, job in dict.fromkeys(done))


def _trees(changes: Iterable[TreeChanged]) -> tuple[TreeNoted, ...]:
    """What stands at each place of which something is noted, by the last of its entries."""
    found: dict[TreeAddress, TreeNoted] = {}
    for entry in changes:
        at = entry.address
        if at is None:
            continue
        before = found.get(at)
        if entry.event in (TreeEvent.DIED, TreeEvent.REMOVED):
            was = before.cultivar if before else ""
            found[at] = TreeNoted(at, False, was, entry.day.year, True)
            continue
        cultivar = entry.cultivar or (before.cultivar if before else "")
        anew = before is not None or entry.event is not TreeEvent.PLANTED
        planted = entry.day.year - (entry.day.month < _AUTUMN)
        found[at] = TreeNoted(at, True, cultivar, planted, anew)
    return tuple(found.values())


def _worked(
    watered: Iterable[Watered], picked: Iterable[FruitPicked], pressed: Iterable[FruitPressed]
) -> tuple[WorkNoted, ...]:
    """Jobs of the calendar that go on through a season: what came of them says that they were done."""
    done = [(entry.day, "water on") for entry in watered]
    done += [(entry.day, "sort and store") for entry in picked]
    done += [(entry.day, "press") for entry in pressed]
    return tuple(WorkNoted(day, job, "", "", by_yield=True) for day, job in dict.fromkeys(done))


def _sizes(entries: Iterable[FruitSized]) -> tuple[SizeSample, ...]:
    by_day: dict[tuple[str, date], list[float]] = defaultdict(list)
    for entry in entries:
        by_day[entry.cultivar, entry.day] += entry.diameters
    return tuple(
        SizeSample(cultivar, day, float(np.mean(found)), float(np.std(found)), len(found))
        for (cultivar, day), found in sorted(by_day.items(), key=lambda item: item[0][1])
        if found
    )


def _trunks(entries: Iterable[TrunkMeasured]) -> dict[str, tuple[float, int]]:
    areas: dict[str, list[float]] = defaultdict(list)
    for entry in entries:
        areas[entry.cultivar].append(float(area_of_diameter(entry.diameter * _MM)))
    return {cultivar: (float(np.mean(found)), len(found)) for cultivar, found in areas.items() if cultivar}


def _runs(entries: Iterable[Watered]) -> dict[str, list[tuple[date, float]]]:
    found: dict[str, list[tuple[date, float]]] = defaultdict(list)
    for entry in entries:
        if entry.hours is not None:
            found[entry.block].append((entry.day, entry.hours))
    return dict(found)
