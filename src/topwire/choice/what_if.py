"""What if: the programme asked again under one change, for its numbers alone.

What the search learnt of the years holds under any change of trees, taste, must-have and numbers. So the first stage is
solved again on the kept cuts, and of all plantings within the gap the one nearest to the own plan is taken: nothing
moves without need. The planting is then served in all years, so that its cost is its own and the gap a true one.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from topwire.choice.answer import need_line
from topwire.choice.asked import ChoiceQuestion
from topwire.choice.findings import NeedLine
from topwire.choice.losses import find_within
from topwire.choice.master import Cuts, Master, MasterAnswer, cost_of
from topwire.choice.must_give import what_must_give
from topwire.choice.numbers import rounded, set_in_whole
from topwire.choice.planting import Array, Limits
from topwire.choice.reasons import Nearby
from topwire.choice.search import SMALL, find, find_among
from topwire.choice.serving import serve
from topwire.choice.solver import Index
from topwire.choice.supply import Supply
from topwire.choice.years import TINY, Infeasible, Years
from topwire.values.key import key_of
from topwire.values.notice import CannotAnswer
from topwire.values.quantities import Kilograms, Share

WHAT_IF_GAP = 0.02  # between the planting found and the bound: good enough to play with, and told
SEARCHED_GAP = WHAT_IF_GAP  # the same where the whole search has to be made
NEAR_GAP = 0.002  # by how much the nearest planting may cost more than the best, as far as the cuts know
ROUNDS = 4  # of whole decisions, at the most: what is still open then is told as the gap
TURNS = 3  # in which the years are asked again near the own plan
NEWCOMERS = 3  # that may stand in for cultivars which must go


@dataclass(frozen=True)
class Changed:
    """The choice under the change: trees by cultivar, each need's service, what is short and left over, the gap."""

    trees: Mapping[str, int]
    needs: tuple[NeedLine, ...]
    shortfall: Kilograms
    waste: Kilograms
    gap: Share


def years_key(asked: ChoiceQuestion) -> str:
    """Of all that the years' programmes hang on: cuts learnt under it hold under it."""
    limits = asked.limits
    return key_of((asked.supply, asked.needs, limits.cellar, limits.press_week, limits.board, limits.prime))


def changed(
    asked: ChoiceQuestion,
    changed_to: ChoiceQuestion,
    own: Mapping[str, int],
    cuts: Cuts | None,
    bound: float = -np.inf,
) -> Changed:
    """Numbers of trees for a changed question: no proof, no reasons.

    Parameters
    ----------
    asked : the plan's own question; changed_to : the changed one
    own : trees of the plan's own choice by cultivar
    cuts : learnt for `asked`; None where there are none
    bound : of the plan's own choice; it holds under every change that only takes away

    Raises
    ------
    CannotAnswer
        When no set of cultivars can meet the changed conditions.
    """
    names = [row.name for row in asked.supply.cultivars]
    still = {row.name for row in changed_to.supply.cultivars}
    out = np.zeros(0, dtype=np.int64)
    known = cuts is not None and _years_stand(asked, changed_to)
    if known:  # among the plan's own candidates, of which the cuts speak
        out = np.array([at for at, name in enumerate(names) if name not in still], dtype=np.int64)
        limits = replace(changed_to.limits, tree_cost=asked.limits.tree_cost)
        changed_to = replace(changed_to, supply=asked.supply, limits=limits, useful=asked.useful)
    supply, limits = changed_to.supply, changed_to.limits
    try:
        if (
            limits.most_lost is not None
        ):  # its conditions have to be found: the whole search, not the nearest planting
            keep = np.setdiff1d(np.arange(len(supply.cultivars)), out)
            weighed = supply.with_harder_springs().chosen(keep)
            years = Years(weighed, changed_to.needs, limits.some(keep))
            useful = changed_to.useful[np.ix_(keep, keep)]
            some = find_within(years, changed_to.needs, limits.some(keep), useful, gap=WHAT_IF_GAP).found
            trees, gap = _of_all(some.trees, keep, out.size + keep.size).astype(np.int64), some.gap
        elif limits.places <= SMALL:
            weighed = supply.with_harder_springs()
            found = find(weighed, changed_to.needs, limits, changed_to.useful, outside=out)
            trees, gap = found.trees, found.gap
        else:
            from_own = np.array([own.get(row.name, 0) for row in supply.cultivars])
            tighter = known and _only_tighter(asked.limits, limits)
            trees, gap = _near_the_plan(
                changed_to, out, from_own, cuts if known else None, bound if tighter else -np.inf
            )
    except Infeasible:
        keep = np.setdiff1d(np.arange(len(supply.cultivars)), out)
        among = changed_to.useful[np.ix_(keep, keep)]
        raise CannotAnswer(what_must_give(supply.chosen(keep), limits.some(keep), among)) from None
    _, service = serve(supply, changed_to.needs, limits, trees)
    planted = {supply.cultivars[at].name: int(trees[at]) for at in np.flatnonzero(trees)}
    lines = tuple(need_line(need, service.served[:, at]) for at, need in enumerate(changed_to.needs))
    return Changed(planted, lines, float(service.short.mean()), float(service.waste.mean()), gap)


