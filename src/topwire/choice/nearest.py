"""Of all plantings about as good under a change, the one nearest to the own plan: nothing moves without need.

What the search learnt of the years holds under any change of trees, taste, must-have and numbers. So the first stage is
solved again on the kept cuts. The years are asked a few times only, first at the nearest planting that the cuts think
good, then between the best so far and the master's answer (in-out, as in `search`); what is still open after that is
told as the gap. The set of cultivars is the own one where it is about as good, else the best by the cuts; its numbers
are the nearest to the own ones.
"""

from dataclasses import dataclass

import numpy as np

from topwire.choice.master import Cuts, Master, MasterAnswer, Point, cost_of
from topwire.choice.model import Index
from topwire.choice.numbers import rounded
from topwire.choice.planting import Array, Donors, Limits
from topwire.choice.search import between, find_among
from topwire.choice.years import GAP, TINY, Infeasible, Years

GAP_TO_PLAY_WITH = 0.02  # between the planting found and the bound: good enough to play with, and told
IN_PARTS = 0.6  # share of it at which parts of trees are good enough
NEAR_GAP = 0.002  # by how much the nearest planting may cost more than the best, as far as the cuts know
ASKED = 4  # times the years are asked about parts of trees
FORWARD = 0.7  # part of the way from the best point to the master's answer at which they are
# Share by which the own set may seem to cost more than another and is kept: the cuts know it best, and others turn out
# dearer than they seem, most of all with fewer trees.
SAME_SET, OF_FEWER = 0.02, 0.04
DECISIONS = 0.25  # share of the gap to which a set is sought
MOST_NODES = 60  # of that search
NEARLY = 0.02  # of a year's cost, by which a cut may say less than another and still be heard
TURNS = 2  # in which whole numbers of a set are tried
ROUNDS = 4  # of whole decisions where nothing is known of the years


@dataclass(frozen=True)
class Near:
    """Trees of every cultivar, what they cost, and the least that any planting can. [weighted kg a year]"""

    trees: Index
    cost: float
    bound: float

    @property
    def gap(self) -> float:
        return max(0.0, (self.cost - self.bound) / self.cost) if self.cost > 0 else 0.0


def nearest_known(
    years: Years, limits: Limits, useful: Donors, own: Index, out: Index, bound: float, *, sure: bool = False
) -> Near:
    """With what was learnt of these years.

    Parameters
    ----------
    years : with their cuts
    own : (cultivars,) trees of the own plan; out : cultivars that may not be planted
    bound : that is known already
    sure : where that leaves more open than to play with, the years are searched

    Raises
    ------
    Infeasible
        When the conditions of the plan cannot all be met.
    """
    seek = _Seeking(years, limits, useful, own, out, bound)
    found = seek.own_plan()
    if found is None:
        seek.in_parts()
        found = seek.in_whole(seek.members())
    if found is None or (sure and found.gap > GAP_TO_PLAY_WITH):
        wide = find_among(years, limits, useful, gap=GAP_TO_PLAY_WITH, outside=out, rounds=ROUNDS)
        if found is None or wide.objective < found.cost:
            return Near(wide.trees, wide.objective, max(seek.bound, wide.bound))
    return found


def nearest_new(years: Years, limits: Limits, useful: Donors, own: Index, out: Index) -> Near:
    """Where nothing is known of these years yet: they are searched, then numbers near to the own ones are tried.

    Raises
    ------
    Infeasible
        When the conditions of the plan cannot all be met.
    """
    found = find_among(years, limits, useful, gap=GAP_TO_PLAY_WITH, outside=out, rounds=ROUNDS)
    seek = _Seeking(years, limits, useful, own, out, found.bound)
    near = seek.in_whole(np.flatnonzero(found.trees))
    if near is None or near.gap > GAP_TO_PLAY_WITH:
        return Near(found.trees, found.objective, found.bound)
    return near


