"""Finding the numbers, with a proof of how good they are: the choice decomposed by weather year.

1. Opening: the same problem over a few years, from the worst to the best, in fractions; its cuts are kept.
   Where all years are known already, what is known of them is the beginning.
2. All years in fractions. Each round asks the master (trees and "planted" under what the cuts know) and then every year
   at a point between the best point so far and the master's answer (in-out: BENAMEUR2007); the years' prices are new
   cuts. The master's cost is a bound at every moment: no plan can be better.
3. Cuts that are slack are taken out, for speed, and put back where an answer contradicts them. The master is solved in
   whole decisions; its sets are valued in all years, which gives plantings and further cuts, until the best planting is
   within the gap of the master's bound.
4. With the set fixed whole numbers of trees are found (`numbers`); what is reported is the cost of the planting
   itself, in all years.

For a handful of trees, where a single one counts, the master's trees are whole from the start, and it ends at no gap.
Ties go to the catalogue's order; nothing hangs on the clock.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from topwire.choice.at_once import best_in_fractions
from topwire.choice.master import Cuts, Master, MasterAnswer, Point, cost_of
from topwire.choice.model import Index
from topwire.choice.needs import WeeklyNeed
from topwire.choice.numbers import ROUNDING, whole_numbers
from topwire.choice.planting import Array, Donors, Limits
from topwire.choice.supply import Supply
from topwire.choice.years import GAP, TINY, Infeasible, Years

ROUGH_GAP = 0.01  # enough where two ways of choosing are set side by side
OPENING = 0.03  # relative gap at which the opening over few years is left
FRACTIONS = 0.4  # share of the gap at which the problem in fractions is left
KNOWN_FRACTIONS = (
    0.8  # the same where the years are known and the first set is near enough at once; mostly it is
)
# Where the planting is wanted and not how surely it is the best; and where such a one is there to begin with, of which
# the numbers alone are bettered.
ROUGH_FRACTIONS, BEGUN_FRACTIONS = 0.8, 3.0
# There it ends too where the best point has come down by less than this share of the gap in so many rounds: what goes
# on is the proof alone.
STALLED, STALLED_ROUNDS = 0.2, 5
DECISIONS = 0.4  # share of the gap at which the master in whole decisions is left
OUTWARD = 0.5  # part of the way from the best point to the master's answer at which the years are asked
STRIDE = 4  # in the opening, every so many rounds, they are asked at the master's answer itself
# Behind the opening the first steps are short: little is known of most years, and near points are quickly solved.
CAUTIOUS, CAUTIOUS_ROUNDS = 0.2, 6
FAVOURED = 0.25  # share planted in the fractional answer from which a cultivar may be in the first set
# Rounds in which the numbers of a set are bettered, until they lie above its best by no more than a share of the gap.
NUMBERS, ENOUGH_OF_SET = 4, 0.7
ROUGH_ROUNDING = (
    0.5  # share of the gap by which whole numbers of a set may lie above its best where rough will do
)
ROUGH_DECISIONS = 0.6  # DECISIONS of the first try, among the cultivars of the fractional answer
ROUNDS = 150  # of cuts in fractions, at the most
WHOLE_ROUNDS = 40  # of whole decisions, at the most
ROUGH = 0.3  # of the part still open: how finely a round of an exact search is solved
PURGE = 5e-4  # of the cost: slack from which a cut is taken out before whole decisions are sought
SMALL = 60  # [trees] up to which whole numbers are found exactly: there a single tree counts
FEW_YEARS = 5  # weather years to open with


@dataclass(frozen=True)
class Found:
    """Numbers of trees with their proof.

    trees : (cultivars,) of the supply given; relaxed : (cultivars,) of the plan in fractions
    dearer : (cultivars,) [weighted kg a year] by how much a plan with the cultivar costs more than the bound, at least
    objective, bound : weighted kg a year
    cuts : what was learnt of the years; holds under any change of trees, taste, must-have and numbers
    """

    trees: Index
    relaxed: Array
    dearer: Array
    objective: float
    bound: float
    cuts: Cuts

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
    outside: Index | None = None,
) -> Found:
    """Trees of each cultivar.

    Parameters
    ----------
    useful : (donors, parents) dependable pollen donors
    gap : relative gap at which the search ends
    outside : cultivars left out

    Raises
    ------
    Infeasible
        When the conditions of the plan cannot all be met.
    """
    return find_among(Years(supply, needs, limits), limits, useful, gap=gap, outside=outside)


def find_among(
    years: Years,
    limits: Limits,
    useful: Donors,
    *,
    gap: float = GAP,
    which: Index | None = None,
    outside: Index | None = None,
    rounds: int = WHOLE_ROUNDS,
    rough: bool = False,
    like: Sequence[Point] = (),
    begin: Array | None = None,
    settled: Callable[[Point], None] = lambda _: None,
) -> Found:
    """The same with year programmes that are there already, and the cuts they have taught; all years, or some.

    Parameters
    ----------
    outside : cultivars left out
    rounds : of whole decisions, at the most; fewer where the planting is wanted and not how surely it is the best
    like : where the years are known, plantings like those that will be asked of
    begin : trees to begin with where the years are known, if the plan allows them
    rough : so it is: the problem in fractions is left earlier, and of years that are known well every step is long
    settled : is told the best point in fractions as soon as it is found; decisions and numbers follow
    """
    supply = years.supply
    small = limits.places <= SMALL
    if small:
        gap = TINY
    which = np.arange(supply.years.size) if which is None else which
    known = years.cuts is not None and bool(np.isin(which, years.cuts.year).all())
    centre = None if known else _opened(years, limits, useful, which, outside)
    parts: tuple[float, ...] = (FRACTIONS,)
    if rough:
        parts = (ROUGH_FRACTIONS if begin is None or not known else BEGUN_FRACTIONS,)
    elif known and not small:
        parts = (KNOWN_FRACTIONS, FRACTIONS)
    stalled = STALLED * gap if rough and not small else None
    found = None
    for part in parts:
        master = Master(supply, limits, useful, which, whole_trees=small)
        assert years.cuts is not None
        if known and like:
            master.know(years.cuts, like)
        else:
            master.add(years.cuts)
        if centre is None and begin is not None and master.allows(begin):
            centre = (begin, (begin > 0).astype(float))
        master.restrict(outside=outside)
        if centre is None:  # what is known of all these years is a better beginning than a few of them
            stage = master.solve()
            if stage is None:
                raise Infeasible
            centre = (stage.trees, stage.planted)
        gap_of_parts = part * max(gap, GAP / 2)
        in_parts, centre, root = in_fractions(
            master, years, limits, centre, gap_of_parts, cautious=not known, stalled=stalled
        )
        if part is parts[0]:
            settled(centre)
        master.forget_slack(root, PURGE * abs(root.cost))
        found = _in_whole(
            master,
            years,
            limits,
            useful,
            root,
            gap,
            whole_trees=small,
            outside=outside,
            rounds=rounds,
            near=in_parts if rough else None,
            before=begin,
            at_once=part is not parts[-1],
        )
        if found is not None:
            break
    assert found is not None
    return found


def _opened(years: Years, limits: Limits, useful: Donors, which: Index, outside: Index | None) -> Point:
    """A good point for a few years between the worst and the best."""
    few = which[opening_years(years.supply.in_years(which))]
    opening = Master(years.supply, limits, useful, few)
    opening.restrict(outside=outside)
    middle = years.supply.in_years(few).mean_year()
    begin = best_in_fractions(middle, years.needs, limits, useful, outside)  # for one year between them
    if begin is None:
        raise Infeasible
    point = begin.trees, begin.planted
    return in_fractions(opening, years, limits, point, OPENING, opening=True)[1]


def opening_years(supply: Supply) -> Index:
    """A few weather years that stand for all, from the one with least fruit to the one with most."""
    order = np.argsort((supply.crop / supply.ordinary).mean(axis=1), kind="stable")
    picks = order[np.round(np.linspace(0, order.size - 1, min(FEW_YEARS, order.size))).astype(np.int64)]
    return np.unique(picks)


def in_fractions(
    master: Master,
    years: Years,
    limits: Limits,
    centre: Point,
    gap: float,
    *,
    opening: bool = False,
    cautious: bool = True,
    stalled: float | None = None,
) -> tuple[float, Point, MasterAnswer]:
    """In-out rounds until the best point is within the gap of the master's bound: its cost, that point, the bound's.

    Parameters
    ----------
    centre : trees and share planted that the plan allows, to begin at
    opening : few years, of which nothing is known yet: longer steps
    cautious : the first steps are short
    stalled : share of its cost by which the best point has to come down in STALLED_ROUNDS; None = it need not
    """
    which = master.years
    costs, cuts = years.ask(*centre, which)
    master.add(cuts)
    best = cost_of(costs, limits, centre[0])
    before = [best]
    stage = master.solve()
    for turn in range(ROUNDS):
        if stage is None:
            raise Infeasible
        if best - stage.cost <= gap * abs(best):
            break
        then = before[-1 - STALLED_ROUNDS] if turn >= STALLED_ROUNDS else np.inf
        if stalled is not None and then - best < stalled * abs(best):
            break
        if opening:
            part = 1.0 if turn % STRIDE == STRIDE - 1 else OUTWARD
        else:
            part = CAUTIOUS if cautious and turn < CAUTIOUS_ROUNDS else OUTWARD
        point = between(centre, (stage.trees, stage.planted), part)
        costs, cuts = years.ask(*point, which)
        cost = cost_of(costs, limits, point[0])
        if cost < best:
            best, centre = cost, point
        before.append(best)
        master.add(cuts)
        stage = master.solve()
    assert stage is not None
    return best, centre, stage


def between(one: Point, other: Point, part: float) -> Point:
    """The point that lies this part of the way from one to the other."""
    return (1 - part) * one[0] + part * other[0], (1 - part) * one[1] + part * other[1]


def _in_whole(
    master: Master,
    years: Years,
    limits: Limits,
    useful: Donors,
    root: MasterAnswer,
    gap: float,
    *,
    whole_trees: bool,
    outside: Index | None,
    rounds: int,
    near: float | None,
    before: Array | None,
    at_once: bool,
) -> Found | None:
    """Whole decisions, valued in all years, until the best planting is within the gap of the bound.

    Parameters
    ----------
    at_once : only where the first set is; None else
    before : trees whose set is looked at first, if the plan allows them; at these the fractions began
    near : where the planting is wanted and not how surely it is the best: a cost near which it is good enough
    """
    bound, best, trees = root.bound, np.inf, None
    dearer = _dearer(root, years.supply, limits)
    exact = False
    left_out = closed = np.zeros(0, dtype=np.int64) if outside is None else outside
    everyone = np.arange(root.trees.size)

    def valued(numbers: Array, planted: Array, least: float, *, asked: bool = False) -> None:
        """What a planting costs in all years; the best so far is kept, and what is hopeless beside it left out.

        `least` is what is known of it already. Where it costs much more, the set's own numbers are bettered before
        another set is looked at. Where the years were `asked` of it already there is nothing more to learn.
        """
        nonlocal best, trees, closed
        point = (np.round(numbers) if whole_trees else numbers), planted
        if asked:
            costs = years.short(point[0], master.years)[0]
        else:
            costs, cuts = years.ask(*point, master.years)
            master.add(cuts)
        cost = cost_of(costs, limits, point[0])
        inside = np.flatnonzero(planted > 0.5)
        for _ in range(0 if whole_trees else NUMBERS):
            if cost - least <= ENOUGH_OF_SET * gap * abs(cost):
                break
            stage = _best_of_set(master, years, inside)
            if stage is None:
                break
            least = stage.cost
            other = between(point, (stage.trees, stage.planted), OUTWARD)
            costs, cuts = years.ask(*other, master.years)
            master.add(cuts)
            if cost_of(costs, limits, other[0]) < cost:
                cost, point = cost_of(costs, limits, other[0]), other
        if cost < best:
            best, trees = cost, point[0]
        # By the fractional prices no plan with one of these is as good as this one: they need not be looked at.
        hopeless = np.flatnonzero((root.planted <= TINY) & (root.bound + dearer > best + TINY))
        closed = np.union1d(hopeless, left_out).astype(np.int64)
        master.restrict(outside=closed)

    def good() -> bool:
        least = bound if near is None else max(bound, near)
        part = gap if whole_trees else 0.8 * gap
        return trees is not None and best - least <= part * abs(best) + TINY

    def best_known() -> Array | None:
        """The best set with its numbers as the cuts now have it, for the solver to begin with."""
        if trees is None or whole_trees:
            return None
        inside = np.flatnonzero(trees > TINY)
        master.restrict(inside, np.setdiff1d(everyone, inside))
        known = master.solve()
        master.restrict(outside=closed)
        return None if known is None else known.values

    def favoured() -> MasterAnswer | None:
        """The cultivars that the fractional answer plants for the greater part, where the plan allows them and they are
        near enough: mostly they are, and nothing need be decided."""
        order = np.argsort(-root.planted, kind="stable")[: limits.most_cultivars]
        stage = _best_of_set(master, years, np.sort(order[root.planted[order] > FAVOURED]))
        if stage is None or stage.cost > root.cost + ROUGH_DECISIONS * gap * abs(root.cost):
            return None
        return stage

    if before is not None and master.allows(before):
        valued(before, (before > TINY).astype(float), -np.inf, asked=True)
    if not good():
        # First among the cultivars of the fractional answer alone: quickly found, and beside it others are hopeless.
        stage = None if whole_trees else favoured()
        if stage is None:
            master.restrict(
                outside=np.union1d(np.flatnonzero(root.planted <= TINY), left_out).astype(np.int64)
            )
            stage = master.solve_whole(ROUGH_DECISIONS * gap if not whole_trees else ROUGH * GAP)
        master.restrict(outside=closed)
        if stage is not None:
            valued(stage.trees, np.round(stage.planted), stage.cost)
    if at_once and not good():
        return None
    for _ in range(rounds):
        if good():
            break
        # While the cuts still teach much an answer in the rough does; its bound is a true one all the same.
        open_part = (best - bound) / max(abs(best), TINY) if np.isfinite(best) else 10 * GAP
        rough = 0.0 if exact else ROUGH * max(open_part, 0.0)
        stage = master.solve_whole(rough if whole_trees else max(rough, DECISIONS * gap), best_known())
        if stage is None:
            raise Infeasible
        exact = whole_trees and stage.bound <= bound + TINY
        bound = max(bound, stage.bound)
        valued(stage.trees, stage.planted, stage.cost)
        bound = min(bound, best)
        assert years.cuts is not None
        master.catch_up(years.cuts, stage)  # of those that were purged
    assert trees is not None
    if not whole_trees:
        members = np.flatnonzero(trees > TINY)
        rounding = ROUNDING if near is None else ROUGH_ROUNDING
        trees, best = whole_numbers(master, years, limits, useful, members, bound, gap, rounding)
    assert years.cuts is not None
    return Found(
        np.round(trees).astype(np.int64),
        root.trees,
        np.where(root.planted > TINY, 0.0, dearer),
        best,
        bound,
        years.cuts,
    )


def _best_of_set(master: Master, years: Years, inside: Index) -> MasterAnswer | None:
    """The best numbers of a set by all that is known; None where the plan does not allow it."""
    master.restrict(inside, np.setdiff1d(np.arange(len(years.supply.cultivars)), inside))
    assert years.cuts is not None
    while True:
        stage = master.solve()
        if stage is None or not master.catch_up(years.cuts, stage):
            return stage


def _dearer(root: MasterAnswer, supply: Supply, limits: Limits) -> Array:
    """What the smallest planting of each cultivar adds to the cost at least, by the prices of the fractional answer."""
    assert root.planted_price is not None
    assert root.trees_price is not None
    return np.maximum(root.planted_price, 0.0) + np.maximum(root.trees_price, 0.0) * limits.fewest(supply)
