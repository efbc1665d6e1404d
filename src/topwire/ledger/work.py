"""The orchard's hours: every task of labour.csv put on the trees, the crop and the dates of this orchard."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from topwire.choice.hands import picking_ease
from topwire.ledger.asked import LedgerQuestion, Picked
from topwire.ledger.calendar import Dated
from topwire.ledger.findings import JobKind, OwnTask, Task
from topwire.ledger.labour import (
    LabourRow,
    crop_hours,
    per_tree_hours,
    spread_over_weeks,
)
from topwire.values.arrays import Floats
from topwire.values.calendar import WEEKS
from topwire.values.terms import GARDEN

PICKING = "picking"
PRESSING = "pressing"
EACH = (
    "h each"  # basis of work that takes so long every time on a hectare; less on less, by its root (proposal)
)
MADE_OF = {"pressing": ("juice", "cider"), "preserving": ("sauce", "butter", "dried")}


# In a garden every job is a walk with the tools fetched and put away, and the hand is not a crew's (proposals).
OUTING, LOOK = 0.25, 0.15  # [h] once, and each week of work that is done every week
EVERY_WEEK = frozenset({"spraying and scouting", "watering", "cellar checks"})
UNPRACTISED = 3.0  # times a crew's minutes a tree; half of that for picking


@dataclass(frozen=True)
class WorkLoad:
    """What the work is done on.

    Attributes
    ----------
    trees : new trees
    hectares : tree ground, row spacing times tree spacing of every new tree [ha]
    fence : of the deer fence [m]
    crop : of every cultivar by year of the horizon, planting year first, shape (years, cultivars) [kg]
    ease : of picking each cultivar, see `labour.picking_ease`, shape (cultivars,) [-]
    full_share : crop of each year as a share of a full-grown one, shape (years,) [-]
    below_wire : share of trees whose leader is below the wire in each year, shape (years,) [-]
    names : of the cultivars
    made : whole fruit that reaches kitchen and press for each use in a full-grown year [kg]
    milled : of it, what goes through the press in each week of the year, shape (52,) [kg]
    kept : of each cultivar, whether its fruit is sorted and stored, which cider fruit is not, shape (cultivars,)
    cider_share : share of the trees whose fruit is for cider, which no one thins by hand
    fixed : hours known from other departments, by task
    """

    trees: int
    hectares: float
    fence: float
    crop: Floats
    ease: Floats
    full_share: Floats
    below_wire: Floats
    names: tuple[str, ...]
    made: Mapping[str, float]
    milled: Floats
    kept: Floats
    cider_share: float
    fixed: Mapping[str, float]

    @property
    def garden(self) -> bool:
        return 0 < self.trees <= GARDEN


def work_load(asked: LedgerQuestion) -> WorkLoad:
    """The load of a question over its horizon."""
    full = float(np.median(asked.orchard_crop[9:, 1]))
    bills = asked.bills
    fixed: dict[str, float] = {
        OwnTask.GRAFTING: bills.grafting_hours,
        OwnTask.NURSERY_CARE: bills.care_hours,
        OwnTask.BUILDING: bills.building_hours,
    }
    return WorkLoad(
        trees=asked.trees,
        hectares=asked.areas.tree_ground / 1e4,
        fence=asked.fence if asked.trees else 0.0,
        crop=by_year(asked.crop_by_cultivar(), asked.horizon),
        ease=picking_ease([line.fruit_mass or 0.18 for line in asked.cultivars]),
        full_share=by_year(asked.orchard_crop[:, 1], asked.horizon) / max(full, 1e-9),
        below_wire=_below_wire(asked.cultivars, asked.horizon),
        names=tuple(line.name for line in asked.cultivars),
        made=asked.made,
        milled=np.asarray(asked.milled),
        kept=np.array([not line.cider for line in asked.cultivars], dtype=float),
        cider_share=sum(line.trees for line in asked.cultivars if line.cider) / max(asked.trees, 1),
        fixed=fixed,
    )


def by_year(by_leaf: Floats, years: int) -> Floats:
    """Figures of leaves 1, 2, ... (first axis) by year of the horizon: none in the planting year, the last held."""
    leaf = np.minimum(np.arange(1, years), len(by_leaf)) - 1
    return np.concatenate([np.zeros((1, *by_leaf.shape[1:])), by_leaf[leaf]])


def _below_wire(lines: Iterable[Picked], years: int) -> Floats:
    """Share of trees whose leader is below the wire at the start of each year's leaf, by their middle leader."""
    leaf = np.arange(years)
    below, trees = np.zeros(years), 0
    for line in lines:
        reached = np.inf if line.reaches_wire is None else line.reaches_wire
        below += line.trees * (leaf <= reached)
        trees += line.trees
    return below / max(trees, 1)


