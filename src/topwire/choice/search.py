"""Finding the numbers, with a proof of how good they are: the choice decomposed by weather year.

1. Opening: the same problem over a few years, from the worst to the best, in fractions; its cuts are kept.
2. All years in fractions. Each round asks the master (trees and "planted" under what the cuts know) and then every year
   at a point half way between the master's answer and the best point so far (in-out: BENAMEUR2007); the years' prices
   are new cuts. The master's cost is a bound at every moment: no plan can be better.
3. Cuts that are slack by far are purged, and the master is solved in whole decisions; its sets are valued in all years,
   which gives plantings and further cuts, until the best planting is within the gap of the master's bound.
4. With the set fixed the master finds whole numbers of trees; what is reported is the cost of the planting itself, in
   all years.

For a handful of trees, where a single one counts, the master's trees are whole from the start, and it ends at no gap.
Ties go to the catalogue's order; nothing hangs on the clock.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from topwire.choice.master import Cuts, Master, MasterAnswer, cost_of
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Array, Donors, Limits
from topwire.choice.solver import Index
from topwire.choice.supply import Supply
from topwire.choice.year import YearProgramme, year_programmes

GAP = 0.0025  # between the planting found and the bound: the search ends there
ROUGH_GAP = 0.01  # enough where two ways of choosing are set side by side
OPENING = 0.03  # relative gap at which the opening over few years is left
FRACTIONS = 0.3  # share of the gap at which the problem in fractions is left
DECISIONS = 0.3  # share of the gap at which the master in whole decisions is left
OUTWARD = 0.5  # part of the way from the best point to the master's answer at which the years are asked
CAUTIOUS, CAUTIOUS_ROUNDS = (
    0.2,
    6,
)  # the same while little is known of most years: near points are quickly solved
ROUNDS = 150  # of cuts in fractions, at the most
WHOLE_ROUNDS = 40  # of whole decisions, at the most
ROUGH = 0.3  # of the part still open: how finely a round of an exact search is solved
ROUNDING = 0.1  # share of the gap at which whole numbers of a set are left
NUMBER_ROUNDS = 8
PURGE = 0.02  # of the cost: slack from which a cut is taken out before whole decisions are sought
SMALL = 60  # [trees] up to which whole numbers are found exactly: there a single tree counts
FEW_YEARS = 5  # weather years to open with
TINY = 1e-6


class Infeasible(Exception):
    """No set of trees meets the plan's conditions."""


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


class Years:
    """All weather years as programmes, with every cut that was learnt of them."""

    def __init__(self, supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits) -> None:
        self.supply = supply
        self.programmes: tuple[YearProgramme, ...] = year_programmes(supply, needs, limits)
        self.cuts: Cuts | None = None

    def ask(self, trees: Array, planted: Array, years: Index | None = None) -> tuple[Array, Cuts]:
        """Costs of the years with these trees, and their cuts; all years, or some."""
        which = range(len(self.programmes)) if years is None else years.tolist()
        asked = [self.programmes[at].solve(trees, planted) for at in which]
        cuts = Cuts.joined([cut for _, cut in asked])
        self.cuts = cuts if self.cuts is None else self.cuts.and_(cuts)
        return np.array([cost for cost, _ in asked]), cuts


