"""What the records teach beside dates, and having the plan follow it: rows in the folder `learned`, or a setting."""

import csv
import io
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from pathlib import Path
from statistics import fmean

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import LEARNED, read_tables
from topwire.choice.hands import picking_ease
from topwire.engine.department import Earlier
from topwire.engine.inputs import PLAN_FILE, Inputs, read_inputs
from topwire.engine.noted import noted_orchard
from topwire.engine.orchard import Orchard
from topwire.engine.plan_text import save_plan
from topwire.engine.recall import last_plan, orchard_of
from topwire.engine.steps import STEPS, WATER
from topwire.files.safely import write_safely
from topwire.growth.rows import LoadRow
from topwire.learning.figures import FigureLearnt, NoteLeftOut, Taught
from topwire.learning.from_entries import (
    TaskRate,
    crop_learnt,
    growth_learnt,
    hours_learnt,
    keeping_learnt,
    water_learnt,
)
from topwire.ledger.labour import LabourRow
from topwire.ledger.work import slower
from topwire.ledger.work_rows import WorkRow
from topwire.plan.read import read_plan_text
from topwire.plan.rewritten import rewritten
from topwire.records.entries import FruitPicked, FruitPressed, LotChecked, TrunkMeasured, Watered, WorkDone
from topwire.records.opening import NotSaved
from topwire.records.store import open_store
from topwire.values.fault import Faults, fault
from topwire.values.key import key_of
from topwire.values.notice import CannotAnswer
from topwire.values.own_date import OwnDate
from topwire.values.units import UnitSystem
from topwire.water.findings import Zone
from topwire.water.week import hours_by_rule

DATES = "dates"
_FILES: Mapping[Taught, str] = {
    Taught.KEEPING: "cultivars.csv",
    Taught.HOURS: "labour.csv",
    Taught.YIELD: "crop_load.csv",
}
# What a job is called beside the words of the calendar and of the table of labour.
_ALSO_CALLED: Mapping[str, str] = {
    "pruning": "winter pruning", "dormant pruning": "winter pruning", "thinning": "hand thinning",
    "picking": "picking", "pressing": "pressing",
}  # fmt: skip
BEARS = 4  # leaf from which a crop is more than half a full one (yield_by_leaf.csv)
FULL_GROWN = 5  # leaf from which work_calendar.csv counts trees as grown
_OF_GROWN_TREES: Mapping[str, str | None] = {"winter pruning": "winter pruning young", "hand thinning": None}
_TASK_BASES = ("min/tree", "kg/h")


@dataclass(frozen=True)
class LearntFigures:
    """Everything the records teach beside dates.

    Attributes
    ----------
    planned : there is a plan whose forecast the crop could be held against
    used : what the plan follows today
    units : of the plan
    left_out : notes beyond belief, which teach nothing; by day
    """

    figures: tuple[FigureLearnt, ...]
    planned: bool
    used: tuple[Taught, ...]
    units: UnitSystem
    left_out: tuple[NoteLeftOut, ...] = ()


def learn(folder: Path) -> LearntFigures:
    """What the records of the orchard teach of keeping, hours and crop.

    Raises
    ------
    Faults
        Where the inputs or the records cannot be read.
    """
    inputs = read_inputs(folder)
    stated = Catalogue(read_tables(folder / "catalogue", learnt=False))
    last = last_plan(folder)
    orchard = orchard_of(folder, last) if last is not None else None
    try:
        with open_store(folder, make=False) as store:
            picks, work = store.entries(FruitPicked), store.entries(WorkDone)
            trunks = store.entries(TrunkMeasured)
            watered = store.entries(Watered)
            checks, pressings = store.entries(LotChecked), store.entries(FruitPressed)
    except FileNotFoundError:
        picks, work, trunks, watered, checks, pressings = (), (), (), (), (), ()
    except NotSaved as hindered:
        raise Faults(hindered.notices) from None
    keeps = {name: row.storage_weeks for name, row in stated.cultivar.items() if row.storage_weeks}
    mature = next(row.load for row in stated.rows("crop_load", LoadRow) if row.item == "mature yield")
    learnt: tuple[tuple[list[FigureLearnt], list[NoteLeftOut]], ...] = (
        keeping_learnt(picks, checks, keeps),
        hours_learnt(
            work,
            picks,
            pressings,
            tasks_of(stated, _new_trees(orchard)),
            _task_of(inputs.plan.years.planting, stated),
            _trees_in(folder),
            _ease(stated),
        ),
        growth_learnt(trunks, _trunk_widths(inputs, orchard)),
        (water_learnt(watered, *_water_by_rule(inputs, orchard, {run.day.year for run in watered})), []),
        crop_learnt(picks, _forecast(inputs, orchard, mature), mature),
    )
    return LearntFigures(
        figures=tuple(line for figures, _ in learnt for line in figures),
        planned=orchard is not None,
        used=tuple(what for what, name in _FILES.items() if (folder / LEARNED / name).is_file()),
        units=inputs.plan.unit_system,
        left_out=tuple(sorted((one for _, out in learnt for one in out), key=lambda one: one.day)),
    )


