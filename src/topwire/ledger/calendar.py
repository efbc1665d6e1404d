"""The calendar: every job from the soil test to the end of the horizon, dated by the graph of what waits for what."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil

from topwire.ledger.asked import LedgerQuestion, Picked
from topwire.ledger.findings import Job, JobKind, LateLine, Maturity, OwnTask, WorkText
from topwire.ledger.graph import Done, Wait, Wish, last_days
from topwire.ledger.late import Started, started
from topwire.ledger.work_rows import SEASON, MaturityRow, WorkRow, day_of, years_after_planting
from topwire.nursery.findings import NurseryJob
from topwire.soil.warmth import SoilDates, soil_dates, soil_temperature
from topwire.water.need import LAST_LEAF_FALL

_AFTER_FROST = 14.0  # [d] from the first autumn frost to bare trees, as Water counts it
_TO_SET_ROOTS = 28  # [d] of open ground a tree set in autumn should find: common practice, no source
_AFTER_THAW = 7  # [d] for the ground to drain
ROOTS_AT_RISK = 0.1  # share of winters that hurt bare-soil roots, above which trees wait for spring: proposal
_LIFTING, _SETTING = 14, 28  # [d] wished for lifting, and for planting
_A_CROP = 0.05  # of a cultivar's full crop is worth a pick
_A_HANDFUL = 0.3  # [kg a tree] or that
_BORNE_BY_ALL = 10  # leaf that standing trees count as
_POUND = 0.45359237  # [kg]
_PICKERS = 3
_NURSERY_WAITS: Mapping[NurseryJob, tuple[Wait, ...]] = {
    NurseryJob.CUT_WOOD: (Wait(NurseryJob.MOTHER_ROW),),
    NurseryJob.KEEP_COLD: (Wait(NurseryJob.CUT_WOOD, begun=True),),
    NurseryJob.BENCH_GRAFT: (Wait(NurseryJob.ORDER_STOCKS), Wait(NurseryJob.CUT_WOOD)),
    NurseryJob.CALLUS: (Wait(NurseryJob.BENCH_GRAFT, begun=True),),
    NurseryJob.LINE_OUT: (Wait(NurseryJob.CALLUS), Wait("nursery ground")),
    NurseryJob.COUNT_TAKES: (Wait(NurseryJob.LINE_OUT),),
    NurseryJob.BUD_FAILURES: (Wait(NurseryJob.COUNT_TAKES),),
    NurseryJob.HEAD_WHIPS: (Wait(NurseryJob.LINE_OUT),),
}
_IN_GROUND = (NurseryJob.MOTHER_ROW, NurseryJob.LINE_OUT, NurseryJob.LIFT, NurseryJob.PLANT)
_NURSERY_PEOPLE: Mapping[NurseryJob, int] = {
    NurseryJob.BENCH_GRAFT: 2,
    NurseryJob.LIFT: 2,
    NurseryJob.PLANT: 3,
}
_NURSERY_LABOUR: Mapping[NurseryJob, str] = {
    NurseryJob.MOTHER_ROW: OwnTask.GRAFTING,
    NurseryJob.ORDER_STOCKS: "orders and notes",
    NurseryJob.CUT_WOOD: "orders and notes",
    NurseryJob.KEEP_COLD: "orders and notes",
    NurseryJob.BENCH_GRAFT: OwnTask.GRAFTING,
    NurseryJob.CALLUS: "orders and notes",
    NurseryJob.LINE_OUT: OwnTask.NURSERY_CARE,
    NurseryJob.COUNT_TAKES: "orders and notes",
    NurseryJob.BUD_FAILURES: OwnTask.NURSERY_CARE,
    NurseryJob.HEAD_WHIPS: OwnTask.NURSERY_CARE,
    NurseryJob.LIFT: OwnTask.NURSERY_CARE,
    NurseryJob.PLANT: "planting",
}
# What becomes of a late start's nursery: without wood or grafting weeks there is nothing to line out.
_NURSERY_LATE: Mapping[NurseryJob, str] = {
    NurseryJob.ORDER_STOCKS: "",
    NurseryJob.CUT_WOOD: SEASON,
    NurseryJob.BENCH_GRAFT: SEASON,
    NurseryJob.PLANT: "",
}
_OF_A_SEASON = (NurseryJob.CALLUS, NurseryJob.LINE_OUT, NurseryJob.HEAD_WHIPS)  # by their nature
_NURSERY_BILL = "nursery.grafts"
_READY = ("fence", "posts and wires", "lay water", "place for trees")  # before a tree is set


@dataclass(frozen=True)
class Dated:
    """A job with its dates, and the task of labour.csv its hours come from; empty where they count elsewhere."""

    job: Job
    labour: str
    year: int  # index into the horizon; below zero before the planting year


@dataclass(frozen=True)
class Sketch:
    """A job before the graph has dated it."""

    wish: Wish
    kind: JobKind
    work: str
    cultivar: str = ""
    leaf: int | None = None
    stage: str = ""
    days_after: int = 0
    labour: str = ""
    people: int = 1
    maturity: Maturity | None = None
    late: str = ""
    by_row: bool = False
    bill: str = ""
    cider: bool = False
    until: str = ""


@dataclass(frozen=True)
class Dates:
    """The whole calendar.

    Attributes
    ----------
    jobs : in order of date
    spring : trees are held over the winter and set when the ground opens
    late : of every work done once, what a late start does to it
    """

    jobs: tuple[Dated, ...]
    spring: bool
    late: tuple[LateLine, ...]


@dataclass(frozen=True)
class Almanac:
    """Dates of the place in its middle year, with the soil's."""

    stages: Mapping[str, float]
    soil: SoilDates
    spring: bool  # trees are held over the winter and set when the ground opens


