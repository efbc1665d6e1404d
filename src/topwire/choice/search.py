"""Finding the numbers, with a proof of how good they are.

1. The full problem (every candidate, week and weather year) with trees that may be fractions gives a bound: no plan can
   be better. MoreRows that every whole planting keeps (`broken_covers`) lift it close to the best plan.
2. The allowed set of cultivars nearest to that solution, with its best numbers of trees, is a first plan; branching
   among the cultivars near the solution looks for a better one.
3. Branch and bound on “is it planted?” among all, each branch followed to a planting before the next, until the gap is
   small enough. The bound is that of the whole problem at every moment.
4. Numbers are made whole, and served exactly: what is reported is the cost of the planting itself.

For a handful of trees, where a single one counts, the whole programme is solved in whole numbers.
Ties go to the catalogue's order; nothing hangs on the clock.
"""

import heapq
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import count

import numpy as np
import numpy.typing as npt

from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Array, Donors, Limits, add_planting
from topwire.choice.programme import put_rows, solve_whole
from topwire.choice.relaxation import SMALL, TINY, Relaxation, Relaxed
from topwire.choice.serving import serve
from topwire.choice.solver import Index, Model, solve
from topwire.choice.supply import Supply

GAP = 0.0025  # between the planting found and the bound: the search ends there
ROUGH_GAP = 0.01  # enough where two ways of choosing are set side by side
ROUNDING = 0.2  # share of the gap left for making numbers whole
NEAR = 60  # cultivars nearest to the relaxed solution, among which a better planting is looked for first
MOST_NODES = 150  # relaxed problems solved in branching: a search that long ends with the gap it has
SMALL_NODES = 10_000  # branches times candidates looked at for them, at the most
FEW = 12  # candidates
FEW_YEARS = 10  # weather years looked at to see where to begin
PROMISING = 60  # cultivars to begin with


class Infeasible(Exception):
    """No set of trees meets the plan's conditions."""


@dataclass(frozen=True)
class Found:
    """Numbers of trees with their proof.

    trees : (cultivars,) of the supply given; relaxed : (cultivars,) of the relaxed plan
    dearer : (cultivars,) [weighted kg a year] by how much a plan with the cultivar costs more than the bound, at least
    objective, bound : weighted kg a year
    """

    trees: Index
    relaxed: Array
    dearer: Array
    objective: float
    bound: float

    @property
    def gap(self) -> float:
        return max(0.0, (self.objective - self.bound) / self.objective) if self.objective > 1e-9 else 0.0


def find(
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    useful: Donors,
    *,
    gap: float = GAP,
) -> Found:
    """Trees of each cultivar.

    Parameters
    ----------
    useful : (donors, parents) dependable pollen donors
    gap : relative gap at which the search ends

    Raises
    ------
    Infeasible
        When the conditions of the plan cannot all be met.
    """
    relaxed = Relaxation(supply, needs, limits, useful)
    relaxed.begin_with(promising(supply, needs, limits, useful))
    root = relaxed.solve()
    if root is None:
        raise Infeasible
    if limits.places <= SMALL:
        return _exactly(relaxed, root, needs, gap)
    found = _by_branches(relaxed, root, needs, gap)
    if found.gap > gap and limits.cellar is not None:  # the cellar may be what stands between the two
        relaxed.holds_cellar = True
        root = relaxed.solve()
        assert root is not None
        found = _by_branches(relaxed, root, needs, gap)
    return found


def _by_branches(relaxed: Relaxation, root: Relaxed, needs: Sequence[WeeklyNeed], gap: float) -> Found:
    """A first set, branch and bound among the cultivars near the relaxed solution, then among all; whole numbers."""
    supply, limits = relaxed.supply, relaxed.limits
    search = _Search(relaxed, root, (1 - ROUNDING) * gap)
    search.value(first_set(supply, limits, relaxed.useful, root))
    if not search.near_enough(root.cost) and root.trees.size > NEAR:
        search.look_near(needs)
    bound = search.branch()
    if search.best is None:
        raise Infeasible
    trees = relaxed.whole_trees(search.best)
    objective, _ = serve(supply, needs, limits, trees)
    if objective - search.cost > ROUNDING * gap * objective:
        other = by_and_by(relaxed, needs, search.best)
        cost = np.inf if other is None else serve(supply, needs, limits, other)[0]
        if other is not None and cost < objective:
            trees, objective = other, cost
    return Found(trees, root.trees, relaxed.dearer(root), objective, bound)