def tasks_of(stated: Catalogue, trees: int) -> dict[str, TaskRate]:
    """Rates of the table as the ledger takes them where so many new trees stand: a garden's hours are no crew's."""
    found = {}
    for row in stated.rows("labour", LabourRow):
        if row.basis in _TASK_BASES:
            times = slower(row, trees) if row.basis == "min/tree" else 1.0 / slower(row, trees)
            rates = (times * rate for rate in (row.low, row.middle, row.high))
            found[row.task] = TaskRate(row.task, row.basis, *rates)
    return found


def _new_trees(orchard: Orchard | None) -> int:
    layout = orchard.layout if orchard is not None else None
    return 0 if layout is None else int(((layout.cultivar >= 0) & ~layout.standing).sum())


def _task_of(planting: int, stated: Catalogue) -> Callable[[str, date], str | None]:
    """By what a job is called; the calendar's items lead to their labour.

    In the first four leaves pruning is that of young trees, and thinning less than the table's, at a full crop.
    """
    items = {row.item.lower(): row.labour for row in stated.rows("work_calendar", WorkRow) if row.labour}
    names = {**items, **{name.lower(): name for name in tasks_of(stated, 0)}, **_ALSO_CALLED}

    def task_of(job: str, day: date) -> str | None:
        task = names.get(job.lower())
        if task is not None and day.year - planting < FULL_GROWN and task in _OF_GROWN_TREES:
            return _OF_GROWN_TREES[task]
        return task

    return task_of


def _ease(stated: Catalogue) -> dict[str, float]:
    """How fast each cultivar is picked, as the ledger and the week reckon it."""
    mass = {name: row.fruit_mass_g for name, row in stated.cultivar.items() if row.fruit_mass_g}
    return {name: float(picking_ease([grams / 1000])[0]) for name, grams in mass.items()}


def _trees_in(folder: Path) -> dict[str, int]:
    """Trees of every row and block of the last plan, by name."""
    trees = [tree for tree, cultivar in noted_orchard(folder).trees.items() if cultivar]
    return dict(Counter([f"{tree.block} {tree.row}" for tree in trees] + [tree.block for tree in trees]))


def _forecast(inputs: Inputs, orchard: Orchard | None, mature: float) -> dict[tuple[str, int], float]:
    """[kg] of each cultivar and year by the last plan, as the table's own mature yield would have it.

    Trees planted in one autumn only: several autumns mix leaves. Before the fourth leaf a tree bears what thinning and
    training leave it, which says little of its crop when grown.
    """
    crop, choice = (orchard.years, orchard.choice) if orchard is not None else (None, None)
    if crop is None or choice is None or (choice.batches is not None and choice.batches.planned):
        return {}
    followed = next(
        row.load for row in inputs.catalogue.rows("crop_load", LoadRow) if row.item == "mature yield"
    )
    found = {}
    for at, name in enumerate(crop.cultivars):
        for leaf in crop.leaf.tolist()[BEARS - 1 :]:
            kilograms = float(crop.kg_per_tree[at, leaf - 1, 1]) * int(crop.trees[at])
            found[name, inputs.plan.years.planting + leaf] = kilograms * mature / followed
    return found


def _trunk_widths(inputs: Inputs, orchard: Orchard | None) -> dict[tuple[str, int], float]:
    """[m] of each cultivar's trunks at the end of a year, by the last plan."""
    crop = orchard.years if orchard is not None else None
    if crop is None or not crop.trunk_width.size:
        return {}
    return {
        (name, inputs.plan.years.planting + leaf): float(crop.trunk_width[at, leaf - 1])
        for at, name in enumerate(crop.cultivars)
        for leaf in crop.leaf.tolist()
    }


def _water_by_rule(
    inputs: Inputs, orchard: Orchard | None, years: Iterable[int]
) -> tuple[dict[tuple[str, int], float], dict[str, float]]:
    """[h] each block would have run by the plan's rule, by year, and its flow while it runs [m3/h]."""
    water = orchard.water if orchard is not None else None
    if orchard is None or water is None or not (years := sorted(years)):
        return {}, {}
    try:
        asked = WATER.ask(
            inputs, Earlier({name: one for name, one in orchard.departments.items() if one is not None})
        )
    except (CannotAnswer, Faults, KeyError):
        return {}, {}
    zones: dict[str, list[Zone]] = defaultdict(list)
    for zone in water.zones:
        zones[zone.block].append(zone)
    rule: dict[tuple[str, int], float] = {}
    for year in years:
        with suppress(CannotAnswer):
            by_zone = hours_by_rule(asked, water, year, inputs.weather)
            if by_zone is not None:
                rule |= {
                    (block, year): fmean(by_zone[one.name] for one in own) for block, own in zones.items()
                }
    return rule, {block: fmean(3600 * zone.flow for zone in own) for block, own in zones.items()}


