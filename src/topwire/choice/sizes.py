"""How large an orchard feeds this kitchen: the chosen cultivars with fewer trees and with more, served in every year.

Small masters on what the search learnt of the years. Numbers are the best as far as a few rounds of cuts tell, in whole
trees; what is told of them is served in the years themselves, and so no less than that many trees can serve. What is
learnt on the way is kept for those who ask later what other numbers of trees would do. Shares are of the kilograms
wanted, all needs alike, as everywhere a share served is told.
"""

from dataclasses import replace

import numpy as np

from topwire.choice.master import Master, Point, cost_of
from topwire.choice.model import Index
from topwire.choice.numbers import rounded
from topwire.choice.planting import Array, Donors, Limits
from topwire.choice.scarce import SizeStep
from topwire.choice.search import OUTWARD, SMALL, between
from topwire.choice.service import WORST_SHARE
from topwire.choice.years import TINY, Years

# Of the plan's trees; each begins with what the last one taught, and the years stand at the plan to begin with.
SHARES = (1.0, 1.25, 1.6, 2.2, 0.8, 0.6, 0.4, 0.2)
ENOUGH = 0.99  # share served at which larger ones are not looked at
# In which the years are asked; of larger sizes, and where sizes of a like kitchen have been asked of before, FEW.
ROUNDS = {0.8: 3, 0.6: 2, 0.4: 2, 0.2: 1}
FEW = 1
NEAR = 0.02  # of the cost: numbers so near to the best will do
ROUGH = 1e-3  # gap of the numbers of a handful of trees
UNUSED = 0.03  # share of the places left free from which more places serve no better


def sizes(
    years: Years, limits: Limits, useful: Donors, trees: Index, served: Array, *, asked_before: bool = False
) -> tuple[SizeStep, ...]:
    """Service by number of trees, fewest first.

    Parameters
    ----------
    years : with what was learnt of them, those with harder frost at the end
    trees : (cultivars,) of the plan
    served : (years,) [kg] what they serve, in the weather years alone
    asked_before : sizes of a like kitchen were, and what was learnt of them is known
    """
    own = trees.astype(float)
    total = int(own.sum())
    most = sum(need.total for need in years.needs)
    if total == 0 or most <= 0:
        return ()
    found: dict[int, SizeStep] = {}
    enough = False
    for share in SHARES:
        if share > 1.0 and enough:
            continue
        count = max(1, round(share * total))
        rounds = FEW if asked_before else ROUNDS.get(share, FEW)
        numbers = own if count == total else _best(years, limits, useful, own, count, rounds)
        if numbers is None or not numbers.any():
            continue
        used = int(numbers.sum())
        missing = most - served if numbers is own else years.missing(numbers, np.arange(served.size))
        found[used] = SizeStep(float(used), 1.0 - float(missing.mean()) / most, 1.0 - _worst(missing) / most)
        enough = share > 1.0 and (used < (1.0 - UNUSED) * count or found[used].served > ENOUGH)
    return tuple(_rising([found[used] for used in sorted(found)], float(total)))


def smallest(steps: tuple[SizeStep, ...], share: float) -> SizeStep | None:
    """The size from which this share of all that is wanted is served in the mean year; None: none looked at does it.

    Between two sizes in proportion: service grows ever more slowly with trees, so that this is rather too large.
    """
    before = SizeStep(0.0, 0.0, 0.0)
    for step in steps:
        if step.served >= share:
            part = (share - before.served) / max(step.served - before.served, 1e-9)
            trees = float(np.ceil(before.trees + part * (step.trees - before.trees) - 1e-6))
            return SizeStep(trees, share, before.worst_fifth + part * (step.worst_fifth - before.worst_fifth))
        before = step
    return None


def _rising(steps: list[SizeStep], own: float) -> list[SizeStep]:
    """Without those that more trees serve worse than fewer, by a slip of rounding or as needs weigh unlike: the fewer
    would do. The plan's own stays, and those give way that serve more with fewer trees."""
    kept: list[SizeStep] = []
    for step in steps:
        while step.trees == own and kept and kept[-1].served >= step.served:
            kept.pop()
        if not kept or step.served > kept[-1].served:
            kept.append(step)
    return kept


def _worst(short: Array) -> float:
    """Mean of the worst fifth of years."""
    return float(np.sort(short)[::-1][: max(1, round(WORST_SHARE * short.size))].mean())


def _best(years: Years, limits: Limits, useful: Donors, own: Array, count: int, rounds: int) -> Array | None:
    """The best numbers of no more than so many trees; None where standing trees are more."""
    limits = replace(
        limits, places=count, at_least=0, must_have=(), fewest_cultivars=1, fewest_trees=1, held=()
    )
    small = count <= SMALL
    master = Master(years.supply, limits, useful, np.arange(years.supply.years.size), whole_trees=small)
    assert years.cuts is not None
    if small:
        master.add(years.cuts)
    else:
        master.know(years.cuts, [_share_of(own, count)])
    master.restrict(outside=np.flatnonzero(own == 0))
    if rounds == 1 and not small:  # whole trees at once: they are served all the same
        stage = master.solve()
        if stage is None:
            return None
        numbers = rounded(stage.trees, limits)
        years.ask(numbers, (numbers > 0).astype(float))
        return numbers
    best, at = np.inf, None
    point = None if small else _in_proportion(years, limits, own, count)
    for _ in range(rounds):
        stage = master.solve_whole(ROUGH) if small else master.solve()
        if stage is None:
            return None
        if at is not None and best - stage.cost <= NEAR * abs(best):
            break
        if point is None:
            point = (stage.trees, stage.planted)
        costs, cuts = years.ask(*point)
        cost = cost_of(costs, limits, point[0])
        if cost < best:
            best, at = cost, point
        master.add(cuts)
        assert at is not None
        point = None if small else between(at, (stage.trees, stage.planted), OUTWARD)
    return None if at is None else rounded(at[0], limits)


def _share_of(own: Array, count: int) -> Point:
    return own * (count / own.sum()), (own > 0).astype(float)


def _in_proportion(years: Years, limits: Limits, own: Array, count: int) -> Point | None:
    """The plan's own numbers in proportion; None where the standing ones do not leave room."""
    trees = np.maximum(own * (count / own.sum()), limits.there(years.supply))
    return (trees, (trees > 0).astype(float)) if trees.sum() <= count + TINY else None