def find(
    supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, useful: Donors, *, gap: float = GAP
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
    return find_among(Years(supply, needs, limits), limits, useful, gap=gap)


def find_among(
    years: Years,
    limits: Limits,
    useful: Donors,
    *,
    gap: float = GAP,
    which: Index | None = None,
    outside: Index | None = None,
) -> Found:
    """The same with year programmes that are there already, and the cuts they have taught; all years, or some.

    `outside` are cultivars left out.
    """
    supply = years.supply
    small = limits.places <= SMALL
    if small:
        gap = TINY
    which = np.arange(supply.years.size) if which is None else which
    centre = None
    few = which[opening_years(supply.in_years(which))]
    if years.cuts is None and few.size < which.size:
        opening = Master(supply, limits, useful, few)
        opening.restrict(outside=outside)
        _, centre, _ = in_fractions(opening, years, limits, centre, OPENING)
    master = Master(supply, limits, useful, which, whole_trees=small)
    master.restrict(outside=outside)
    if years.cuts is not None:
        master.add(years.cuts)
    _, _, root = in_fractions(master, years, limits, centre, FRACTIONS * max(gap, GAP / 2))
    master.forget_slack(root, PURGE * abs(root.cost))
    return _in_whole(master, years, limits, useful, root, gap, whole_trees=small, outside=outside)


def opening_years(supply: Supply) -> Index:
    """A few weather years that stand for all, from the one with least fruit to the one with most."""
    order = np.argsort((supply.crop / supply.ordinary).mean(axis=1), kind="stable")
    picks = order[np.round(np.linspace(0, order.size - 1, min(FEW_YEARS, order.size))).astype(np.int64)]
    return np.unique(picks)


def in_fractions(
    master: Master, years: Years, limits: Limits, centre: tuple[Array, Array] | None, gap: float
) -> tuple[float, tuple[Array, Array], MasterAnswer]:
    """In-out rounds until the best point is within the gap of the master's bound: its cost, that point, the bound's.

    Parameters
    ----------
    centre : trees and share planted that the plan allows, to begin at
    """
    best, which = np.inf, master.years
    if centre is not None:
        costs, cuts = years.ask(*centre, which)
        master.add(cuts)
        best = cost_of(costs, limits, centre[0])
    elif master.cuts is None:  # some of everything, so that every cultivar has its first prices
        count = len(years.supply.cultivars)
        _, cuts = years.ask(np.full(count, limits.places / count), np.ones(count), which)
        master.add(cuts)
    stage = master.solve()
    for turn in range(ROUNDS):
        if stage is None:
            raise Infeasible
        if np.isfinite(best) and best - stage.cost <= gap * abs(best):
            break
        trees, planted = stage.trees, stage.planted
        if centre is not None:
            part = OUTWARD if turn >= CAUTIOUS_ROUNDS else CAUTIOUS
            trees = part * trees + (1 - part) * centre[0]
            planted = part * planted + (1 - part) * centre[1]
        costs, cuts = years.ask(trees, planted, which)
        cost = cost_of(costs, limits, trees)
        if cost < best:
            best, centre = cost, (trees, planted)
        master.add(cuts)
        stage = master.solve()
    assert stage is not None
    assert centre is not None
    return best, centre, stage


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
) -> Found:
    """Whole decisions, valued in all years, until the best planting is within the gap of the bound."""
    bound, best, trees = root.bound, np.inf, None
    dearer = _dearer(root, years.supply, limits)
    exact = False
    for _ in range(WHOLE_ROUNDS):
        # While the cuts still teach much an answer in the rough does; its bound is a true one all the same.
        open_part = (best - bound) / max(abs(best), TINY) if np.isfinite(best) else 10 * GAP
        rough = 0.0 if exact else ROUGH * max(open_part, 0.0)
        stage = master.solve_whole(rough if whole_trees else DECISIONS * gap)
        if stage is None:
            raise Infeasible
        exact = whole_trees and stage.bound <= bound + TINY
        bound = max(bound, stage.bound)
        numbers = np.round(stage.trees) if whole_trees else stage.trees
        costs, cuts = years.ask(numbers, stage.planted, master.years)
        cost = cost_of(costs, limits, numbers)
        if cost < best:
            best, trees = cost, numbers
            # By the fractional prices no plan with one of these is as good as this one: they need not be looked at.
            hopeless = np.flatnonzero((root.planted <= TINY) & (root.bound + dearer > best + TINY))
            master.restrict(outside=np.union1d(hopeless, [] if outside is None else outside).astype(np.int64))
        bound = min(bound, best)
        master.add(cuts)
        if best - bound <= (gap if whole_trees else 0.8 * gap) * abs(best) + TINY:
            break
    assert trees is not None
    if not whole_trees:
        trees, best = _whole_trees(master, years, limits, useful, trees, bound, gap)
    assert master.cuts is not None
    return Found(
        np.round(trees).astype(np.int64),
        root.trees,
        np.where(root.planted > TINY, 0.0, dearer),
        best,
        bound,
        master.cuts,
    )


def _dearer(root: MasterAnswer, supply: Supply, limits: Limits) -> Array:
    """What the smallest planting of each cultivar adds to the cost at least, by the prices of the fractional answer."""
    assert root.planted_price is not None
    assert root.trees_price is not None
    return np.maximum(root.planted_price, 0.0) + np.maximum(root.trees_price, 0.0) * limits.fewest(supply)


def _whole_trees(
    master: Master, years: Years, limits: Limits, useful: Donors, numbers: Array, bound: float, gap: float
) -> tuple[Array, float]:
    """Whole numbers for the set of these: the master again with the set fixed and the trees whole."""
    planted = np.flatnonzero(numbers > TINY)
    fixed = Master(years.supply, limits, useful, master.years, whole_trees=True)
    assert master.cuts is not None
    fixed.add(master.cuts)
    fixed.restrict(planted, np.setdiff1d(np.arange(numbers.size), planted))
    best, found = np.inf, None
    for _ in range(NUMBER_ROUNDS):
        stage = fixed.solve_whole(ROUNDING * gap)
        if stage is None:
            raise Infeasible
        whole = np.round(stage.trees)
        costs, cuts = years.ask(whole, (whole > 0).astype(float), master.years)
        cost = cost_of(costs, limits, whole)
        if cost < best:
            best, found = cost, whole
        fixed.add(cuts)
        master.add(cuts)
        if best - bound <= gap * best or best - stage.bound <= ROUNDING * gap * best:
            break
    assert found is not None
    return found, best