def use(folder: Path, whats: Sequence[str], learnt: LearntFigures) -> list[str]:
    """Have the plan follow these figures from now on; what was written, in words.

    Raises
    ------
    Faults
        Where the records teach nothing of one of them.
    """
    said = []
    for what in whats:
        if what == DATES:
            said.append(_use_dates(folder))
            continue
        path, count = write_figures(folder / LEARNED, what, learnt, folder)
        said.append(f"{path}: {count} figure{'s' if count != 1 else ''}")
    return said


def write_figures(room: Path, what: str, learnt: LearntFigures, folder: Path) -> tuple[Path, int]:
    """What the records of `folder` teach of one thing as a table in `room`; its file, and how many figures.

    Raises
    ------
    Faults
        Where they teach nothing of it.
    """
    lines = [line for line in learnt.figures if line.what == what]
    if not lines:
        out = any(one.what == what for one in learnt.left_out)
        remedy = (
            f"Notes of it were left out as beyond belief: topwire learn {folder} tells them." if out else ""
        )
        raise Faults([fault(what, "the records teach nothing of it yet.", remedy)])
    path = room / _FILES[Taught(what)]
    path.parent.mkdir(exist_ok=True)
    write_safely(path, _rows(Taught(what), lines, folder).encode())
    return path, len(lines)


def unuse(folder: Path, whats: Sequence[str]) -> list[str]:
    """Have the plan follow the catalogue again."""
    said = []
    for what in whats:
        if what == DATES:
            said.append(_change_plan(folder, None, "own dates no longer followed"))
            continue
        path = folder / LEARNED / _FILES[Taught(what)]
        if path.is_file():
            path.unlink()
            said.append(f"{path} taken away")
    return said


def _rows(what: Taught, lines: Sequence[FigureLearnt], folder: Path) -> str:
    stated = Catalogue(read_tables(folder / "catalogue", learnt=False))
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    if what is Taught.KEEPING:
        writer.writerow(["name", "storage_weeks"])
        writer.writerows([line.name, f"{line.now:.3g}"] for line in lines)
        return out.getvalue()
    if what is Taught.HOURS:
        rows = {row.task: (row.low, row.middle, row.high) for row in stated.rows("labour", LabourRow)}
        writer.writerow(["task", "low", "middle", "high"])
    else:
        rows = {row.item: (row.low, row.load, row.high) for row in stated.rows("crop_load", LoadRow)}
        writer.writerow(["item", "low", "load", "high"])
    for line in lines:  # the range of a year stays as wide as the table has it
        writer.writerow(
            [line.name, *(f"{figure * line.now / line.stated:.3g}" for figure in rows[line.name])]
        )
    return out.getvalue()


def last_date(folder: Path) -> int:
    """Year of the last date noted. Raises Faults where there is none."""
    rows = read_inputs(folder).records.rows("bloom", OwnDate)
    if not rows:
        raise Faults([fault(DATES, "no date was noted yet.")])
    return max(row.date.year for row in rows)


def _use_dates(folder: Path) -> str:
    last = last_date(folder)
    return _change_plan(folder, str(last), f"own dates followed until {last}")


def _change_plan(folder: Path, until: str | None, what: str) -> str:
    text = read_plan_text(folder / PLAN_FILE)
    seen = sha256(text.encode()).hexdigest()
    save_plan(folder, rewritten(text, {"place.own_dates_until": until}), seen=seen, what=what)
    return f"{folder / PLAN_FILE}: {what}"


def would_wake(folder: Path) -> tuple[str, ...]:
    """Departments whose question changes by what was just used; empty where nothing was planned yet.

    Each is asked with the last plan's findings of the others: what hangs on a department named here runs after it.
    """
    last = last_plan(folder)
    orchard = orchard_of(folder, last) if last is not None else None
    if last is None or orchard is None:
        return ()
    inputs = read_inputs(folder)
    without = Catalogue(read_tables(folder / "catalogue", learnt=False))
    before = Inputs(
        inputs.folder, inputs.plan, inputs.plan_text, without, inputs.records, inputs.outlines, inputs.standing,
        inputs.weather_paths, inputs.notices,
    )  # fmt: skip
    earlier = Earlier({name: found for name, found in orchard.departments.items() if found is not None})
    woken = []
    for step in STEPS:
        try:
            keys = [key_of(step.pose(asked, earlier).question) for asked in (before, inputs)]
        except (CannotAnswer, Faults, KeyError):
            continue
        if keys[0] != keys[1]:
            woken.append(step.name)
    return tuple(woken)
