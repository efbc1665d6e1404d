"""Serving with trees that are given: what reaches the kitchen in every week of every weather year."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from topwire.choice.in_cellar import lying, overfull_cellar
from topwire.choice.master import cost_of, counts_of
from topwire.choice.model import Index, Model, MoreRows
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Array, Limits
from topwire.choice.service import Year, add_one_year, fits_of
from topwire.choice.solver import Live
from topwire.choice.supply import Keeping, Supply
from topwire.values.calendar import WEEKS

WAIT_COST = 1e-5  # [weighted kg] of a kilogram for the press that waits a week: only to break ties


@dataclass(frozen=True)
class Service:
    """What a planting gives: arrays (years, needs, 52) [kg] for needs, others as said.

    served : whole fruit in the weeks it is eaten, or made where a product has no period of use
    short : (years,) weighted kg short; waste : (years,) [kg] picked and never in the kitchen
    fresh : (years, cultivars, 52) [kg] served at table
    given : (years, cultivars, needs) [kg] as picked; stored : (years, 52) [kg] in the cellar
    mixed : by number of a need that is blended, (years, cultivars, 52) [kg] that is mixed, by week; what
        is made as it is picked stands in the middle week of its picking
    off_tree : (years, needs, 52) part of what is served by week that is picked in that very week
    brought : (needs, cultivars, 52) [kg] served by week, mean over the years; what is put by stands in no week
    """

    served: Array
    short: Array
    waste: Array
    fresh: Array
    given: Array
    stored: Array
    mixed: Mapping[int, Array] = field(default_factory=dict)
    off_tree: Array = field(default_factory=lambda: np.zeros((0, 0, WEEKS)))
    brought: Array = field(default_factory=lambda: np.zeros((0, 0, WEEKS)))


def serve(
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    trees: Index | Array,
    *,
    dear: Array | None = None,
) -> tuple[float, Service]:
    """Best service of given trees in every weather year, and its cost in the programme's measure.

    Parameters
    ----------
    dear : (cultivars,) a little that a kilogram given counts, so that of fruit as good the cheaper goes first
    """
    solved = solve_serving(supply, needs, limits, trees, dear=dear)
    return solved.objective, solved.service


@dataclass(frozen=True)
class ServedYear:
    """The programme of serving given trees in one weather year, solved.

    Attributes
    ----------
    cellar : rows of the cellar that came in, each lot behind the model's own rows and those before
    price : of rows; counts : what a kilogram short in this year counts in the measure of all years
    """

    year: Year
    model: Model
    cellar: tuple[MoreRows, ...]
    values: Array
    price: Array
    counts: float


@dataclass(frozen=True)
class Served:
    """Given trees served in every weather year.

    Attributes
    ----------
    few : supply of the cultivars `keep`, of which there are `numbers` trees
    """

    supply: Supply
    needs: Sequence[WeeklyNeed]
    few: Supply
    keep: Index
    numbers: Array
    years: tuple[ServedYear, ...]
    objective: float

    @cached_property
    def service(self) -> Service:
        """What reaches the kitchen."""
        each = [(one.year, one.values) for one in self.years]
        return service_of(self.supply, self.few, self.needs, self.keep, self.numbers, each)


def solve_serving(
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    trees: Index | Array,
    *,
    dear: Array | None = None,
) -> Served:
    """The same with its prices. Once the trees are given no year hangs on another: each is solved by itself."""
    keep = np.flatnonzero(trees)
    few = supply.chosen(keep)
    numbers = trees[keep].astype(float)
    fits = fits_of(few, needs)
    solved = []
    for at in range(supply.years.size):
        of_year, model, cellar = few.in_years(np.array([at])), Model(), list[MoreRows]()
        year = add_one_year(model, of_year, needs, limits, fits, trees=numbers)
        if dear is not None:
            model.add_cost(year.fruit.columns, dear[keep][year.fruit.cultivar])
        waits = pressed_late(of_year, needs, year)
        model.add_cost(year.fruit.columns, waits)
        live, seen = Live(model), set[tuple[int, int]]()
        while True:
            found = live.solve()
            if found.values is None or found.row_price is None:
                raise RuntimeError("serving fixed trees has always a solution: leave all needs open")
            rows = overfull_cellar(of_year, limits, [year], found.values, seen)
            if rows is None:
                break
            live.add(rows)
            cellar.append(rows)
        cost = found.objective - float(waits @ found.values[year.fruit.columns])
        solved.append((cost, (year, model, tuple(cellar), found.values, found.row_price)))
    costs = np.array([cost for cost, _ in solved])
    counts = counts_of(costs, limits)
    return Served(
        supply,
        needs,
        few,
        keep,
        numbers,
        tuple(ServedYear(*one, float(count)) for (_, one), count in zip(solved, counts, strict=True)),
        cost_of(costs, limits, trees.astype(float)),
    )


def pressed_late(supply: Supply, needs: Sequence[WeeklyNeed], year: Year) -> Array:
    """A little that a kilogram for the press counts for each week it lies, so that of weeks as good the first is taken.

    [weighted kg] of each column of fruit of the only year of `supply`; no part of the measure.
    """
    fruit = year.fruit
    pressed = np.array([need.pressed for need in needs])[fruit.need] & (fruit.week > 0)
    since = (fruit.week - supply.first[0][fruit.cultivar]) % WEEKS
    return np.where(pressed, WAIT_COST * since, 0.0)


def service_of(
    supply: Supply,
    few: Supply,
    needs: Sequence[WeeklyNeed],
    keep: Index,
    numbers: Array,
    solved: Sequence[tuple[Year, Array]],
) -> Service:
    """What reaches the kitchen by the years' programmes.

    Parameters
    ----------
    few : supply of the cultivars `keep`, of which there are `numbers` trees
    solved : year by year its columns and rows, and their values
    """
    count = supply.years.size
    served = np.zeros((count, len(needs), 52))
    fresh = np.zeros((count, len(supply.cultivars), 52))
    given = np.zeros((count, len(supply.cultivars), len(needs)))
    stored = np.zeros((count, 52))
    off_tree = np.zeros((count, len(needs), WEEKS))
    brought = np.zeros((len(needs), len(supply.cultivars), WEEKS))
    short, waste = np.zeros(count), np.zeros(count)
    mixed = {
        number: np.zeros((count, len(supply.cultivars), WEEKS))
        for number, need in enumerate(needs)
        if need.blend is not None
    }
    eaten = np.array([need.eaten_fresh for need in needs])
    shelved = np.array([bool(need.used) for need in needs])
    made = np.zeros_like(served)
    weight = np.array([need.weight for need in needs])
    for at, (year, values) in enumerate(solved):
        fruit = year.fruit
        amount = values[fruit.columns]
        column = keep[fruit.cultivar]
        weekly = fruit.week > 0
        reached = amount * fruit.kept
        at_once = weekly & ~shelved[fruit.need]
        np.add.at(served[at], (fruit.need[at_once], fruit.week[at_once] - 1), reached[at_once])
        since = (fruit.week - few.first[at][fruit.cultivar]) % WEEKS
        picked = at_once & (since < few.picking_weeks[at][fruit.cultivar])
        np.add.at(off_tree[at], (fruit.need[picked], fruit.week[picked] - 1), reached[picked])
        where = (fruit.need[at_once], column[at_once], fruit.week[at_once] - 1)
        np.add.at(brought, where, reached[at_once] / count)
        np.add.at(made[at], (fruit.need[weekly], fruit.week[weekly] - 1), reached[weekly])
        for number, need in enumerate(needs):
            mine = (fruit.need == number) & ~weekly
            if mine.any():
                weeks = np.array(need.weeks) - 1
                served[at, number, weeks] += float(reached[mine].sum()) / weeks.size
        table = weekly & eaten[fruit.need]
        np.add.at(fresh[at], (column[table], fruit.week[table] - 1), reached[table])
        np.add.at(given[at], (column, fruit.need), amount)
        middle = few.first[at] + (few.picking_weeks[at] - 1) // 2 - 1
        sweat = np.where(fruit.outdoors, few.sweats[fruit.cultivar], 0)
        week = np.where(weekly, fruit.week - 1, (middle[fruit.cultivar] + sweat) % WEEKS)
        for number, of_need in mixed.items():
            mine = fruit.need == number
            np.add.at(of_need[at], (column[mine], week[mine]), reached[mine])
        crop = supply.crop[at, keep] * numbers
        waste[at] = max(0.0, float(crop.sum() - reached.sum()))
        short[at] = float(weight[year.missing.need] @ values[year.missing.columns])
        stored[at] = lying(few, at, fruit).T @ amount
    for number, need in enumerate(needs):
        if need.used:
            served[:, number] = need.used_by_week(made[:, number])
    return Service(served, short, waste, fresh, given, stored, mixed, off_tree, brought)


def unavoidable(supply: Supply, needs: Sequence[WeeklyNeed]) -> Array:
    """Weighted shortfall of weeks that no candidate can reach, whatever is planted: (years,) [weighted kg]."""
    short = np.zeros(supply.years.size)
    kept = {how: supply.kept_as(how) for how in Keeping}
    for need in needs:
        fit = np.array([need.served_by(row) for row in supply.cultivars])
        weeks = np.array(need.weeks) - 1
        fruit = kept[need.keeping] * (supply.crop > 0)[:, :, None]
        reached = np.any(fruit[:, fit][:, :, weeks] > 0, axis=1)
        if need.weekly is not None:
            short += need.weight * need.weekly * (~reached).sum(axis=1)
        elif (
            need.used
        ):  # what is off the shelf before or after its life, by the weeks something can be made in
            for year in range(short.size):
                none = need.off_the_shelf(np.array(need.weeks)[reached[year]].tolist())
                short[year] += need.weight * need.total * len(none) / len(need.used)
        else:
            short += need.weight * need.total * ~reached.any(axis=1)
    return short
