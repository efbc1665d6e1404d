"""The orchard's hours: every task of labour.csv put on the trees, the crop and the dates of this orchard."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.ledger.calendar import day_of
from topwire.ledger.labour import LabourRow, crop_hours, per_tree_hours, spread_over_weeks
from topwire.ledger.result import Task
from topwire.values.calendar import WEEKS

Floats = npt.NDArray[np.float64]
PRESSED = ("juice", "cider")
PRESERVED = ("sauce", "butter", "dried")


@dataclass(frozen=True)
class WorkLoad:
    """What the work is done on.

    Attributes
    ----------
    trees : new trees
    hectares : ground they stand on [ha]
    fence : round the blocks [m]
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


def tasks_of(rows: Iterable[LabourRow], load: WorkLoad) -> tuple[Task, ...]:
    """Hours of every task, shape (years of the horizon, 52), in the table's order; empty tasks are left out."""
    years = len(load.full_share)
    tasks = []
    for name, (hours, first, last) in load.fixed.items():
        table = np.zeros((years, WEEKS))
        table[0] = hours * spread_over_weeks(first, last)
        tasks.append(Task(name, table))
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
