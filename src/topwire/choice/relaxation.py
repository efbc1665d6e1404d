"""The whole problem in fractions of trees, kept with the solver: the bound, and the value of any set of cultivars."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Array, Donors, Limits
from topwire.choice.pollination import donors_wanted
from topwire.choice.programme import broken_covers, build
from topwire.choice.service import overfull_cellar
from topwire.choice.solver import Index, Live, MoreRows
from topwire.choice.supply import Supply

SMALL = 60  # [trees] up to which whole numbers are found exactly: there a single tree counts
ROUNDS = 12  # of rows added to the relaxed problem; each adds less
TINY = 1e-6


@dataclass(frozen=True)
class Relaxed:
    """A solution in fractions: (cultivars,) trees, share planted, and what one more of each would cost."""

    cost: float
    trees: Array
    planted: Array
    trees_price: Array
    planted_price: Array

    @property
    def members(self) -> frozenset[int]:
        return frozenset(np.flatnonzero(self.trees > TINY).tolist())


class Relaxation:
    """The full problem in fractions, kept with the solver: cultivars are put in or left out, and it is solved on."""

    def __init__(self, supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, useful: Donors) -> None:
        self.supply, self.limits, self.useful = supply, limits, useful
        self.programme = build(supply, needs, limits, useful)
        self.live = Live(self.programme.model)
        self.fewest, self.most = limits.fewest(supply), limits.most(supply)
        self.there, self.stays = limits.there(supply), limits.stays(supply)
        self.donors = donors_wanted(useful)
        self.old = np.array([row.heritage for row in supply.cultivars])
        self.holds_cellar = limits.places <= SMALL  # many rows for little: they come in where they are needed
        self.added: list[MoreRows] = []
        self._covered: set[int] = set()
        self._full: set[tuple[int, int]] = set()

    def begin_with(self, some: npt.NDArray[np.bool_]) -> None:
        """Solve with some cultivars only, so that the whole problem is solved on from there: a fifth of the time."""
        if not some.all():
            self.solve(outside=frozenset(np.flatnonzero(~some).tolist()))

    def solve(
        self,
        inside: frozenset[int] = frozenset(),
        outside: frozenset[int] = frozenset(),
        *,
        rounds: int = ROUNDS,
        between: tuple[Array, Array] | None = None,
    ) -> Relaxed | None:
        """Least cost with some cultivars in and some out, a bound on all such plantings; None: there is none.

        Parameters
        ----------
        between : least and most trees of each, where they are to be narrower
        """
        planted_low, planted_high = self.stays.astype(float), np.ones(self.stays.size)
        trees_low, trees_high = self.there.copy(), self.most.copy()
        into, out = np.array(sorted(inside), dtype=np.int64), np.array(sorted(outside), dtype=np.int64)
        planted_low[into], trees_low[into] = 1.0, np.maximum(self.there, self.fewest)[into]
        planted_high[out], trees_high[out] = 0.0, 0.0
        if between is not None:
            trees_low, trees_high = between
        columns = self.programme.planting
        self.live.bound(columns.planted, planted_low, planted_high)
        self.live.bound(columns.trees, trees_low, trees_high)
        for _ in range(rounds):
            found = self.live.solve()
            if found.values is None or found.reduced_cost is None:
                return None
            new = [broken_covers(self.programme, found.values, self._covered)]
            if self.holds_cellar:
                years = self.programme.years
                new.append(overfull_cellar(self.supply, self.limits, years, found.values, self._full))
            for rows in new:
                if rows is not None:
                    self.live.add(rows)
                    self.added.append(rows)
            if all(rows is None for rows in new):
                break
        assert found.values is not None
        assert found.reduced_cost is not None
        return Relaxed(
            found.objective,
            found.values[columns.trees],
            found.values[columns.planted],
            found.reduced_cost[columns.trees],
            found.reduced_cost[columns.planted],
        )

    def of_set(self, members: frozenset[int]) -> Relaxed | None:
        """A set of cultivars with its best numbers; None where heritage or the ground cannot hold it."""
        return self.solve(members, frozenset(range(self.stays.size)) - members)

    def dearer(self, root: Relaxed) -> Array:
        """(cultivars,) [weighted kg a year] by how much plans with each cost more than the bound, at least."""
        price = np.maximum(root.planted_price, 0) + np.maximum(root.trees_price, 0) * self.fewest
        return np.asarray(np.where(root.planted > TINY, 0.0, price))

    def allowed(self, members: frozenset[int]) -> bool:
        """Numbers within the plan's, nothing dropped that must stay, useful donors enough for each."""
        who = sorted(members)
        inside = np.zeros(self.stays.size, dtype=bool)
        inside[who] = True
        return bool(
            self.limits.fewest_cultivars <= len(who) <= self.limits.most_cultivars
            and inside[self.stays].all()
            and np.maximum(self.there, self.fewest)[who].sum() <= self.limits.places
            and (self.useful[np.ix_(who, who)].sum(axis=0) >= self.donors[who]).all()
        )

    def complete(self, found: Relaxed) -> bool:
        """Whether a solution is a planting: of each cultivar none or enough, and a set that is allowed."""
        members = sorted(found.members)
        return bool(
            (found.trees[members] >= self.fewest[members] - TINY).all() and self.allowed(frozenset(members))
        )

    def whole_trees(self, numbers: Array) -> Index:
        """Whole numbers near these, that keep every condition."""
        trees = np.round(numbers).astype(np.int64)
        members = np.flatnonzero(trees).tolist()
        least = np.maximum(self.there, self.fewest)
        while trees.sum() > self.limits.places:
            spare = [at for at in members if trees[at] > least[at] and not self.old[at]]
            spare = spare or [at for at in members if trees[at] > least[at]]
            trees[max(spare, key=lambda at: (trees[at], -at))] -= 1
        while trees[self.old].sum() < self.limits.heritage_share * trees.sum() - 1e-9:
            heirs = [at for at in members if self.old[at] and trees[at] < self.most[at]]
            others = [at for at in members if not self.old[at] and trees[at] > least[at]]
            if not heirs or not others:
                break
            trees[max(heirs, key=lambda at: (trees[at], -at))] += 1
            trees[max(others, key=lambda at: (trees[at], -at))] -= 1
        return trees