def _years_stand(asked: ChoiceQuestion, changed_to: ChoiceQuestion) -> bool:
    """Whether what was learnt of the plan's years speaks of the changed question too: the same kitchen and the same
    fruit, of the same candidates or fewer."""
    still = {row.name for row in changed_to.supply.cultivars}
    keep = np.array(
        [at for at, row in enumerate(asked.supply.cultivars) if row.name in still], dtype=np.int64
    )
    if keep.size < len(still):
        return False
    fewer = replace(asked, supply=asked.supply.chosen(keep))
    donors = asked.useful[np.ix_(keep, keep)]
    return years_key(fewer) == years_key(changed_to) and bool((donors == changed_to.useful).all())


def _only_tighter(own: Limits, changed_to: Limits) -> bool:
    """Whether every planting the changed limits allow was allowed before: then the plan's own bound still holds."""
    return (
        changed_to.places <= own.places
        and changed_to.at_least >= own.at_least
        and changed_to.fewest_trees >= own.fewest_trees
        and changed_to.most_trees <= own.most_trees
        and all(changed_to.wood.get(name, own.most_trees + 1) <= most for name, most in own.wood.items())
        and changed_to.fewest_cultivars >= own.fewest_cultivars
        and changed_to.most_cultivars <= own.most_cultivars
        and changed_to.heritage_share >= own.heritage_share
        and set(changed_to.must_have) >= set(own.must_have)
        and changed_to.standing == own.standing
        and changed_to.worst_weight >= own.worst_weight
        and own.most_lost is None
        and (own.picking is None or changed_to.picking == own.picking)
        and set(changed_to.few) >= set(own.few)
        and all(changed_to.wood.get(name, np.inf) <= most for name, most in own.wood.items())
        and bool((changed_to.tree_cost >= own.tree_cost).all())
    )


def _near_the_plan(
    asked: ChoiceQuestion, out: Index, own: Index, cuts: Cuts | None, bound: float
) -> tuple[Index, float]:
    """Trees without the cultivars `out`, as near to the own plan as the gap allows; the gap.

    Parameters
    ----------
    bound : that is known already
    """
    weighed, limits = asked.supply.with_harder_springs(), asked.limits
    if cuts is not None:
        master = Master(weighed, limits, asked.useful, np.arange(weighed.years.size))
        master.add(cuts)
        master.restrict(outside=out)
        root = master.solve()
        if root is None:
            raise Infeasible
        bound = max(bound, root.bound)
        kept = _own_cultivars(asked, weighed, out, own, cuts, root)
        if kept is not None and np.isfinite(kept[1]) and kept[1] - bound <= WHAT_IF_GAP * abs(kept[1]):
            return kept[0].astype(np.int64), _gap(kept[1], bound)
    years = Years(weighed, asked.needs, limits)
    years.cuts = cuts
    begin = None if cuts is None or kept is None else kept[0]
    found = find_among(years, limits, asked.useful, gap=SEARCHED_GAP, outside=out, near=begin, rounds=ROUNDS)
    members = np.flatnonzero(found.trees)
    near = Nearby(weighed, asked.needs, limits, asked.useful, members, found.cuts)
    nearer = _numbers_near(near, own[members], found.objective)
    if nearer is None or nearer[1] - found.bound > WHAT_IF_GAP * abs(nearer[1]):
        return found.trees, found.gap
    return _of_all(nearer[0], members, own.size).astype(np.int64), _gap(nearer[1], found.bound)


