"""Fewer cultivars where they cost nothing: of the plans within the gap, the one with the fewest is taken."""

from dataclasses import replace

import numpy as np

from topwire.choice.reasons import Nearby
from topwire.choice.search import GAP, SMALL, Found, set_in_whole


def with_fewer_cultivars(near: Nearby, found: Found) -> Found:
    """The plan without the cultivars that it can do without, as long as it stays within the gap of the bound.

    Those go first whose loss the cuts know to cost least; trees that stand and what has to be there stay. A plan
    of a handful of trees is the best there is and stays.
    """
    limits, useful, most = near.limits, near.useful, found.bound / (1.0 - GAP)
    if limits.places <= SMALL:
        return found
    members = frozenset(np.flatnonzero(found.trees[near.keep]).tolist())
    master = near.master(limits, useful)

    def known(at: int) -> float:
        """The least the plan can cost without this one."""
        inside = np.array(sorted(members - {at}), dtype=np.int64)
        master.restrict(inside, np.setdiff1d(np.arange(near.keep.size), inside))
        stage = master.solve()
        return np.inf if stage is None else stage.cost

    may_go = members - set(np.flatnonzero(limits.stays(near.supply)).tolist())
    gone: list[int] = []
    for at in sorted(may_go, key=lambda at: (known(at), at)):
        cost = near.cost_of_set(master, limits, members - {at})
        if cost is not None and cost <= most:
            members -= {at}
            gone.append(at)
    while (
        gone
    ):  # whole numbers of trees cost a little more than parts of them: the last to go may have to come back
        whole = set_in_whole(near.years, limits, useful, np.array(sorted(members), dtype=np.int64))
        if whole is not None and whole[1] <= most:
            trees = np.zeros_like(found.trees)
            trees[near.keep] = whole[0]
            return replace(found, trees=trees, objective=whole[1])
        members |= {gone.pop()}
    return found