def almanac(asked: LedgerQuestion) -> Almanac:
    """The place's stages with those of the soil, leaf fall, and the day the trees are set.

    Trees are set in autumn where four weeks of open ground follow leaf fall and winters spare the roots; else in
    spring, a week after the ground opens.
    """
    soil = soil_dates(soil_temperature(asked.monthly_air))
    stages = dict(asked.stages)
    leaf_fall = min(stages.get("first_frost", 300.0) + _AFTER_FROST, LAST_LEAF_FALL)
    found = {"leaf_fall": leaf_fall, "soil_10": soil.at_10, "soil_16": soil.at_16}
    autumn = leaf_fall + _LIFTING / 2
    shut = soil.freezes is not None and soil.freezes < autumn + _TO_SET_ROOTS
    spring = shut or asked.root_injury > ROOTS_AT_RISK
    opens = max(soil.thaws or 0.0, (soil.at_10 or 90.0) - 35.0)
    found["planting"] = opens + _AFTER_THAW if spring else autumn
    found["press_first"], found["press_last"] = asked.press
    stages |= {name: day for name, day in found.items() if day is not None}
    return Almanac(stages, soil, spring)


def dated_jobs(asked: LedgerQuestion, hours: Mapping[str, float]) -> Dates:
    """Every job in order of date.

    Parameters
    ----------
    hours : mapping
        Of work done once, by task; what takes long begins early enough. [h]
    """
    found = almanac(asked)
    sketches = _once(asked, found, hours) if asked.trees else []
    for leaf in range(0, asked.horizon):
        sketches += _yearly(asked, found, leaf)
    sketches = _without_absent(sketches)
    frozen = _Frozen(found.soil)
    late = {sketch.wish.key: sketch.late for sketch in sketches if sketch.leaf is None}
    begin = date.fromisoformat(asked.begin).toordinal() if asked.begin else None
    way = started([sketch.wish for sketch in sketches], late, begin, frozen)
    waits = {wish.key: wish.waits for wish in way.wishes}
    made = [
        _dated(sketch, way.days[sketch.wish.key], waits[sketch.wish.key], asked.planting)
        for sketch in sketches
        if sketch.wish.key in waits
    ]
    made.sort(key=lambda line: (line.job.start, line.job.end, line.job.key))
    return Dates(tuple(made), found.spring, _late_lines(sketches, way, frozen))


def _late_lines(sketches: list[Sketch], way: Started, frozen: Callable[[int], bool]) -> tuple[LateLine, ...]:
    late = {sketch.wish.key: sketch.late for sketch in sketches if sketch.leaf is None}
    there = {wish.key for wish in way.wishes}
    caps = {
        wish.key: max(way.days[wish.key].end, wish.start + wish.length)
        for wish in way.wishes
        if late.get(wish.key) == SEASON or wish.key in _OF_A_SEASON
    }
    last = (
        last_days(way.wishes, way.days, NurseryJob.PLANT, frozen, caps) if NurseryJob.PLANT in there else {}
    )

    def iso(day: int | None) -> str | None:
        return None if day is None else date.fromordinal(day).isoformat()

    lines = [
        LateLine(
            sketch.work,
            sketch.kind,
            date.fromordinal(sketch.wish.start).isoformat(),
            iso(way.days[sketch.wish.key].start) if sketch.wish.key in there else None,
            iso(last.get(sketch.wish.key)),
        )
        for sketch in sketches
        if sketch.leaf is None
    ]
    return tuple(sorted(lines, key=lambda line: line.wished))


class _Frozen:
    """Whether the ground is shut on a running day."""

    def __init__(self, soil: SoilDates) -> None:
        self._soil = soil

    def __call__(self, day: int) -> bool:
        found = date.fromordinal(day)
        return self._soil.frozen(min(found.timetuple().tm_yday, 365))


