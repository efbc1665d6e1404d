"""An orchard that already stands: how many trees to keep, to graft over and to which cultivar, to take out.

The programme once more over all weather years, among the chosen cultivars, with the standing trees free. A tree grafted
over keeps place and roots and bears again after some years: over the plan's horizon it is worth so much less than a
full crop of its new cultivar. A tree taken out and planted anew loses more, and is never better than one grafted over;
taken out here means not planted again.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from topwire.choice.findings import StandingAdvice
from topwire.choice.in_cellar import overfull_cellar
from topwire.choice.model import Index, Model
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import TREE_COST, Array, Donors, Limits
from topwire.choice.pollination import donors_wanted
from topwire.choice.service import Year, add_years
from topwire.choice.solver import Live, Optimum
from topwire.choice.supply import Supply

# Crops lost by grafting over: the season of grafting, then 0.1, 0.5, 0.85 of a full crop (common practice, no source).
YEARS_LOST = 1 + 0.9 + 0.5 + 0.15
WORK = 0.25  # [weighted kg a year] work of grafting a tree over or grubbing it, spread over its life: planning figure
SLIVER = (
    0.1  # share of a cultivar's standing trees below which a change is not worth a visit: planning figure
)
LITTLE = 1.0  # [weighted kg a year] gain below which nothing is advised


@dataclass(frozen=True)
class _Free:
    """The programme with standing trees free. Columns `over` go from cultivar `source` to cultivar `to`."""

    live: Live
    years: tuple[Year, ...]
    add: Index
    over: Index
    source: Index
    to: Index
    out: Index
    standing: Index  # cultivars of `out`


def standing_advice(
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    useful: Donors,
    trees: Index,
    *,
    horizon: int,
) -> tuple[StandingAdvice, ...]:
    """What to do with each standing cultivar, found by solving again.

    Parameters
    ----------
    trees : (cultivars,) of the plan, which keeps all standing trees
    horizon : years the crops lost are spread over
    """
    keep = np.flatnonzero(trees)
    few, some = supply.chosen(keep), limits.some(keep)
    there = some.there(few)
    if not there.any():
        return ()
    among = useful[np.ix_(keep, keep)]
    free = _model(few, needs, some, there, trees[keep], horizon)
    most_over, most_out = there[free.source], there[free.standing].copy()
    least = np.zeros(there.size)  # of each cultivar that have to be kept, for its own sake or as a donor
    names = [row.name for row in few.cultivars]
    for at in free.standing:
        if names[at] in some.must_have:
            least[at] = min(there[at], some.fewest_trees)

    def solved(may: Sequence[bool]) -> Optimum:
        moves = np.array(may, dtype=float)
        high_over = most_over * moves[free.source]
        free.live.bound(free.over, np.zeros(high_over.size), high_over)
        free.live.bound(free.out, np.zeros(most_out.size), most_out * moves[free.standing])
        return _held(free, few, some)

    everyone = [True] * there.size
    before = solved([False] * there.size)
    found = solved(everyone)
    by_name = sorted(free.standing, key=lambda at: names[at])
    if before.values is None or found.values is None:
        return tuple(_kept(names[at], int(there[at]), int(trees[keep][at] - there[at])) for at in by_name)
    over, out = _whole(free, found.values, there, least, among, some.most_cultivars)
    moved = np.array([over[free.source == at].sum() for at in range(there.size)]) + _spread(free, out, there)
    worth_it = before.objective - found.objective > LITTLE
    lines = []
    for at in by_name:
        count = int(there[at])
        if not worth_it or not moved[at]:
            lines.append(_kept(names[at], count, int(trees[keep][at] - count)))
            continue
        without = solved([other != at for other in range(there.size)])
        gain = max(0.0, without.objective - found.objective)
        mine = (free.source == at) & (over > 0)
        into = tuple((names[to], int(n)) for to, n in zip(free.to[mine], over[mine], strict=True))
        gone = int(out[free.standing == at].sum())
        left = count - int(moved[at])
        added = round(float(found.values[free.add[at]]))
        lines.append(StandingAdvice(names[at], count, gain, left, into, gone, added))
    return tuple(lines)


def _model(
    supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, there: Array, trees: Index, horizon: int
) -> _Free:
    model, count = Model(), there.size
    cost = TREE_COST * limits.tree_cost
    standing = np.flatnonzero(there)
    source, to = np.nonzero((there > 0)[:, None] & ~np.eye(count, dtype=bool))
    add = model.add_columns(cost)
    over = model.add_columns(cost[to] - cost[source] + WORK)
    out = model.add_columns(
        WORK - cost[standing]
    )  # grubbing costs work too: no tree out for a new one of its kind
    number, worth = model.add_columns(np.zeros(count)), model.add_columns(np.zeros(count))
    share = max(0.0, 1 - YEARS_LOST / horizon)
    for columns, grafted in ((number, 1.0), (worth, share)):  # trees, and what they are worth in full crops
        rows = model.add_rows(there, there)
        model.put(rows, columns, 1.0)
        model.put(rows, add, -1.0)
        model.put(rows[source], over, 1.0)
        model.put(rows[standing], out, 1.0)
        model.put(rows[to], over, -grafted)
    low = np.where(there > 0, 0.0, np.minimum(trees, limits.fewest_trees))
    must = np.array([row.name in limits.must_have for row in supply.cultivars])
    low = np.where(must & (there > 0), np.minimum(there, limits.fewest_trees), low)
    model.put(model.add_rows(low, limits.most(supply)), number, 1.0)
    gone = model.add_rows(np.full(standing.size, -np.inf), there[standing])  # no more than stand
    model.put(gone, out, 1.0)
    model.put(gone[np.searchsorted(standing, source)], over, 1.0)
    # New trees on free ground only: what is planted where a tree was taken out would lose more than grafting over.
    model.put(model.add_rows(-np.inf, max(0.0, limits.places - float(there.sum()))), add, 1.0)
    if limits.heritage_share > 0:
        old = np.array([float(row.heritage) for row in supply.cultivars])
        model.put(model.add_rows(0.0, np.inf), number, old - limits.heritage_share)
    years = add_years(model, supply, needs, limits, trees=worth)
    return _Free(Live(model), years, add, over, source, to, out, standing)


def _held(free: _Free, supply: Supply, limits: Limits) -> Optimum:
    """Solved with the cellar held in every week."""
    seen: set[tuple[int, int]] = set()
    while True:
        found = free.live.solve()
        if found.values is None:
            return found
        rows = overfull_cellar(supply, limits, free.years, found.values, seen)
        if rows is None:
            return found
        free.live.add(rows)


def _whole(
    free: _Free, values: Array, there: Array, least: Array, useful: Donors, most: int
) -> tuple[Index, Index]:
    """Whole trees to graft over and to take out; no slivers, and no cultivar lost that others need for their pollen."""
    over = np.floor(values[free.over] + 1e-6).astype(np.int64)
    out = np.floor(values[free.out] + 1e-6).astype(np.int64)
    over[over < SLIVER * there[free.source]] = 0
    out[out < SLIVER * there[free.standing]] = 0
    here = np.ones(there.size, dtype=bool)
    wanted = np.minimum(donors_wanted(useful, most), useful.sum(axis=0))
    for position, at in enumerate(free.standing):
        mine = np.flatnonzero(free.source == at)
        left = there[at] - over[mine].sum() - out[position]
        here[at] = left > 0
        if not here[at] and (useful[here].sum(axis=0)[here] < wanted[here]).any():
            here[at] = True
        must = max(least[at], 2.0 if here[at] and left <= 0 else 0.0)
        for column in (*mine[np.argsort(over[mine], kind="stable")], None):
            short = int(max(0, must - left))
            if column is None:
                back = min(short, int(out[position]))
                out[position] -= back
            else:
                back = min(short, int(over[column]))
                over[column] -= back
            left += back
    return over, out


def _spread(free: _Free, out: Index, there: Array) -> Index:
    gone = np.zeros(there.size, dtype=np.int64)
    gone[free.standing] = out
    return gone


def _kept(name: str, count: int, more: int) -> StandingAdvice:
    return StandingAdvice(name, count, 0.0, count, add=more)