def by_and_by(relaxed: Relaxation, needs: Sequence[WeeklyNeed], numbers: Array) -> Index | None:
    """Whole numbers for a set, the nearest half made whole and the others found anew, again and again.

    Where places are short a tree too few of one is made good by the others. None: no way on from some step.
    """
    keep = np.flatnonzero(numbers > TINY)
    few = Relaxation(
        relaxed.supply.chosen(keep), needs, relaxed.limits.some(keep), relaxed.useful[np.ix_(keep, keep)]
    )
    few.holds_cellar = relaxed.holds_cellar
    low, high = np.maximum(few.there, few.fewest), few.most.copy()
    everyone = frozenset(range(keep.size))
    while (low < high).any():
        found = few.solve(everyone, between=(low, high))
        if found is None:
            return None
        near = np.round(found.trees)
        apart = np.where(low < high, np.abs(found.trees - near), np.inf)
        settled = apart <= np.median(apart[low < high]) + TINY
        low, high = np.where(settled, near, low), np.where(settled, near, high)
    if few.solve(everyone, between=(low, high)) is None:
        return None
    trees = np.zeros(numbers.size, dtype=np.int64)
    trees[keep] = low.astype(np.int64)
    return trees


def _exactly(relaxed: Relaxation, root: Relaxed, needs: Sequence[WeeklyNeed], gap: float) -> Found:
    """The full programme with whole numbers, for a handful of trees; the rows of the relaxed problem help.

    Few candidates are settled to the last kilogram. Many look much alike for a handful of trees: then the search ends
    at the gap asked for, or at SMALL_NODES with the gap it has.
    """
    candidates = root.trees.size
    few = candidates <= FEW
    programme = relaxed.programme
    for rows in relaxed.added:
        put_rows(programme.model, rows)
    found = solve_whole(
        programme,
        relaxed.supply,
        relaxed.limits,
        gap=0.0 if few else gap,
        most_nodes=None if few else SMALL_NODES // candidates,
    )
    if found.values is None:
        raise Infeasible
    trees = np.round(found.values[programme.planting.trees]).astype(np.int64)
    objective, _ = serve(relaxed.supply, needs, relaxed.limits, trees)
    return Found(trees, root.trees, relaxed.dearer(root), objective, max(root.cost, found.bound))


def promising(
    supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, useful: Donors
) -> npt.NDArray[np.bool_]:
    """(cultivars,) those that do best in a few weather years, from the worst to the best: where to begin."""
    count = len(supply.cultivars)
    if supply.years.size <= FEW_YEARS or count <= PROMISING:
        return np.ones(count, dtype=bool)
    order = np.argsort((supply.crop / supply.ordinary).mean(axis=1), kind="stable")
    picks = np.sort(order[np.round(np.linspace(0, order.size - 1, FEW_YEARS)).astype(np.int64)])
    relaxed = Relaxation(supply.in_years(picks), needs, limits, useful)
    found = relaxed.solve(rounds=1)
    if found is None:
        return np.ones(count, dtype=bool)
    best = np.lexsort((np.arange(count), -found.trees, relaxed.dearer(found)))[:PROMISING]
    return np.asarray(np.isin(np.arange(count), best) | relaxed.stays)


def first_set(supply: Supply, limits: Limits, useful: Donors, root: Relaxed) -> frozenset[int]:
    """The allowed set nearest to the relaxed solution: a small whole-number programme without the kitchen.

    Raises
    ------
    Infeasible
        When the conditions on sets cannot be met.
    """
    model = Model()
    planting = add_planting(model, supply, limits, useful)
    apart = model.add_columns(
        np.full(root.trees.size, 1e-3)
    )  # distance of the numbers from the relaxed plan's
    for sign in (1.0, -1.0):
        rows = model.add_rows(-sign * root.trees, np.inf)
        model.put(rows, apart, 1.0)
        model.put(rows, planting.trees, -sign)
    filled = np.minimum(root.trees / np.maximum(limits.fewest(supply), 1.0), 1.0)
    dear = np.maximum(root.trees_price, 0.0) * limits.fewest(supply)
    near = np.where(filled > 0.01, 0.5 - filled, 0.5 + 0.01 * dear)
    model.cost[0], model.cost[1] = (
        np.zeros(near.size),
        near + 1e-7 * np.arange(near.size),
    )  # ties: first in order
    found = solve(model, gap=1e-4)
    if found.values is None:
        raise Infeasible
    return frozenset(np.flatnonzero(found.values[planting.planted] > 0.5).tolist())