def _dated(sketch: Sketch, done: Done, waits: tuple[Wait, ...], planting: int) -> Dated:
    start, end, latest = (date.fromordinal(day) for day in (done.start, done.end, done.latest))
    job = Job(
        key=sketch.wish.key,
        kind=sketch.kind,
        work=sketch.work,
        cultivar=sketch.cultivar,
        leaf=sketch.leaf,
        start=start.isoformat(),
        end=end.isoformat(),
        latest=latest.isoformat(),
        stage=sketch.stage,
        days_after=sketch.days_after,
        after=tuple(wait.task for wait in waits),
        slipped=float(done.slipped),
        hours=None,
        people=sketch.people,
        maturity=sketch.maturity,
        by_row=sketch.by_row,
        bill=sketch.bill,
        cider=sketch.cider,
        until=sketch.until,
    )
    return Dated(job, sketch.labour, sketch.leaf if sketch.leaf is not None else start.year - planting)


def _without_absent(sketches: list[Sketch]) -> list[Sketch]:
    """Waits for jobs this orchard does not have fall away."""
    there = {sketch.wish.key for sketch in sketches}
    return [
        replace(
            sketch,
            wish=replace(sketch.wish, waits=tuple(wait for wait in sketch.wish.waits if wait.task in there)),
        )
        for sketch in sketches
    ]


def _once(asked: LedgerQuestion, found: Almanac, hours: Mapping[str, float]) -> list[Sketch]:
    """Work done once, the nursery's jobs, lifting and planting."""
    has = {*asked.conditions, "spring_planting" if found.spring else "autumn_planting"}
    sketches = []
    for row in asked.work:
        if row.year and set(row.conditions) <= has:
            year = asked.planting + years_after_planting(row.year, asked.nursery_seasons)
            needed = ceil(7 * hours.get(row.labour or "", 0.0) / (asked.hands * asked.hours_per_week))
            waits = tuple(Wait(name, begun) for name, begun in row.waits)
            sketches += _row_sketch(row, row.item, waits, found, year, None, needed)
    return sketches + _nursery(asked, found)


def _nursery(asked: LedgerQuestion, found: Almanac) -> list[Sketch]:
    sketches = []
    for line in asked.nursery_days:
        first, last = (date.fromisoformat(day).toordinal() for day in (line.first, line.last))
        waits = _NURSERY_WAITS.get(line.job, ())
        sketches.append(
            _nursery_sketch(line.job, first, last - first, waits, line.job is NurseryJob.ORDER_STOCKS)
        )
    fall = found.stages["leaf_fall"]
    lifted = (Wait(NurseryJob.LINE_OUT), Wait(NurseryJob.HEAD_WHIPS), Wait("place for trees"))
    if asked.nursery_days:
        lift = running_day(asked.planting, fall)
        sketches.append(_nursery_sketch(NurseryJob.LIFT, lift, _LIFTING, lifted, False))
    ready = tuple(Wait(name) for name in _READY)
    year = asked.planting + found.spring
    trees = Wait("hold cold") if found.spring else Wait(NurseryJob.LIFT, begun=True)
    first = running_day(year, found.stages["planting"])
    sketches.append(
        _nursery_sketch(NurseryJob.PLANT, first, 21 if found.spring else _SETTING, (*ready, trees), False)
    )
    return sketches


def _nursery_sketch(job: NurseryJob, start: int, length: int, waits: tuple[Wait, ...], moves: bool) -> Sketch:
    return Sketch(
        Wish(str(job), start, length, waits, moves, job in _IN_GROUND),
        JobKind.NURSERY,
        str(job),
        labour=_NURSERY_LABOUR[job],
        people=_NURSERY_PEOPLE.get(job, 1),
        late=_NURSERY_LATE.get(job, NurseryJob.BENCH_GRAFT),
        by_row=job is NurseryJob.PLANT,
        bill=_NURSERY_BILL,
    )


def _yearly(asked: LedgerQuestion, found: Almanac, leaf: int) -> list[Sketch]:
    """Work of the year in which the trees are in that leaf, 0 being the planting year."""
    has = {*asked.conditions, *_of_leaf(asked, leaf)}
    picks = _picks(asked, leaf)
    found = _harvest_of(found, picks, asked.planting + leaf)
    if leaf == 0 and (found.spring or not asked.trees):
        return []
    age = leaf if asked.trees else _BORNE_BY_ALL + leaf
    rows = {
        row.item: row
        for row in asked.work
        if not row.year and _falls_in(row, age) and set(row.conditions) <= has
    }
    sketches: list[Sketch] = []
    for row in rows.values():
        waits = tuple(Wait(f"{name}.{leaf}" if name in rows else name, begun) for name, begun in row.waits)
        sketches += _row_sketch(row, f"{row.item}.{leaf}", waits, found, asked.planting + leaf, leaf, 0)
    return sketches + (picks if leaf else [])