class _Seeking:
    """Two masters on the same cuts: one for the least cost, one for the least distance from the own plan.

    Of what is known they begin with the cuts that speak of plantings like the own one; others come in where an answer
    contradicts them.
    """

    def __init__(
        self, years: Years, limits: Limits, useful: Donors, own: Index, out: Index, bound: float
    ) -> None:
        self.years, self.limits, self.useful, self.own, self.out = years, limits, useful, own, out
        self.bound = bound
        every = np.arange(years.supply.years.size)
        self.least = Master(years.supply, limits, useful, every)
        self.apart = Master(years.supply, limits, useful, every, own=own)
        self.points = [_like_the_own(own, years, limits)]
        assert years.cuts is not None
        for master in (self.least, self.apart):
            master.know(years.cuts, self.points)

    def own_plan(self) -> Near | None:
        """The own plan as it is, where the change leaves it as good as any."""
        missing = self.limits.stays(self.years.supply) & (self.own == 0)
        own = self.own.astype(float)
        if self.own[self.out].any() or missing.any() or not self.least.allows(own):
            return None
        self.least.restrict(np.flatnonzero(own > 0), np.flatnonzero(own == 0), trees=(own, own))
        stage = self.least.solve()
        if stage is None or stage.cost > (1 + GAP + NEAR_GAP) * self.bound:
            return None
        cost = self._asked(own, (own > 0).astype(float))
        return (
            Near(self.own, cost, min(self.bound, cost)) if cost <= (1 + GAP + NEAR_GAP) * self.bound else None
        )

    def in_parts(self) -> None:
        """Parts of trees until they are near enough to the bound, or the years were asked often enough."""
        self.least.restrict(outside=self.out)
        self.apart.restrict(outside=self.out)
        stage = self.least.solve()
        if stage is None:
            raise Infeasible
        self.bound = max(self.bound, stage.cost)
        point = self.points[0]
        if (
            self.own.sum() <= self.limits.places
        ):  # of fewer trees the own numbers in proportion are a better begin
            near = self.apart.nearest((1 + NEAR_GAP) * stage.cost)
            if near is None:
                raise Infeasible
            point = (near.trees, near.planted)
        best, centre = np.inf, point
        for _ in range(ASKED):
            cost = self._asked(*point)
            if cost < best:
                best, centre = cost, point
            stage = self.least.solve()
            assert stage is not None
            self.bound = max(self.bound, stage.cost)
            if best - self.bound <= IN_PARTS * GAP_TO_PLAY_WITH * best:
                break
            point = between(centre, (stage.trees, stage.planted), FORWARD)
        self.points = [centre, (stage.trees, stage.planted)]

    def members(self) -> Index:
        """The set of cultivars: the own one, with what has to be there, where the cuts think it about as good as any;
        else the best of those that came into question."""
        must = np.flatnonzero(self.limits.stays(self.years.supply))
        own = np.setdiff1d(np.union1d(np.flatnonzero(self.own), must), self.out).astype(np.int64)
        everyone = np.arange(self.own.size)
        self.least.restrict(own, np.setdiff1d(everyone, own))
        stage = self.least.solve()
        own_cost = np.inf if stage is None else stage.cost
        same = 1 + (OF_FEWER if self.own.sum() > self.limits.places else SAME_SET)
        if own_cost <= same * self.bound:
            return own
        among = own
        for trees, planted in self.points:
            among = np.union1d(among, np.flatnonzero((trees > TINY) & (planted > TINY))).astype(np.int64)
        decide = Master(self.years.supply, self.limits, self.useful, self.least.years)
        decide.add(self._telling())
        best: MasterAnswer | None = None
        for some in (among, everyone):
            decide.restrict(outside=np.union1d(np.setdiff1d(everyone, some), self.out).astype(np.int64))
            whole = decide.solve_whole(DECISIONS * GAP_TO_PLAY_WITH, most_nodes=MOST_NODES)
            if whole is not None and (best is None or whole.cost < best.cost):
                best = whole
            # Among few a condition may be dear to meet that another, a pollen donor say, would meet for little.
            if best is not None and best.cost <= (1 + GAP_TO_PLAY_WITH) * self.bound:
                break
        if best is None:
            raise Infeasible
        return own if own_cost <= same * best.cost else np.flatnonzero(best.planted > 0.5)

    def _telling(self) -> Cuts:
        """The cuts that say nearly the most of their year at the points looked at: the others only slow decisions."""
        cuts = self.years.cuts
        assert cuts is not None
        return cuts.some(cuts.telling(self.points, NEARLY))

    def in_whole(self, members: Index) -> Near | None:
        """Whole numbers of a set, near to the own ones; None where the plan does not allow the set."""
        others = np.setdiff1d(np.arange(self.own.size), members).astype(np.int64)
        found: Near | None = None
        for _ in range(TURNS):
            self.least.restrict(members, others)
            self.apart.restrict(members, others)
            stage = self.least.solve()
            near = None if stage is None else self.apart.nearest((1 + NEAR_GAP) * stage.cost)
            if stage is None or near is None:
                break
            numbers = rounded(near.trees, self.limits)
            if not self.least.allows(numbers):
                sought = self._allowed(members, others)
                if sought is None:
                    break
                numbers = sought
            cost = self._asked(numbers, (numbers > 0).astype(float))
            if found is None or cost < found.cost:
                found = Near(numbers.astype(np.int64), cost, min(self.bound, cost))
            if found.gap <= GAP_TO_PLAY_WITH or cost <= (1 + 2 * NEAR_GAP) * stage.cost:
                break
        return found

    def _allowed(self, members: Index, others: Index) -> Array | None:
        """Whole numbers that the plan allows, where rounding breaks a condition of it; near to the own ones or not."""
        whole = Master(self.years.supply, self.limits, self.useful, self.least.years, whole_trees=True)
        whole.add(self._telling())
        whole.restrict(members, others)
        sought = whole.solve_whole(DECISIONS * GAP_TO_PLAY_WITH, most_nodes=MOST_NODES)
        return None if sought is None else np.round(sought.trees)

    def _asked(self, trees: Array, planted: Array) -> float:
        costs, cuts = self.years.ask(trees, planted)
        self.least.add(cuts)
        self.apart.add(cuts)
        return cost_of(costs, self.limits, trees)


def _like_the_own(own: Index, years: Years, limits: Limits) -> Point:
    """The own numbers, in proportion where there is no room for them."""
    trees = own * min(1.0, limits.places / max(1, int(own.sum())))
    trees = np.clip(trees, limits.there(years.supply), limits.most(years.supply))
    return trees, (trees > 0).astype(float)