def _gap(cost: float, bound: float) -> float:
    return max(0.0, (cost - bound) / cost) if cost > 0 else 0.0


def _own_cultivars(
    asked: ChoiceQuestion, weighed: Supply, out: Index, own: Index, cuts: Cuts, root: MasterAnswer
) -> tuple[Array, float] | None:
    """The plan's own cultivars with the numbers nearest to its own that are good enough, and what they cost; None where
    the change allows no such planting.

    With what has to be there, without what must not; where too few are left, with those the best plan in fractions has
    most of. Where others serve much better the numbers are in parts of trees, and their cost is not known: infinite.
    """
    must = [at for at, row in enumerate(weighed.cultivars) if row.name in asked.limits.must_have]
    members = np.union1d(np.flatnonzero(own), np.union1d(must, np.flatnonzero(asked.limits.stays(weighed))))
    members = np.setdiff1d(members, out).astype(np.int64)
    newcomers = np.setdiff1d(np.flatnonzero(root.planted > TINY), np.union1d(members, out))
    newcomers = newcomers[np.argsort(-root.planted[newcomers], kind="stable")][:NEWCOMERS]
    for more in range(newcomers.size + 1):
        keep = np.union1d(members, newcomers[:more]).astype(np.int64)
        near = Nearby(weighed, asked.needs, asked.limits, asked.useful, keep, cuts)
        everyone, limits = np.arange(keep.size), near.limits
        best = near.cost_of_set(near.master(limits, near.useful), limits, frozenset(everyone.tolist()))
        if best is not None:
            break
    else:
        return None
    known = near.master(limits, near.useful)
    known.restrict(everyone)
    parts = known.solve()
    if parts is not None and parts.cost - root.bound > WHAT_IF_GAP * abs(best):  # others serve much better
        return _of_all(parts.trees, keep, own.size), np.inf
    numbers = _numbers_near(near, own[keep], best)
    if numbers is None:
        numbers = set_in_whole(near.years, limits, near.useful, everyone, best)
    return None if numbers is None else (_of_all(numbers[0], keep, own.size), numbers[1])


def _of_all(trees: Array | Index, keep: Index, count: int) -> Array:
    every = np.zeros(count)
    every[keep] = trees
    return every


def _numbers_near(near: Nearby, own: Index, best: float) -> tuple[Index, float] | None:
    """The numbers nearest to the own plan's that cost hardly more than `best`, and what they cost; None where rounding
    breaks a condition of the plan or the years say otherwise."""
    limits, years, everyone = near.limits, near.years, np.arange(own.size)
    every_year = np.arange(near.supply.years.size)
    master = Master(near.supply, limits, near.useful, every_year, own=own)
    assert years.cuts is not None
    master.add(years.cuts)
    for _ in range(TURNS):
        master.restrict(everyone)
        nearest = master.nearest(best + NEAR_GAP * abs(best))
        if nearest is None:
            return None
        numbers = rounded(nearest.trees, limits)
        if not master.allows(numbers):
            return None
        costs, cuts = years.ask(numbers, np.ones(own.size))
        cost = cost_of(costs, limits, numbers)
        if cost <= best + 2 * NEAR_GAP * abs(best):
            return numbers.astype(np.int64), cost
        master.add(cuts)
    return None