def _harvest_of(found: Almanac, picks: Sequence[Sketch], year: int) -> Almanac:
    """The year's own first and last pick: in the first crops not every cultivar bears."""
    if not picks:
        return found
    begin = date(year, 1, 1).toordinal() - 1
    first = float(min(pick.wish.start for pick in picks) - begin)
    last = float(max(pick.wish.start + pick.wish.length for pick in picks) - begin)
    press = max(found.stages["press_first"], first), max(found.stages["press_last"], first)
    own = {
        "first_harvest": first,
        "last_harvest": last,
        "press_first": press[0],
        "press_last": press[1],
    }
    return replace(found, stages={**found.stages, **own})


def _falls_in(row: WorkRow, leaf: int) -> bool:
    return row.first_leaf <= leaf <= row.last_leaf and (leaf - row.first_leaf) % row.every == 0


def _of_leaf(asked: LedgerQuestion, leaf: int) -> list[str]:
    bears = bool(_picks(asked, leaf))
    young = any(
        line.trees and (line.reaches_wire is None or leaf <= line.reaches_wire) for line in asked.cultivars
    )
    first = bears and not _picks(asked, leaf - 1) and not asked.standing
    return [name for name, so in (("bearing", bears), ("young", young), ("first_crop", first)) if so]


def _row_sketch(
    row: WorkRow, key: str, waits: tuple[Wait, ...], found: Almanac, year: int, leaf: int | None, needed: int
) -> list[Sketch]:
    """None where the place lacks the stage."""
    day, until = day_of(row.stage, found.stages), day_of(row.until or row.stage, found.stages)
    if day is None or until is None:
        return []
    start = running_day(year, day + row.begin)
    length = max(running_day(year, until + row.end) - start, needed, 0)
    wish = Wish(key, start, length, waits, row.moves == "yes", row.ground == "open", least=needed or 7)
    return [
        Sketch(
            wish,
            JobKind.TABLE,
            row.item,
            leaf=leaf,
            stage=_stage(row.stage),
            days_after=row.begin,
            labour=row.labour or "",
            people=row.people,
            late=row.late or "",
            by_row=row.where == "rows",
            bill=row.bill or "",
            until=_stage(row.until or ""),
        )
    ]


def _stage(said: str) -> str:
    """A stage's name; a month-day has none."""
    return "" if said[:1].isdigit() else said


def _picks(asked: LedgerQuestion, leaf: int) -> list[Sketch]:
    """One for every cultivar that bears in that leaf; standing trees bear in every one."""
    known = {row.cultivar: row for row in asked.maturity}
    year = asked.planting + leaf
    table, found = asked.crop_by_cultivar(), []
    for line, crops in zip(asked.cultivars, table.T, strict=True):
        crop = crops[min(leaf, len(crops)) - 1] if leaf > 0 and len(crops) else 0.0
        enough = min(_A_CROP * crops.max(initial=0.0), _A_HANDFUL * line.trees)
        bears = (line.standing > 0 and leaf >= 0) or (crop > 0 and crop >= enough)
        if not bears or line.first is None or line.last is None:
            continue
        start = running_day(year, line.first)
        length = running_day(year, line.last) - start
        store = () if line.cider else (Wait(f"clean store.{leaf}"),)  # it sweats in bins outdoors
        wish = Wish(f"pick.{line.name}.{leaf}", start, length, store)
        found.append(
            Sketch(
                wish, JobKind.PICK, "pick", line.name, leaf, labour="picking", people=_PICKERS,
                maturity=None if line.cider else _maturity(line, known), by_row=True, cider=line.cider,
            )
        )  # fmt: skip
    return found


def _maturity(cultivar: Picked, known: Mapping[str, MaturityRow]) -> Maturity | None:
    row = known.get(cultivar.name)
    said = row or known.get("any for keeping" if cultivar.keeps else "any for the table")
    if said is None:
        return None
    short, long = (
        None if row is None or pounds is None else pounds * _POUND
        for pounds in (said.firmness_short_lb, said.firmness_long_lb)
    )
    return Maturity(said.starch_mature, said.starch_over, short, long, row is not None)


def work_texts(rows: tuple[WorkRow, ...]) -> tuple[WorkText, ...]:
    """The table's own words, by item."""
    return tuple(
        WorkText(row.item, row.what, row.how, row.caution or "", row.tools or "", row.lost or "")
        for row in rows
    )


def running_day(year: int, day_of_year: float) -> int:
    """Running day of a day of the common year, so that 1 June stays 1 June in a leap year; others years' days too."""
    day = date(2001, 1, 1) + timedelta(days=round(day_of_year) - 1)
    return day.replace(year=year + day.year - 2001).toordinal()