class _Search:
    """The best planting so far, and the branches still open."""

    def __init__(self, relaxed: Relaxation, root: Relaxed, gap: float) -> None:
        self.relaxed, self.root, self.gap = relaxed, root, gap
        self.cost = np.inf
        self.best: Array | None = None

    def near_enough(self, bound: float) -> bool:
        return bound >= self.cost - self.gap * abs(self.cost)

    def value(self, members: frozenset[int]) -> None:
        """A set with its best numbers."""
        self._keep(self.relaxed.of_set(members))

    def _keep(self, found: Relaxed | None) -> None:
        if found is not None and found.cost < self.cost - TINY:
            self.cost, self.best = found.cost, found.trees

    def look_near(self, needs: Sequence[WeeklyNeed]) -> None:
        """A better planting by branching among fewer cultivars, those nearest to the relaxed solution: far quicker.

        What it finds is a planting of the whole problem; its bound is not one, and is not used.
        """
        whole = self.relaxed
        order = np.lexsort((np.arange(self.root.trees.size), -self.root.trees, whole.dearer(self.root)))
        keep = np.sort(np.union1d(order[:NEAR], np.flatnonzero(whole.stays)))
        few = Relaxation(
            whole.supply.chosen(keep), needs, whole.limits.some(keep), whole.useful[np.ix_(keep, keep)]
        )
        few.holds_cellar = whole.holds_cellar
        root = few.solve()
        if root is None:
            return
        inner = _Search(few, root, self.gap)
        inner.cost = self.cost
        inner.branch()
        if inner.best is not None:
            self.cost, self.best = inner.cost, np.zeros(self.root.trees.size)
            self.best[keep] = inner.best

    def branch(self) -> float:
        """Branch and bound on “is it planted?”; gives the bound of the whole problem when it ends."""
        order = count()
        inside, outside = self._settled()
        open_nodes = [(self.root.cost, next(order), inside, outside)]
        closed = np.inf  # least bound of branches that need no further look
        looks = 0
        while open_nodes and looks < MOST_NODES and not self.near_enough(min(open_nodes[0][0], closed)):
            bound, _, inside, outside = heapq.heappop(open_nodes)
            while True:  # dive: one child at once, the other one later
                found = self.relaxed.solve(inside, outside)
                looks += 1
                if found is None:
                    break
                bound = max(bound, found.cost)
                if self.relaxed.complete(found):
                    self._keep(found)
                    closed = min(closed, bound)
                    break
                if self.near_enough(bound):
                    closed = min(closed, bound)
                    break
                at, up = self._undecided(found, inside, outside)
                if at is None:  # every cultivar decided, and still no planting
                    closed = min(closed, bound)
                    break
                children = ((inside | {at}, outside), (inside, outside | {at}))
                (inside, outside), later = children if up else children[::-1]
                heapq.heappush(open_nodes, (bound, next(order), *later))
        return float(min([self.cost, closed, *(node[0] for node in open_nodes)]))

    def _settled(self) -> tuple[frozenset[int], frozenset[int]]:
        """Cultivars that a better plan than the best so far is bound to have, or bound not to have (reduced costs)."""
        room = self.cost - self.root.cost
        out = np.flatnonzero(self.relaxed.dearer(self.root) > room + TINY)
        must = np.flatnonzero((-self.root.planted_price > room + TINY) & (self.root.planted > 1 - TINY))
        return frozenset(must.tolist()), frozenset(out.tolist())

    def _undecided(
        self, found: Relaxed, inside: frozenset[int], outside: frozenset[int]
    ) -> tuple[int | None, bool]:
        """The cultivar to branch on, and whether to plant it first: the one furthest from a decision."""
        filled = found.trees / self.relaxed.fewest
        doubt = np.where(filled < 1 - TINY, np.minimum(filled, 1 - filled), 0.0)
        if doubt.max() < TINY:  # numbers are whole plantings, but the set is not allowed
            doubt = np.minimum(found.planted, 1 - found.planted)
        doubt = np.where(np.isin(np.arange(doubt.size), sorted(inside | outside)), -1.0, doubt)
        at = int(np.argmax(doubt))
        if doubt[at] < 0:
            return None, False
        return at, bool(max(found.planted[at], filled[at]) >= 0.5)
