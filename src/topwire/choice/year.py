"""One weather year as a programme of its own, kept with the solver and solved on from its basis.

Trees are given from outside, as the crop its rows hold; so is what share of each cultivar is planted, as a bound on its
fruit: what a cultivar gives to a need in a week is no more than the need takes, times whether it is planted (the strong
form of fixed-charge flow, PADBERG1985). Prices of rows and bounds tell what more trees or plantings would save: a cut
that lies below the year's cost everywhere, whatever trees there are (L-shaped method, VANSLYKE1969).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Array, Limits
from topwire.choice.service import WASTE_COST, add_one_year, overfull_cellar
from topwire.choice.solver import Live, Model
from topwire.choice.supply import Supply

NO_LIMIT = 1e9  # [kg] of a column that only the crop bounds


@dataclass(frozen=True)
class Cut:
    """A least cost of one year: at_nothing + trees @ of_trees + planted @ of_planted. [weighted kg]"""

    year: int
    at_nothing: float
    of_trees: Array
    of_planted: Array


class YearProgramme:
    """Serving in one weather year, for any trees."""

    def __init__(self, supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, at: int) -> None:
        self.at = at
        self._supply, self._limits = supply.in_years(np.array([at])), limits
        model = Model()
        self._year = add_one_year(model, self._supply, needs, limits)
        self._live = Live(model, primal=True)  # three times as fast as the dual method here (measured)
        self._crop = self._supply.crop[0]
        held = self._year.crop
        self._held = held.share * self._crop[held.cultivar]
        fruit = self._year.fruit
        self._bounded = np.isfinite(fruit.most)
        self._most = np.where(self._bounded, fruit.most, NO_LIMIT)
        self._full: set[tuple[int, int]] = set()

    def solve(self, trees: Array, planted: Array) -> tuple[float, Cut]:
        """Cost of the year with these trees, and the cut that touches it there."""
        held, fruit = self._year.crop, self._year.fruit
        trees, planted = (
            np.maximum(trees, 0.0),
            np.clip(planted, 0.0, 1.0),
        )  # the master's arithmetic may be a hair off
        self._live.at_least(held.rows, -self._held * trees[held.cultivar])
        share = np.where(self._bounded, planted[fruit.cultivar], 1.0)
        self._live.bound(fruit.columns, np.zeros(fruit.columns.size), self._most * share)
        while True:
            found = self._live.solve()
            if found.values is None or found.row_price is None or found.reduced_cost is None:
                raise RuntimeError("serving has always a solution: leave all needs open")
            rows = overfull_cellar(self._supply, self._limits, [self._year], found.values, self._full)
            if rows is None:
                break
            self._live.add(rows)
        count = self._crop.size
        of_trees = np.bincount(
            held.cultivar, weights=-found.row_price[held.rows] * self._held, minlength=count
        )
        of_trees = of_trees + WASTE_COST * self._crop
        saves = np.where(self._bounded, np.minimum(found.reduced_cost[fruit.columns], 0.0) * self._most, 0.0)
        of_planted = np.bincount(fruit.cultivar, weights=saves, minlength=count)
        cost = found.objective + WASTE_COST * float(self._crop @ trees)
        at_nothing = cost - float(of_trees @ trees) - float(of_planted @ planted)
        return cost, Cut(
            self.at, at_nothing, np.asarray(of_trees, dtype=float), np.asarray(of_planted, dtype=float)
        )


def year_programmes(supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits) -> tuple[YearProgramme, ...]:
    """Every weather year."""
    return tuple(YearProgramme(supply, needs, limits, at) for at in range(supply.years.size))
