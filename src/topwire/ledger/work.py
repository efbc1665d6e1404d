"""The orchard's hours: every task of labour.csv put on the trees, the crop and the dates of this orchard."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from topwire.ledger.asked import LedgerQuestion, Picked
from topwire.ledger.calendar import day_of
from topwire.ledger.findings import OwnTask, Task
from topwire.ledger.labour import LabourRow, crop_hours, per_tree_hours, spread_over_weeks
from topwire.values.arrays import Floats
from topwire.values.calendar import WEEKS

SEASONS = ("harvest", "press")  # what a task may hang on beside the stages of the year
PRESSED = ("juice", "cider")
PRESERVED = ("sauce", "butter", "dried")
# Days of the year between which the hours of other departments fall.
_GRAFTED, _CARED, _BUILT = (60.0, 88.0), (105.0, 310.0), (320.0, 364.0)


@dataclass(frozen=True)
class WorkLoad:
    """What the work is done on.

    Attributes
    ----------
    trees : new trees
    hectares : tree ground, row spacing times tree spacing of every new tree [ha]
    fence : of the deer fence [m]
    crop : of every cultivar by year of the horizon, planting year first, shape (years, cultivars) [kg]
    full_share : crop of each year as a share of a full-grown one, shape (years,) [-]
    below_wire : share of trees whose leader is below the wire in each year, shape (years,) [-]
    harvest : first and last pick of every cultivar in the middle year, shape (cultivars, 2) [day of year]
    stages : day of year of each stage in the middle year
    press : first and last day of the press season [day of year]
    made : whole fruit that goes into each use in a full-grown year [kg]
    fixed : hours known from other departments by task, with the days they fall on in the planting year
    """

    trees: int
    hectares: float
    fence: float
    crop: Floats
    full_share: Floats
    below_wire: Floats
    harvest: Floats
    stages: Mapping[str, float]
    press: tuple[float, float]
    made: Mapping[str, float]
    fixed: Mapping[str, tuple[float, float, float]]


def work_load(asked: LedgerQuestion) -> WorkLoad:
    """The load of a question over its horizon."""
    full = float(np.median(asked.orchard_crop[9:, 1]))
    bills = asked.bills
    fixed: dict[str, tuple[float, float, float]] = {}
    if bills.grafting_hours > 0:
        fixed[OwnTask.GRAFTING] = (bills.grafting_hours, *_GRAFTED)
        fixed[OwnTask.NURSERY_CARE] = (bills.care_hours, *_CARED)
    if bills.trellis is not None:
        fixed[OwnTask.BUILDING] = (bills.building_hours, *_BUILT)
    return WorkLoad(
        trees=asked.trees,
        hectares=asked.areas.tree_ground / 1e4,
        fence=asked.fence if asked.trees else 0.0,
        crop=by_year(asked.crop_by_cultivar(), asked.horizon),
        full_share=by_year(asked.orchard_crop[:, 1], asked.horizon) / max(full, 1e-9),
        below_wire=_below_wire(asked.cultivars, asked.horizon),
        harvest=np.array(
            [
                [np.nan, np.nan] if line.first is None or line.last is None else [line.first, line.last]
                for line in asked.cultivars
            ]
        ).reshape(-1, 2),
        stages=asked.stages,
        press=asked.press,
        made=asked.made,
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


def tasks_of(rows: Iterable[LabourRow], load: WorkLoad) -> tuple[Task, ...]:
    """Hours of every task, shape (years of the horizon, 52), in the table's order; empty tasks are left out."""
    years = len(load.full_share)
    tasks = []
    for name, (hours, first, last) in load.fixed.items():
        table = np.zeros((years, WEEKS))
        table[0] = hours * spread_over_weeks(first, last)
        tasks.append(Task(str(name), table))
    for row in rows:
        leaves = np.arange(years)
        active = (leaves >= row.first_leaf) & (leaves <= row.last_leaf)
        tasks.append(Task(row.task, np.where(active[:, None], _hours(row, load), 0.0)))
    return tuple(task for task in tasks if task.hours.sum() > 0)


def _hours(row: LabourRow, load: WorkLoad) -> Floats:
    if row.stage == "harvest":
        return _harvest_hours(row, load)
    if row.stage == "press":
        uses = PRESSED if row.task == "pressing" else PRESERVED
        kilograms = sum(load.made.get(use, 0.0) for use in uses) * np.minimum(load.full_share, 1.0)
        return np.outer(crop_hours(kilograms, row.middle), spread_over_weeks(*load.press))
    day = day_of(row.stage, load.stages)
    if day is None:
        return np.zeros((len(load.full_share), WEEKS))
    if row.basis == "min/tree":
        yearly = per_tree_hours(row.middle, load.trees) * _part(row, load)
    elif row.basis == "h/100 m":
        yearly = np.full(len(load.full_share), row.middle * load.fence / 100)
    else:
        yearly = np.full(len(load.full_share), row.middle * load.hectares)
    return np.outer(yearly, spread_over_weeks(day + row.begin, day + row.end))


def _part(row: LabourRow, load: WorkLoad) -> Floats:
    """Share of the trees a task falls on in each year."""
    if row.task == "hand thinning":
        return np.minimum(load.full_share, 1.0)
    if row.task == "strip flowers":
        return load.below_wire
    return np.ones(len(load.full_share))


def _harvest_hours(row: LabourRow, load: WorkLoad) -> Floats:
    table = np.zeros((len(load.full_share), WEEKS))
    for cultivar, (first, last) in enumerate(load.harvest):
        if np.isfinite(first) and np.isfinite(last):
            weeks = spread_over_weeks(first + row.begin, last + row.end)
            table += np.outer(crop_hours(load.crop[:, cultivar], row.middle), weeks)
    return table
