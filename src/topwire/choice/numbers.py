"""Whole numbers of trees for a set of cultivars that is settled.

Parts of trees are rounded, and single trees moved from cultivar to cultivar as long as what is known of the years says
that it helps; the years are asked, and what they teach is used for the next try. Where that does not come near enough,
and the plan has conditions that rounding breaks, whole numbers are sought.
"""

import numpy as np

from topwire.choice.master import Cuts, Master, cost_of, costs_of
from topwire.choice.model import Index
from topwire.choice.planting import Array, Donors, Limits
from topwire.choice.years import GAP, TINY, Infeasible, Years

ROUNDING = 0.1  # share of the gap at which whole numbers of a set are left
ROUNDED = (
    5  # times the best parts of trees are rounded, with what was learnt in between, before numbers are sought
)
MOVES = 60  # of single trees, in each of them
NUMBER_ROUNDS = 8


def set_in_whole(
    years: Years,
    limits: Limits,
    useful: Donors,
    members: Index,
    bound: float = -np.inf,
) -> tuple[Index, float] | None:
    """Whole numbers of trees for a set of cultivars and what they cost; None where the plan does not allow the set.

    Parameters
    ----------
    bound : numbers within GAP of it are good enough
    """
    master = Master(years.supply, limits, useful, np.arange(years.supply.years.size))
    assert years.cuts is not None
    master.add(years.cuts)
    try:
        trees, cost = whole_numbers(master, years, limits, useful, members, bound, GAP)
    except Infeasible:
        return None
    return np.round(trees).astype(np.int64), cost


def whole_numbers(
    master: Master,
    years: Years,
    limits: Limits,
    useful: Donors,
    members: Index,
    bound: float,
    gap: float,
    rounding: float = ROUNDING,
) -> tuple[Array, float]:
    """Whole numbers for a set and what they cost: within the gap of the bound, or near the best for the set.

    Parameters
    ----------
    rounding : share of the gap by which they may lie above the best for the set

    Raises
    ------
    Infeasible
        When the plan does not allow the set.
    """
    others = np.setdiff1d(np.arange(len(years.supply.cultivars)), members)
    best, found = np.inf, None

    def valued(trees: Array) -> None:
        nonlocal best, found
        costs, cuts = years.ask(trees, (trees > 0).astype(float), master.years)
        cost = cost_of(costs, limits, trees)
        if cost < best:
            best, found = cost, trees
        master.add(cuts)

    def enough(least: float) -> bool:
        return best - bound <= gap * abs(best) + TINY or best - least <= rounding * gap * abs(best) + TINY

    tried: set[bytes] = set()
    for _ in range(ROUNDED):
        master.restrict(members, others)
        stage = master.solve()
        if stage is None:
            raise Infeasible
        assert master.cuts is not None
        whole = _moved(rounded(stage.trees, limits), members, master.cuts, years, limits)
        if whole.tobytes() in tried or not master.allows(whole):
            break
        tried.add(whole.tobytes())
        valued(whole)
        if enough(stage.cost):
            assert found is not None
            return found, best
    if np.isfinite(bound) and found is not None and best > bound / (1.0 - 2 * gap):
        return found, best  # far off: no numbers of this set come near the bound
    fixed = Master(years.supply, limits, useful, master.years, whole_trees=True)
    assert master.cuts is not None
    fixed.add(master.cuts)
    fixed.restrict(members, others)
    for _ in range(NUMBER_ROUNDS):
        known = master.cuts.year.size
        sought = fixed.solve_whole(rounding * gap)
        if sought is None:
            raise Infeasible
        valued(np.round(sought.trees))
        if enough(sought.bound):
            break
        fixed.add(master.cuts.some(np.arange(known, master.cuts.year.size)))
    assert found is not None
    return found, best


def rounded(parts: Array, limits: Limits) -> Array:
    """Parts of trees to the largest remainders; as many trees in all, as far as the ground has places."""
    whole = np.floor(parts + TINY)
    total = min(max(round(float(parts.sum())), limits.at_least), limits.places)
    rest = np.argsort(-(parts - whole), kind="stable")[: max(0, total - int(whole.sum()))]
    whole[rest] += 1.0
    return whole


def _moved(whole: Array, members: Index, cuts: Cuts, years: Years, limits: Limits) -> Array:
    """The same with single trees moved between cultivars, planted or left out, one after the other, each the best move
    by what is known of the years, as long as one helps."""
    fewest, most = limits.fewest(years.supply)[members], limits.most(years.supply)[members]
    fewest = np.maximum(fewest, limits.there(years.supply)[members])
    order = np.argsort(cuts.year, kind="stable")
    begins = np.flatnonzero(np.diff(cuts.year[order], prepend=-1))
    of_trees = cuts.of_trees[order][:, members]
    fixed = cuts.at_nothing[order] + cuts.of_planted[order][:, members].sum(axis=1)
    count = members.size
    moves = np.vstack(
        [np.eye(count), -np.eye(count), (np.eye(count)[:, None] - np.eye(count)[None]).reshape(-1, count)]
    )
    moves = moves[np.any(moves != 0, axis=1)]
    by_move = of_trees @ moves.T  # (cuts, moves)
    per_tree = limits.tree_cost[members]
    trees = whole[members]
    for _ in range(MOVES):
        said = fixed + of_trees @ trees
        now = costs_of(
            np.maximum.reduceat(said, begins)[None], (per_tree @ trees)[None], limits.worst_weight
        )[0]
        there = trees + moves
        allowed = np.all((there >= fewest) & (there <= most), axis=1)
        total = there.sum(axis=1)
        allowed &= (total <= limits.places) & (total >= limits.at_least)
        if not allowed.any():
            break
        to = costs_of(
            np.maximum.reduceat(said[:, None] + by_move[:, allowed], begins).T,
            there[allowed] @ per_tree,
            limits.worst_weight,
        )
        best = int(np.argmin(to))
        if to[best] >= now - TINY:
            break
        trees = there[allowed][best]
    moved = whole.copy()
    moved[members] = trees
    return moved
