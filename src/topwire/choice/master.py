"""The first stage with what is known of the years: trees, "planted", and of each year a least cost from its cuts.

Cuts hold under any change of trees, taste, must-have and numbers, so that a master is made anew for such a change and
given the cuts that are there.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Any

import numpy as np

from topwire.choice.amounts import KitchenAmounts
from topwire.choice.model import Index, Model, MoreRows
from topwire.choice.planting import TREE_COST, Array, Donors, Limits, add_planting, allowed
from topwire.choice.service import WORST_SHARE
from topwire.choice.solver import Live
from topwire.choice.supply import Supply
from topwire.choice.year import Cut

Point = tuple[Array, Array]  # trees, and the share planted, of each cultivar

LEAST = -1e5  # [weighted kg] a year costs no less; only until its first cut
AT_FIRST = 0.02  # of a year's cost, by which a known cut may say less than another to be put in at once
CONTRADICTED = 1e-4  # of a year's cost, by which a cut has to lie above it to be put in again
OF_A_YEAR = 4  # cuts put in again at once


@dataclass(frozen=True)
class Cuts:
    """Cuts of many years, row by row: cost of `year` >= at_nothing + of_trees @ trees + of_planted @ planted.

    Attributes
    ----------
    parts : (cuts, needs + 3) of what is at nothing, by the amount it is in proportion to (`amounts`)
    of_trees, of_planted : (cuts, cultivars)
    by_need : sparse (cuts, needs times cultivars) of what is planted
    """

    year: Index
    parts: Array
    of_trees: Array
    by_need: Any
    of_planted: Array

    @cached_property
    def at_nothing(self) -> Array:
        """(cuts,)"""
        return np.asarray(self.parts.sum(axis=1))

    @classmethod
    def of_needs(cls, year: Index, parts: Array, of_trees: Array, by_need: Any) -> "Cuts":
        """What they say of planting is the sum over the needs."""
        cuts, cultivars = of_trees.shape
        row = np.repeat(np.arange(cuts), np.diff(by_need.indptr))
        at = row * cultivars + by_need.indices % cultivars
        sums = np.bincount(at, weights=by_need.data, minlength=cuts * cultivars).astype(float)
        return cls(year, parts, of_trees, by_need, sums.reshape(cuts, cultivars))

    @classmethod
    def joined(cls, cuts: Sequence[Cut]) -> "Cuts":
        from scipy.sparse import csr_array

        return cls.of_needs(
            np.array([cut.year for cut in cuts], dtype=np.int64),
            np.array([cut.parts for cut in cuts]),
            np.array([cut.of_trees for cut in cuts]),
            csr_array(np.array([cut.of_planted.ravel() for cut in cuts])),
        )

    @classmethod
    def of_all(cls, several: Sequence["Cuts"]) -> "Cuts":
        from scipy.sparse import vstack

        if len(several) == 1:
            return several[0]
        return cls(
            np.concatenate([cuts.year for cuts in several]),
            np.concatenate([cuts.parts for cuts in several]),
            np.concatenate([cuts.of_trees for cuts in several]),
            vstack([cuts.by_need for cuts in several], format="csr"),
            np.concatenate([cuts.of_planted for cuts in several]),
        )

    def some(self, keep: Index) -> "Cuts":
        return Cuts(
            self.year[keep],
            self.parts[keep],
            self.of_trees[keep],
            self.by_need[keep],
            self.of_planted[keep],
        )

    def of_years(self, years: Index) -> "Cuts":
        """Those of some years; itself where there are no others."""
        mine = np.isin(self.year, years)
        return self if mine.all() else self.some(np.flatnonzero(mine))

    def of(self, cultivars: Index) -> "Cuts":
        """The same where only some cultivars may be planted."""
        count = self.of_trees.shape[1]
        needs = np.arange(self.by_need.shape[1] // count)
        both = (needs[:, None] * count + cultivars[None, :]).ravel()
        trees, planted = self.of_trees[:, cultivars], self.of_planted[:, cultivars]
        return Cuts(self.year, self.parts, trees, self.by_need[:, both], planted)

    def for_amounts(self, learnt: KitchenAmounts, now: KitchenAmounts) -> "Cuts":
        """What was learnt for some amounts, for others."""
        parts, planted = learnt.ratios(now)
        by_need = self.by_need.copy()
        by_need.data *= planted[by_need.indices // self.of_trees.shape[1]]
        return Cuts.of_needs(self.year, self.parts * parts, self.of_trees, by_need)

    def telling(self, points: Sequence[Point], nearly: float) -> Index:
        """Those that say nearly the most of their year at one of some points: less by no more than this part of it."""
        keep = np.zeros(self.year.size, dtype=bool)
        for trees, planted in points:
            said = self.values(trees, planted)
            most = np.full(int(self.year.max(initial=-1)) + 1, -np.inf)
            np.maximum.at(most, self.year, said)
            keep |= said >= most[self.year] - nearly * np.maximum(most[self.year], 1.0)
        return np.flatnonzero(keep)

    def values(self, trees: Array, planted: Array) -> Array:
        """(cuts,) what each says of its year with these trees."""
        return self.at_nothing + self.of_trees @ trees + self.of_planted @ planted


class GatheredCuts:
    """Cuts as they come in; put together where they are asked for."""

    def __init__(self) -> None:
        self._several: list[Cuts] = []

    @property
    def cuts(self) -> Cuts | None:
        if not self._several:
            return None
        self._several = [Cuts.of_all(self._several)]
        return self._several[0]

    @cuts.setter
    def cuts(self, cuts: Cuts | None) -> None:
        self._several = [] if cuts is None else [cuts]

    def gather(self, more: Cuts) -> None:
        self._several.append(more)


@dataclass(frozen=True)
class MasterAnswer:
    """A solution of the master: trees and share planted of each cultivar, cost as the cuts know it, proven least.

    trees_price, planted_price : of a solution in fractions, what one more of each would cost
    """

    trees: Array
    planted: Array
    cost: float
    bound: float
    values: Array
    trees_price: Array | None = None
    planted_price: Array | None = None


class Master(GatheredCuts):
    """The first stage over some weather years, kept with the solver.

    of_sets : only sets will be asked of, cultivars that are in and cultivars that are out: what a cut says of planting
        is a number then and stands in its bound, so that the programme is a third smaller
    """

    def __init__(
        self,
        supply: Supply,
        limits: Limits,
        useful: Donors,
        years: Index,
        *,
        whole_trees: bool = False,
        own: Index | None = None,
        of_sets: bool = False,
    ) -> None:
        model = Model()
        stage = add_planting(model, supply, limits, useful)
        self.trees, self.planted = stage.trees, stage.planted
        self._allows = partial(allowed, supply, limits, useful)
        self.years, count = years, years.size
        worst = limits.worst_weight
        self.level = model.add_columns(worst, low=-np.inf)
        self.over = model.add_columns(np.full(count, worst / (WORST_SHARE * count)))
        self.year_cost = model.add_columns(np.full(count, (1 - worst) / count), low=LEAST)
        self._cost_of_year = np.zeros(int(years.max(initial=-1)) + 1, dtype=np.int64)  # its column
        self._cost_of_year[years] = self.year_cost
        rows = model.add_rows(np.zeros(count), np.inf)  # over + level >= cost of the year
        model.put(rows, self.over, 1.0)
        model.put(rows, np.repeat(self.level, count), 1.0)
        model.put(rows, self.year_cost, -1.0)
        self._own = own
        if own is not None:  # distance from the own plan, and the cost as a row
            self._apart = model.add_columns(np.zeros(self.trees.size))
            for sign in (1.0, -1.0):
                rows = model.add_rows(-sign * own, np.inf)
                model.put(rows, self._apart, 1.0)
                model.put(rows, self.trees, -sign)
            row = model.add_rows(-np.inf, np.inf)
            self._cost_row = int(row[0])
            self._costs = (
                np.concatenate([self.trees, self.level, self.over, self.year_cost]),
                np.concatenate(
                    [
                        TREE_COST * limits.tree_cost,
                        np.full(1, worst),
                        np.full(count, worst / (WORST_SHARE * count)),
                        np.full(count, (1 - worst) / count),
                    ]
                ),
            )
            model.put(row, *self._costs)
        self._first_cut = model.height
        self._bounds = (
            np.concatenate([limits.there(supply), limits.stays(supply).astype(float)]),
            np.concatenate([limits.most(supply), np.ones(self.trees.size)]),
        )
        self._first_stage = np.concatenate([self.trees, self.planted])
        self._live = Live(model, of_cuts=True)
        self._set: Array | None = np.zeros(self.trees.size) if of_sets else None
        self._whole = self._first_stage if whole_trees else self.planted
        self._is_whole = False
        self._known: Cuts | None = None
        super().__init__()

    def add(self, cuts: Cuts) -> None:
        """What more is known of the years; cuts of other years are left aside."""
        cuts = cuts.of_years(self.years)
        count = cuts.year.size
        if not count:
            return
        of = self._cost_of_year[cuts.year]
        told = [np.ones((count, 1)), -cuts.of_trees]
        if self._set is None:
            told.append(-cuts.of_planted)
        values = np.concatenate(told, axis=1)
        first_stage = self._first_stage[: values.shape[1] - 1]
        columns = np.concatenate(
            [of[:, None], np.broadcast_to(first_stage, (count, first_stage.size))], axis=1
        )
        row, inside = np.nonzero(values)
        self._live.add(
            MoreRows(
                np.full(count, np.inf),
                row,
                columns[row, inside],
                values[row, inside],
                low=self._without_trees(cuts),
            )
        )
        self.gather(cuts)

    def _without_trees(self, cuts: Cuts) -> Array:
        """(cuts,) what they say without trees, of the set that is asked of where sets are."""
        return cuts.at_nothing if self._set is None else cuts.at_nothing + cuts.of_planted @ self._set

    def know(self, cuts: Cuts, points: Sequence[Point]) -> None:
        """Of these cuts those that tell nearly the most at one of some points are put in; others come in where an
        answer in fractions contradicts them, so that the programme stays small."""
        mine = cuts.of_years(self.years)
        self.add(mine.some(mine.telling(points, AT_FIRST)))
        self._known = mine

    def catch_up(self, known: Cuts, stage: MasterAnswer) -> bool:
        """Put in those of the known cuts that this answer contradicts most, a few of each year; whether there were any:
        with them most of the others hold too."""
        cuts = known.of_years(self.years)
        said = cuts.values(stage.trees, stage.planted)
        of = stage.values[self._cost_of_year[cuts.year]]
        missed = np.flatnonzero(said > of + CONTRADICTED * np.maximum(1.0, np.abs(of)))
        if missed.size:
            missed = missed[np.lexsort((of[missed] - said[missed], cuts.year[missed]))]
            first = np.searchsorted(cuts.year[missed], cuts.year[missed])
            self.add(cuts.some(np.sort(missed[np.arange(missed.size) - first < OF_A_YEAR])))
        return bool(missed.size)

    def restrict(
        self,
        inside: Index | None = None,
        outside: Index | None = None,
        trees: tuple[Array, Array] | None = None,
    ) -> None:
        """Some cultivars in and some out, or least and most trees of each; what is not said is as the plan has it."""
        count = self.trees.size
        low, high = self._bounds[0].copy(), self._bounds[1].copy()
        if trees is not None:
            low[:count], high[:count] = trees
        if inside is not None:
            low[count + inside] = 1.0
        if outside is not None:
            low[count + outside], high[count + outside] = 0.0, 0.0
            low[outside], high[outside] = 0.0, 0.0
        self._live.bound(self._first_stage, low, high)
        if self._set is not None:
            assert np.array_equal(low[count:], high[count:])
            self._set = low[count:]
            if (cuts := self.cuts) is not None:
                self._live.at_least(self._first_cut + np.arange(cuts.year.size), self._without_trees(cuts))

    def solve(self) -> MasterAnswer | None:
        """Least cost in fractions; None: there is no planting."""
        if self._is_whole:
            self._live.whole(self._whole, False)
            self._is_whole = False
        while True:
            found = self._live.solve()
            if found.values is None or found.reduced_cost is None:
                return None
            values, price = found.values, found.reduced_cost
            stage = MasterAnswer(
                values[self.trees],
                values[self.planted],
                found.objective,
                found.objective,
                values,
                price[self.trees],
                price[self.planted],
            )
            if self._known is None or not self.catch_up(self._known, stage):
                return stage

    def solve_whole(
        self, gap: float, hint: Array | None = None, most_nodes: int | None = None
    ) -> MasterAnswer | None:
        """Least cost with whole decisions; None: there is no planting."""
        if not self._is_whole:
            self._live.whole(self._whole, True)
            self._is_whole = True
        found = self._live.solve_whole(gap, hint, most_nodes)
        if found.values is None:
            return None
        planted = np.round(found.values[self.planted])
        trees = np.where(planted > 0, found.values[self.trees], 0.0)
        return MasterAnswer(trees, planted, found.objective, found.bound, found.values)

    def nearest(self, most_cost: float) -> MasterAnswer | None:
        """Of all plantings that cost no more, as far as the cuts know, the one nearest to the own plan.

        In parts of trees; each that changes counts 1.
        """
        assert self._own is not None
        self._live.between(self._cost_row, -np.inf, most_cost)
        columns, _ = self._costs
        self._live.cost(columns, np.zeros(columns.size))
        self._live.cost(self._apart, np.ones(self._apart.size))
        return self.solve()

    def allows(self, trees: Array) -> bool:
        """Whether the plan allows these numbers: rounding may break a condition of it."""
        return self._allows(trees, (trees > 0).astype(float))

    def costs_of_years(self, stage: MasterAnswer) -> Array:
        """(years,) what each costs in this answer, in the order of the master's years. [weighted kg]"""
        return stage.values[self.year_cost]

    def forget_slack(self, stage: MasterAnswer, room: float) -> None:
        """Take out the cuts that lie more than `room` [weighted kg] below the cost of their year here."""
        if self.cuts is None:
            return
        said = self.cuts.values(stage.trees, stage.planted)
        of = stage.values[self._cost_of_year[self.cuts.year]]
        slack = of - said > room
        self._live.drop(self._first_cut + np.flatnonzero(slack))
        self.cuts = self.cuts.some(np.flatnonzero(~slack))


