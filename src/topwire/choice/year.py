"""One weather year as a programme of its own, kept with the solver and solved on from its basis.

Trees are given from outside, as the crop its rows hold; so is what share of each cultivar is planted, as a bound on its
fruit: what a cultivar gives to a need in a week is no more than the need takes, times whether it is planted (the strong
form of fixed-charge flow, PADBERG1985). Prices of rows and bounds tell what more trees or plantings would save: a cut
that lies below the year's cost everywhere, whatever trees there are (L-shaped method, VANSLYKE1969).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Array, Limits
from topwire.choice.service import WASTE_COST, Year, add_one_year, lying, overfull_cellar
from topwire.choice.solver import Growing, Index, Model, Optimum
from topwire.choice.supply import TABLE_GRADE, Supply
from topwire.values.calendar import WEEKS

NO_LIMIT = 1e9  # [kg] of a column that only the crop bounds
NONE = 1e-7  # [trees], and share planted: no more than arithmetic leaves behind

Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Cut:
    """A least cost of one year: at_nothing + trees @ of_trees + planted @ of_planted. [weighted kg]"""

    year: int
    at_nothing: float
    of_trees: Array
    of_planted: Array


class YearProgramme:
    """Serving in one weather year, for any trees.

    With the solver stand only cultivars of which there were trees: of 250 some fifty. What the others would be worth is
    read from the prices of the kitchen's needs, for a planting of the usual size (`_worth_of_others`).
    """

    def __init__(self, supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, at: int) -> None:
        self.at = at
        self._supply, self._limits = supply.in_years(np.array([at])), limits
        model = Model()
        self._year = add_one_year(model, self._supply, needs, limits)
        self._crop = self._supply.crop[0]
        held = self._year.crop
        self._held = held.share * self._crop[held.cultivar]
        fruit = self._year.fruit
        self._bounded = np.isfinite(fruit.most)
        self._most = np.where(self._bounded, fruit.most, NO_LIMIT)
        self._short_number = fruit.cultivar.astype(np.int16)  # soon sorted
        self._weight = np.array([need.weight for need in needs])
        self._eaten = np.array([need.eaten_fresh for need in needs])[fruit.need]
        self._usual = usual_planting(self._supply, limits)
        self._shared = (
            np.setdiff1d(np.arange(model.width), fruit.columns),
            np.setdiff1d(np.arange(model.height), held.rows),
        )  # columns and rows of no one cultivar
        self._growing = Growing(model, *self._shared)
        self._there = np.zeros(self._crop.size, dtype=bool)
        self._stored = (
            fruit.columns[:0],
            np.zeros((0, WEEKS)),
        )  # fruit with the solver, and where it lies by week
        self._full: set[tuple[int, int]] = set()
        self._cellar_from = model.height  # its rows come behind all others

    def forget_others(self) -> None:
        """Begin anew: with the solver stand only cultivars of which there will be trees from now on."""
        columns, rows = self._shared
        cellar = np.arange(self._cellar_from, self._cellar_from + len(self._full))
        self._growing.begin(columns, np.concatenate([rows, cellar]))
        self._there[:] = False
        self._stored = columns[:0], np.zeros((0, WEEKS))

    def short(self, trees: Array) -> tuple[float, float]:
        """Cost of the year with these trees, and what is short in it. [weighted kg]"""
        cost, missing = self._missing(trees)
        return cost, float(self._weight[self._year.missing.need] @ missing)

    def missing(self, trees: Array) -> float:
        """What the kitchen goes without in the year with these trees, all needs alike. [kg]"""
        return float(self._missing(trees)[1].sum())

    def served(self, trees: Array) -> tuple[Year, Array, Array]:
        """The year with these trees: its columns and rows, their values and prices."""
        some = trees > NONE
        found = self._served(np.where(some, trees, 0.0), some.astype(float), some)
        assert found.values is not None
        assert found.row_price is not None
        return self._year, found.values, found.row_price

    def room_price(self, trees: Array) -> tuple[float, float]:
        """What a kilogram more of room in the cellar, and of a week's pressing, would save in the year with these
        trees; no change of trees beside it saves more than that, service being concave in both. [weighted kg/kg]"""
        _, _, price = self.served(trees)
        return float(-price[self._cellar_from :].sum()), float(-price[self._year.press].sum())

    def _missing(self, trees: Array) -> tuple[float, Array]:
        """Cost of the year [weighted kg], and what is missing of each need and week [kg]."""
        some = trees > NONE
        found = self._served(np.where(some, trees, 0.0), some.astype(float), some)
        assert found.values is not None
        cost = found.objective + WASTE_COST * float(self._crop @ trees)
        return cost, found.values[self._year.missing.columns]

    def solve(self, trees: Array, planted: Array) -> tuple[float, Cut]:
        """Cost of the year with these trees, and the cut that touches it there."""
        held, fruit = self._year.crop, self._year.fruit
        some = (planted > NONE) & (trees > NONE)
        trees, planted = np.where(some, trees, 0.0), np.where(some, np.minimum(planted, 1.0), 0.0)
        found = self._served(trees, planted, some)
        assert found.row_price is not None
        assert found.reduced_cost is not None
        count = self._crop.size
        of_trees = np.bincount(
            held.cultivar, weights=-found.row_price[held.rows] * self._held, minlength=count
        )
        saves = np.where(self._bounded, np.minimum(found.reduced_cost[fruit.columns], 0.0) * self._most, 0.0)
        planted_too = np.bincount(fruit.cultivar, weights=saves, minlength=count)
        shared = found.row_price.copy()
        shared[held.rows] = 0.0
        others_trees, others_planted = self._worth_of_others(
            self._growing.beside(shared)[fruit.columns], ~some
        )
        of_trees = np.where(some, of_trees, others_trees) + WASTE_COST * self._crop
        of_planted: Array = np.where(some, planted_too, others_planted)
        cost = found.objective + WASTE_COST * float(self._crop @ trees)
        at_nothing = cost - float(of_trees @ trees) - float(of_planted @ planted)
        return cost, Cut(self.at, at_nothing, of_trees, of_planted)

    def _served(self, trees: Array, planted: Array, some: Flags) -> Optimum:
        """The year solved for these trees; `some` are the cultivars of which there are any."""
        held, fruit = self._year.crop, self._year.fruit
        self._growing.at_least(held.rows, -self._held * trees[held.cultivar])
        share = np.where(self._bounded, planted[fruit.cultivar], some[fruit.cultivar])
        self._growing.bound(fruit.columns, np.zeros(fruit.columns.size), self._most * share)
        new = some & ~self._there
        if new.any():
            self._growing.bring_in(fruit.columns[new[fruit.cultivar]], held.rows[new[held.cultivar]])
            self._there |= new
            columns, lies = self._stored
            more = fruit.some(new[fruit.cultivar])
            self._stored = (
                np.concatenate([columns, more.columns]),
                np.vstack([lies, lying(self._supply, 0, more)]),
            )
        while True:
            found = self._growing.solve()
            if found.values is None or found.row_price is None or found.reduced_cost is None:
                raise RuntimeError("serving has always a solution: leave all needs open")
            if not self._overfull(found.values):
                return found
            rows = overfull_cellar(self._supply, self._limits, [self._year], found.values, self._full)
            if rows is None:
                return found
            self._growing.add(rows)

    def _overfull(self, values: Array) -> bool:
        columns, lies = self._stored
        cellar = self._limits.cellar
        return cellar is not None and bool((values[columns] @ lies > cellar).any())

    def _worth_of_others(self, saves: Array, others: Flags) -> tuple[Array, Array]:
        """Prices of trees and of planting of cultivars without trees, (cultivars,) each.

        Any price of a cultivar's crop and of its table fruit gives a cut that is true; taken are those at which a
        planting of the usual size just uses its crop up: what saves most first, table fruit no more than there is.

        Parameters
        ----------
        saves : (fruit,) what a kilogram would save at the kitchen's prices, negative
        """
        fruit, count = self._year.fruit, self._crop.size
        crop = self._crop * self._usual
        worth = np.flatnonzero((saves < 0) & others[fruit.cultivar])
        worth = worth[np.argsort(saves[worth], kind="stable")]
        worth = worth[
            np.argsort(self._short_number[worth], kind="stable")
        ]  # by cultivar, and there what saves most
        cultivar, saving, eaten = fruit.cultivar[worth], -saves[worth], self._eaten[worth]
        most = self._most[worth]
        pieces = np.bincount(cultivar, minlength=count)
        first = (np.cumsum(pieces) - pieces)[cultivar]
        before, last = _runs(np.where(eaten, most, 0.0), first)
        table_full = TABLE_GRADE * crop[cultivar]
        of_table = np.zeros(count)
        at = np.flatnonzero(eaten & (last >= table_full))
        np.maximum.at(of_table, cultivar[at], saving[at])
        used = np.where(eaten, np.clip(table_full - before, 0.0, most), most)
        _, last = _runs(used, first)
        of_crop = np.zeros(count)
        at = np.flatnonzero(last >= crop[cultivar])
        np.maximum.at(of_crop, cultivar[at], saving[at])
        of_table = np.maximum(of_table - of_crop, 0.0)
        left = saving - of_crop[cultivar] - np.where(eaten, of_table[cultivar], 0.0)
        lost = np.maximum(left, 0.0) * np.where(self._bounded[worth], most, 0.0)
        planted = -np.bincount(cultivar, weights=lost, minlength=count).astype(float)
        return -(of_crop + TABLE_GRADE * of_table) * self._crop, planted


def _runs(amount: Array, first: Index) -> tuple[Array, Array]:
    """Running totals within runs, of which `first` is the first: before each and with it."""
    total = np.cumsum(amount)
    before = total - amount
    base = before[first]
    return before - base, total - base


def usual_planting(supply: Supply, limits: Limits) -> Array:
    """(cultivars,) [trees] of an orchard in equal parts, as far as each may be planted."""
    even = limits.places / max(limits.most_cultivars, 1)
    return np.asarray(np.clip(even, limits.fewest(supply), np.maximum(limits.most(supply), 1.0)))


def year_programmes(supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits) -> tuple[YearProgramme, ...]:
    """Every weather year."""
    return tuple(YearProgramme(supply, needs, limits, at) for at in range(supply.years.size))
