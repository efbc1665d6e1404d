"""Fewer cultivars where they cost nothing: of the plans within the gap, the one with the fewest is taken."""

from dataclasses import replace

import numpy as np

from topwire.choice.numbers import set_in_whole
from topwire.choice.reasons import Nearby
from topwire.choice.search import SMALL, Found
from topwire.choice.years import GAP

FOR_PARTS = 0.85  # share of the gap within which parts of trees have to be: whole trees cost a little more


def with_fewer_cultivars(near: Nearby, found: Found) -> Found:
    """The plan without the cultivars that it can do without, as long as it stays within the gap of the bound.

    Those go first whose loss the cuts know to cost least; trees that stand and what has to be there stay. A plan
    of a handful of trees is the best there is and stays.
    """
    limits, useful, most = near.limits, near.useful, found.bound / (1.0 - GAP)
    in_parts = found.bound / (1.0 - FOR_PARTS * GAP)
    if limits.places <= SMALL:
        return found
    members = frozenset(np.flatnonzero(found.trees[near.keep]).tolist())
    master = near.master(limits, useful)

    may_go = members - set(np.flatnonzero(limits.stays(near.supply)).tolist())
    gone: list[int] = []
    for least, at in sorted((near.least_of_set(master, members - {at}), at) for at in may_go):
        if least > in_parts:  # and so for all behind it, the more as others are gone
            break
        cost = near.cost_of_set(master, limits, members - {at}, most=in_parts)
        if cost is not None and cost <= in_parts:
            members -= {at}
            gone.append(at)
    # Whole numbers of trees cost a little more than parts of them: the last to go may have to come back.
    while gone:
        inside = np.array(sorted(members), dtype=np.int64)
        whole = set_in_whole(near.years, limits, useful, inside, found.bound)
        if whole is not None and whole[1] <= most:
            trees = np.zeros_like(found.trees)
            trees[near.keep] = whole[0]
            return replace(found, trees=trees, objective=whole[1])
        members |= {gone.pop()}
    return found
