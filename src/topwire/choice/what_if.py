"""What if: the programme asked again under one change, for its numbers alone.

What the search learnt of the years holds under any change of trees, taste, must-have and numbers. So the first stage is
solved again on the kept cuts, and of all plantings within the gap the one nearest to the own plan is taken: nothing
moves without need. The planting is then served in all years, so that its cost is its own and the gap a true one.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from topwire.choice.asked import ChoiceQuestion
from topwire.choice.master import Cuts, Master, cost_of
from topwire.choice.must_give import what_must_give
from topwire.choice.planting import Limits
from topwire.choice.search import SMALL, Infeasible, Years, find, find_among
from topwire.choice.serving import serve
from topwire.choice.solver import Index
from topwire.choice.supply import Supply
from topwire.values.key import key_of
from topwire.values.notice import CannotAnswer
from topwire.values.quantities import Kilograms, Share

WHAT_IF_GAP = 0.005  # between the planting found and the bound: good enough to play with
NEAR_GAP = 0.0025  # by how much the nearest planting may cost more than the best one found
MASTER_GAP = 0.001


@dataclass(frozen=True)
class Changed:
    """The choice under the change: trees by cultivar, what is short and left over a year, the gap to the bound."""

    trees: Mapping[str, int]
    shortfall: Kilograms
    waste: Kilograms
    gap: Share


def years_key(asked: ChoiceQuestion) -> str:
    """Of all that the years' programmes hang on: cuts learnt under it hold under it."""
    limits = asked.limits
    return key_of((asked.supply, asked.needs, limits.cellar, limits.press_week, limits.board))


def changed(
    asked: ChoiceQuestion, changed_to: ChoiceQuestion, own: Mapping[str, int], cuts: Cuts | None
) -> Changed:
    """Numbers of trees for a changed question: no proof, no reasons.

    Parameters
    ----------
    asked : the plan's own question; changed_to : the changed one
    own : trees of the plan's own choice by cultivar
    cuts : learnt for `asked`; None where there are none

    Raises
    ------
    CannotAnswer
        When no set of cultivars can meet the changed conditions.
    """
    names = [row.name for row in asked.supply.cultivars]
    still = {row.name for row in changed_to.supply.cultivars}
    kept = cuts is not None and still <= set(names) and changed_to.limits.places > SMALL
    try:
        if kept and cuts is not None:
            out = np.array([at for at, name in enumerate(names) if name not in still], dtype=np.int64)
            from_own = np.array([own.get(name, 0) for name in names])
            trees, gap = _near_the_plan(asked, _over(asked, changed_to), out, from_own, cuts)
            supply, limits = asked.supply, _over(asked, changed_to)
        else:
            found = find(
                changed_to.supply.with_harder_springs(),
                changed_to.needs,
                changed_to.limits,
                changed_to.useful,
            )
            trees, gap, supply, limits = found.trees, found.gap, changed_to.supply, changed_to.limits
    except Infeasible:
        raise CannotAnswer(what_must_give(changed_to.supply, changed_to.limits, changed_to.useful)) from None
    _, service = serve(supply, changed_to.needs, limits, trees)
    planted = {supply.cultivars[at].name: int(trees[at]) for at in np.flatnonzero(trees)}
    return Changed(planted, float(service.short.mean()), float(service.waste.mean()), gap)


def _over(asked: ChoiceQuestion, changed_to: ChoiceQuestion) -> Limits:
    """The changed limits over the candidates of the plan's own question."""
    return replace(changed_to.limits, tree_cost=asked.limits.tree_cost)


def _near_the_plan(
    asked: ChoiceQuestion, limits: Limits, out: Index, own: Index, cuts: Cuts
) -> tuple[Index, float]:
    """Trees under changed limits without the cultivars `out`, as near to the own plan as the gap allows; the gap."""
    weighed = asked.supply.with_harder_springs()
    every_year = np.arange(weighed.years.size)
    best_master = Master(weighed, limits, asked.useful, every_year)
    near_master = Master(weighed, limits, asked.useful, every_year, whole_trees=True, own=own)
    for master in (best_master, near_master):
        master.add(cuts)
        master.restrict(outside=out)
    stage = best_master.solve_whole(MASTER_GAP)
    if stage is None:
        raise Infeasible
    near = near_master.nearest(stage.cost + NEAR_GAP * abs(stage.cost))
    trees = np.round((near or stage).trees).astype(np.int64)
    best, bound = _cost(asked, weighed, limits, trees), stage.bound
    if (
        best - bound > WHAT_IF_GAP * best
    ):  # too far from what was learnt: the years are asked again, on from there
        years = Years(weighed, asked.needs, limits)
        years.cuts = cuts
        found = find_among(years, limits, asked.useful, gap=WHAT_IF_GAP, outside=out)
        trees, best, bound = found.trees, found.objective, found.bound
        near_master.add(found.cuts)
        near = near_master.nearest(max(best, bound / (1 - WHAT_IF_GAP)))
        if near is not None:
            nearer = np.round(near.trees).astype(np.int64)
            cost = _cost(asked, weighed, limits, nearer)
            if cost - bound <= WHAT_IF_GAP * cost:
                trees, best = nearer, cost
    return trees, max(0.0, (best - bound) / best) if best > 0 else 0.0


def _cost(asked: ChoiceQuestion, weighed: Supply, limits: Limits, trees: Index) -> float:
    """Cost of a planting in all years; programmes of its own cultivars alone are quickly solved."""
    keep = np.flatnonzero(trees)
    numbers = trees[keep].astype(float)
    costs, _ = Years(weighed.chosen(keep), asked.needs, limits.some(keep)).ask(numbers, np.ones(keep.size))
    return cost_of(costs, limits.some(keep), numbers)
