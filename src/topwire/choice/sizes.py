"""How large an orchard feeds this kitchen: the chosen cultivars with fewer trees and with more, served in every year.

Small masters on what the search learnt of the years. Numbers are the best as far as a round or two of cuts tells, in
whole trees; what is told of them is served in the years themselves, and so no less than that many trees can serve.
Shares are of the kilograms wanted, all needs alike, as everywhere a share served is told.
"""

from dataclasses import replace

import numpy as np

from topwire.choice.master import Master
from topwire.choice.numbers import rounded
from topwire.choice.planting import Array, Limits
from topwire.choice.reasons import Nearby
from topwire.choice.scarce import SizeStep
from topwire.choice.search import SMALL
from topwire.choice.service import WORST_SHARE
from topwire.choice.solver import Index

SHARES = (0.2, 0.4, 0.6, 0.8, 1.0, 1.25, 1.6, 2.2)  # of the plan's trees
ENOUGH = 0.99  # share served at which larger ones are not looked at
ROUNDS = 2  # in which the years are asked
ROUGH = 1e-3  # gap of the numbers of a handful of trees
UNUSED = 0.03  # share of the places left free from which more places serve no better


def sizes(near: Nearby, trees: Index, served: Array) -> tuple[SizeStep, ...]:
    """Service by number of trees, fewest first.

    Parameters
    ----------
    trees : (cultivars,) of the plan, of all candidates
    served : (years,) [kg] what they serve, in the weather years, those with harder frost not among them
    """
    own = trees[near.keep].astype(float)
    total = int(own.sum())
    most = sum(need.total for need in near.needs)
    if total == 0 or most <= 0:
        return ()
    found: dict[int, SizeStep] = {}
    for count in sorted({max(1, round(share * total)) for share in SHARES}):
        numbers = own if count == total else _best(near, count)
        if numbers is None or not numbers.any():
            continue
        used = int(numbers.sum())
        missing = most - served if numbers is own else near.years.missing(numbers, np.arange(served.size))
        found[used] = SizeStep(float(used), 1.0 - float(missing.mean()) / most, 1.0 - _worst(missing) / most)
        if used < (1.0 - UNUSED) * count or (count > total and found[used].served > ENOUGH):
            break
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


def _best(near: Nearby, count: int) -> Array | None:
    """The best numbers of no more than so many trees; None where standing trees are more."""
    limits: Limits = replace(
        near.limits, places=count, at_least=0, must_have=(), fewest_cultivars=1, fewest_trees=1, held=()
    )
    small = count <= SMALL
    master = Master(near.supply, limits, near.useful, np.arange(near.supply.years.size), whole_trees=small)
    assert near.years.cuts is not None
    master.add(near.years.cuts)
    best, numbers = np.inf, None
    for _ in range(ROUNDS):
        stage = master.solve_whole(ROUGH) if small else master.solve()
        if stage is None:
            return None
        costs, cuts = near.years.ask(stage.trees, stage.planted)
        if float(costs.mean()) < best:
            best, numbers = float(costs.mean()), rounded(stage.trees, limits)
        master.add(cuts)
    return numbers