def cost_of(years: Array, limits: Limits, trees: Array) -> float:
    """The programme's measure of a planting from the costs of its years (ROCKAFELLAR2000 for the worst fifth)."""
    return float(costs_of(years[None], np.array([limits.tree_cost @ trees]), limits.worst_weight)[0])


def costs_of(years: Array, dear: Array, weight: float) -> Array:
    """The same for many plantings: (plantings,) from the costs of their years (plantings, years) and their trees, each
    times what it costs; `weight` of the worst fifth beside the mean."""
    worst = -np.sort(-years, axis=1)
    count = WORST_SHARE * years.shape[1]
    whole = int(count)
    tail = worst[:, :whole].sum(axis=1)
    if whole < years.shape[1]:
        tail = tail + (count - whole) * worst[:, whole]
    told: Array = TREE_COST * dear + (1 - weight) * years.mean(axis=1) + weight * tail / count
    return told


def counts_of(years: Array, limits: Limits) -> Array:
    """(years,) what a kilogram short in each counts in the measure of all, from what they cost."""
    weight, tail = limits.worst_weight, WORST_SHARE * years.size
    in_tail = np.zeros(years.size)
    in_tail[np.argsort(-years, kind="stable")] = np.clip(tail - np.arange(years.size), 0.0, 1.0)
    counts: Array = (1 - weight) / years.size + weight * in_tail / tail
    return counts
