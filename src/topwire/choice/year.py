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

from topwire.choice.amounts import CELLAR, NOTHING, PRESS
from topwire.choice.in_cellar import FULL, lying, overfull_cellar
from topwire.choice.model import Index, Model
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Array, Limits
from topwire.choice.service import WASTE_COST, Fits, Year, add_one_year, fits_of
from topwire.choice.solver import OUT, Basis, Growing, Optimum
from topwire.choice.supply import TABLE_GRADE, Supply
from topwire.values.calendar import WEEKS

NO_LIMIT = 1e9  # [kg] of a column that only the crop bounds
REMEMBERED = 100  # plantings of which it is known what is missing: those asked of last
NONE = 1e-7  # [trees], and share planted: no more than arithmetic leaves behind

Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Cut:
    """A least cost of one year: its parts + trees @ of_trees + planted @ of_planted of all needs. [weighted kg]

    Attributes
    ----------
    parts : (needs + 3,) without trees, by the amount it is in proportion to (`amounts`)
    of_planted : (needs, cultivars)
    """

    year: int
    parts: Array
    of_trees: Array
    of_planted: Array


class YearProgramme:
    """Serving in one weather year, for any trees.

    With the solver stand only cultivars of which there were trees: of 250 some fifty. What the others would be worth is
    read from the prices of the kitchen's needs, for a planting of the usual size (`_worth_of_others`).
    """

    def __init__(
        self,
        supply: Supply,
        needs: Sequence[WeeklyNeed],
        limits: Limits,
        at: int,
        fits: Fits | None = None,
    ) -> None:
        """`fits` of the cultivars and needs, where they are known."""
        self.at = at
        self._supply, self._limits = supply.in_years(np.array([at])), limits
        model = Model()
        self._year = add_one_year(model, self._supply, needs, limits, fits)
        self._crop = self._supply.crop[0]
        held = self._year.crop
        self._held = held.share * self._crop[held.cultivar]
        fruit = self._year.fruit
        self._bounded = np.isfinite(fruit.most)
        self._most = np.where(self._bounded, fruit.most, NO_LIMIT)
        self._weight = np.array([need.weight for need in needs])
        self._eaten = np.array([need.eaten_fresh for need in needs])[fruit.need]
        self._short_number = fruit.cultivar.astype(np.int16)  # soon sorted
        self._of_need = fruit.need * self._crop.size + fruit.cultivar
        self._parts = _PartsOfCuts(self._year, needs, limits, model)
        self._usual = usual_planting(self._supply, limits)
        of_one = np.zeros(model.width, dtype=bool), np.zeros(model.height, dtype=bool)
        of_one[0][fruit.columns] = of_one[1][held.rows] = True
        self._shared = (
            np.flatnonzero(~of_one[0]),
            np.flatnonzero(~of_one[1]),
        )  # columns and rows of no cultivar
        self._growing = Growing(model, *self._shared)
        self._given = np.full((2, self._crop.size), np.nan)  # trees and shares that its bounds are of
        self._known: dict[bytes, tuple[float, Array]] = {}  # what is missing with trees that were asked of
        self._there = np.zeros(self._crop.size, dtype=bool)
        self._stored = (
            fruit.columns[:0],
            np.zeros((0, WEEKS)),
        )  # fruit with the solver, and where it lies by week
        self._full: set[tuple[int, int]] = set()
        self._width, self._cellar_from = (
            model.width,
            model.height,
        )  # rows of the cellar come behind all others

    def keep_only(self, cultivars: Index) -> Basis:
        """With the solver stand these alone from now on; where it stood, which is told, it is solved on."""
        stood = self.basis(cultivars)
        self.forget_others()
        self.stand_at(stood)
        return stood

    def forget_others(self) -> None:
        """Begin anew: with the solver stand only cultivars of which there will be trees from now on."""
        columns, rows = self._shared
        cellar = np.arange(self._cellar_from, self._cellar_from + len(self._full))
        self._growing.begin(columns, np.concatenate([rows, cellar]))
        self._there[:] = False
        self._stored = columns[:0], np.zeros((0, WEEKS))

    def basis(self, cultivars: Index) -> Basis:
        """Where it stood when it was last solved, these cultivars alone."""
        stood = self._growing.basis()
        held, fruit = self._year.crop, self._year.fruit
        stood.columns[fruit.columns[~np.isin(fruit.cultivar, cultivars)]] = OUT
        stood.rows[held.rows[~np.isin(held.cultivar, cultivars)]] = OUT
        return Basis(stood.columns, stood.rows[: self._cellar_from])

    def among(self, basis: Basis, keep: Index) -> Basis:
        """Of a basis of this year that of its programme with a few of its cultivars alone."""
        held, fruit = self._year.crop, self._year.fruit
        columns, rows = np.ones(basis.columns.size, dtype=bool), np.ones(basis.rows.size, dtype=bool)
        columns[fruit.columns] = np.isin(fruit.cultivar, keep)
        rows[held.rows] = np.isin(held.cultivar, keep)
        return Basis(basis.columns[columns], basis.rows[rows])

    def stand_at(self, basis: Basis) -> None:
        """Be solved on from there, with the cultivars it tells of."""
        held = self._year.crop
        there = np.zeros(self._crop.size, dtype=bool)
        there[held.cultivar[basis.rows[held.rows] != OUT]] = True
        self._bring_in(there & ~self._there)
        self._growing.stand_at(basis)

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
        key = trees.tobytes()
        if key in self._known:
            return self._known[key]
        some = trees > NONE
        found = self._served(np.where(some, trees, 0.0), some.astype(float), some)
        assert found.values is not None
        cost = found.objective + WASTE_COST * float(self._crop @ trees)
        return self._remembered(key, cost, found.values)

    def _remembered(self, key: bytes, cost: float, values: Array) -> tuple[float, Array]:
        """Cost, and what is missing, of a planting that may be asked of once more."""
        self._known[key] = cost, values[self._year.missing.columns]
        if len(self._known) > REMEMBERED:
            del self._known[next(iter(self._known))]
        return self._known[key]

    def solve(self, trees: Array, planted: Array) -> tuple[float, Cut]:
        """Cost of the year with these trees, and the cut that touches it there."""
        held, fruit = self._year.crop, self._year.fruit
        some = (planted > NONE) & (trees > NONE)
        trees, planted = np.where(some, trees, 0.0), np.where(some, np.minimum(planted, 1.0), 0.0)
        found = self._served(trees, planted, some)
        assert found.values is not None
        assert found.row_price is not None
        assert found.reduced_cost is not None
        count = self._crop.size
        of_trees = np.bincount(
            held.cultivar, weights=-found.row_price[held.rows] * self._held, minlength=count
        )
        saves = found.reduced_cost[fruit.columns]
        saving = np.flatnonzero(self._bounded & (saves < 0.0))
        planted_too = self._by_need(saving, saves[saving] * self._most[saving])
        shared = found.row_price.copy()
        shared[held.rows] = 0.0
        others_trees, others_planted = self._worth_of_others(
            self._growing.beside(shared)[fruit.columns], ~some
        )
        of_trees = np.where(some, of_trees, others_trees) + WASTE_COST * self._crop
        of_planted: Array = np.where(some, planted_too, others_planted)
        cost = found.objective + WASTE_COST * float(self._crop @ trees)
        if (planted == some).all():
            self._remembered(trees.tobytes(), cost, found.values)
        parts = self._parts.of(found.row_price, found.reduced_cost, self._cellar_from)
        parts[NOTHING] = (
            cost - float(of_trees @ trees) - float((of_planted @ planted).sum()) - parts[:NOTHING].sum()
        )
        return cost, Cut(self.at, parts, of_trees, of_planted)

    def _by_need(self, which: Index, worth: Array) -> Array:
        """(needs, cultivars) sums of what some columns of fruit are worth."""
        needs, count = self._weight.size, self._crop.size
        sums = np.bincount(self._of_need[which], weights=worth, minlength=needs * count).astype(float)
        return sums.reshape(needs, count)

    def _served(self, trees: Array, planted: Array, some: Flags) -> Optimum:
        """The year solved for these trees; `some` are the cultivars of which there are any."""
        self._give(trees, planted, some)
        self._bring_in(some & ~self._there)
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

    def _give(self, trees: Array, planted: Array, some: Flags) -> None:
        """Bounds of crop and fruit, of the cultivars of which other trees were given before."""
        held, fruit = self._year.crop, self._year.fruit
        given = np.array([trees, planted])
        new = (given != self._given).any(axis=0)
        self._given = given
        rows, at = new[held.cultivar], np.flatnonzero(new[fruit.cultivar])
        self._growing.at_least(held.rows[rows], -self._held[rows] * trees[held.cultivar[rows]])
        of = fruit.cultivar[at]
        share = np.where(self._bounded[at], planted[of], some[of])
        self._growing.bound(fruit.columns[at], np.zeros(at.size), self._most[at] * share)

    def _bring_in(self, new: Flags) -> None:
        """Further cultivars to the solver."""
        if not new.any():
            return
        held, fruit = self._year.crop, self._year.fruit
        self._growing.bring_in(fruit.columns[new[fruit.cultivar]], held.rows[new[held.cultivar]])
        self._there |= new
        more = fruit.some(new[fruit.cultivar])
        where = lying(self._supply, 0, more)
        stays = where.any(axis=1)
        columns, lies = self._stored
        self._stored = np.concatenate([columns, more.columns[stays]]), np.vstack([lies, where[stays]])

    def _overfull(self, values: Array) -> bool:
        """Whether there is more in the cellar than it holds in a week that has no row yet."""
        columns, lies = self._stored
        cellar = self._limits.cellar
        if cellar is None:
            return False
        over = np.flatnonzero(values[columns] @ lies > cellar + FULL)
        return any((0, week) not in self._full for week in over.tolist())

    def _worth_of_others(self, saves: Array, others: Flags) -> tuple[Array, Array]:
        """Prices of trees, (cultivars,), and of planting, (needs, cultivars), of cultivars without trees.

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
        # By cultivar, and there what saves most.
        worth = worth[np.argsort(self._short_number[worth], kind="stable")]
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
        return -(of_crop + TABLE_GRADE * of_table) * self._crop, -self._by_need(worth, lost)


class _PartsOfCuts:
    """What a year costs without trees at some prices, by the amounts it is in proportion to."""

    def __init__(self, year: Year, needs: Sequence[WeeklyNeed], limits: Limits, model: Model) -> None:
        self._count, self._cellar = len(needs) + 3, limits.cellar
        self._of_waste = -WASTE_COST * np.array([need.total for need in needs])
        low, high = (
            np.where(np.isfinite(side), side, 0.0)
            for side in (np.concatenate(model.row_low), np.concatenate(model.row_high))
        )
        of = np.searchsorted(year.ends[:, 1], np.arange(low.size), side="right")
        of[np.concatenate([year.pan, year.mixed])] = self._count - 1
        of[year.press] = self._count + PRESS
        of[year.crop.rows] = self._count - 1
        low[year.crop.rows] = 0.0
        self._of_row, self._low, self._high = of, low, high
        top = np.concatenate(model.high)
        top[year.fruit.columns] = np.inf
        top[0] = np.inf
        self._bounded = np.flatnonzero(np.isfinite(top))
        self._top = top[self._bounded]
        self._of_column = np.searchsorted(year.ends[:, 0], self._bounded, side="right")

    def of(self, row_price: Array, reduced_cost: Array, cellar_from: int) -> Array:
        """(parts,); the last, of what hangs on no amount, is left to the caller."""
        price = row_price[: self._of_row.size]
        bound = np.where(price > 0, self._low, np.where(price < 0, self._high, 0.0))
        parts: Array = np.bincount(self._of_row, weights=price * bound, minlength=self._count).astype(float)
        saves = np.minimum(reduced_cost[self._bounded], 0.0)
        parts += np.bincount(self._of_column, weights=saves * self._top, minlength=self._count)
        parts[: self._of_waste.size] += self._of_waste
        if self._cellar is not None:
            parts[CELLAR] = float(row_price[cellar_from:].sum()) * self._cellar
        return parts


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
    fits = fits_of(supply, needs)
    return tuple(YearProgramme(supply, needs, limits, at, fits) for at in range(supply.years.size))