def hours_by_task(rows: Iterable[LabourRow], load: WorkLoad) -> dict[str, Floats]:
    """Hours of every task were it done in each year of the horizon, shape (years,)."""
    years = len(load.full_share)
    found = {str(name): np.full(years, hours) for name, hours in load.fixed.items()}
    return found | {row.task: _hours(row, load) for row in rows}


def _hours(row: LabourRow, load: WorkLoad) -> Floats:
    years = len(load.full_share)
    if row.task in MADE_OF:
        kilograms = sum(load.made.get(use, 0.0) for use in MADE_OF[row.task])
        if row.task == PRESSING:
            kilograms = float(load.milled.sum())
        return crop_hours(kilograms * np.minimum(load.full_share, 1.0), row.middle)
    if row.task == PICKING:
        return crop_hours((load.crop / load.ease).sum(axis=1), row.middle / slower(row, load.trees))
    if row.basis == "kg/h":
        return crop_hours(load.crop @ load.kept, row.middle)
    if row.basis == "min/tree":
        return per_tree_hours(row.middle, load.trees) * _part(row, load) * slower(row, load.trees)
    if row.basis == EACH:
        return np.full(years, row.middle * min(1.0, load.hectares**0.5))
    amount = {"h/100 m": load.fence / 100, "h/ha": load.hectares}[row.basis]
    return np.full(years, row.middle * amount)


def slower(row: LabourRow, trees: int) -> float:
    """Times a crew's hours that a task takes where so many new trees stand: who tends a garden is no crew."""
    if not 0 < trees <= GARDEN:
        return 1.0
    return UNPRACTISED / 2 if row.task == PICKING else UNPRACTISED if row.basis == "min/tree" else 1.0


def _part(row: LabourRow, load: WorkLoad) -> Floats:
    """Share of the trees a task falls on in each year."""
    if row.task == "hand thinning":
        return np.minimum(load.full_share, 1.0) * (1 - load.cider_share)
    if row.task == "strip flowers":
        return load.below_wire
    return np.ones(len(load.full_share))


def with_hours(jobs: Sequence[Dated], rows: Iterable[LabourRow], load: WorkLoad) -> list[tuple[Dated, float]]:
    """Every job with its hours, 0 where they count with another.

    Jobs of one task and year share its hours, picks by their crop; work that takes so long every time has its own.
    """
    rows = tuple(rows)
    hours = hours_by_task(rows, load)
    each = {row.task for row in rows if row.basis == EACH}
    last = len(load.full_share) - 1
    weight = [_weight(line, load, last) for line in jobs]
    together: dict[tuple[str, int | None], float] = {}
    for line, part in zip(jobs, weight, strict=True):
        key = (line.labour, line.job.leaf)
        together[key] = together.get(key, 0.0) + part
    found = []
    for line, part in zip(jobs, weight, strict=True):
        total = hours[line.labour][min(max(line.year, 0), last)] if line.labour else 0.0
        whole = 1.0 if line.labour in each else together[line.labour, line.job.leaf]
        own = float(total) * part / max(whole, 1e-9)
        found.append((line, max(own, _outings(line)) if load.garden and own > 0 else own))
    return found


def _outings(line: Dated) -> float:
    """Hours [h] of going out for a job in a garden."""
    if line.labour in set(OwnTask):
        return 0.0
    if line.labour not in EVERY_WEEK:
        return OUTING
    first, last = date.fromisoformat(line.job.start), date.fromisoformat(line.job.end)
    return LOOK * max(1.0, (last - first).days / 7)


def _weight(line: Dated, load: WorkLoad, last: int) -> float:
    if line.job.kind is JobKind.PICK:
        at = load.names.index(line.job.cultivar)
        return float(load.crop[min(line.year, last), at] / load.ease[at])
    return 1.0


def tasks_of(jobs: Sequence[tuple[Dated, float]], years: int, milled: Floats) -> tuple[Task, ...]:
    """Hours of every task by year and week, shape (years of the horizon, 52); empty tasks are left out.

    Work before the planting year counts in that year, in the weeks of its dates. The press runs when the choice has
    fruit for it, `milled`, shape (52,) [kg].
    """
    tables: dict[str, Floats] = {}
    for line, hours in jobs:
        if hours > 0:
            first, last = date.fromisoformat(line.job.start), date.fromisoformat(line.job.end)
            day = first.timetuple().tm_yday
            table = tables.setdefault(line.labour, np.zeros((years, WEEKS)))
            weeks = spread_over_weeks(day, day + (last - first).days)
            if line.labour == PRESSING and milled.sum() > 0:
                weeks = milled / milled.sum()
            table[min(max(line.year, 0), years - 1)] += hours * weeks
    return tuple(Task(name, table) for name, table in tables.items())
