"""Before full crop: how service grows from leaf to leaf of the new trees, and what the standing trees are worth."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Catalogue, Grade
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Limits
from topwire.choice.result import StandingAdvice, YoungYear
from topwire.choice.serving import Service, serve
from topwire.choice.supply import Supply

Index = npt.NDArray[np.int64]

LEAVES = 8  # seven to full crop, and one more
SLOW = 1  # leaves a late-bearing scion lags behind (proposal); others are as the table has it
GRAFT_OVER_GAIN = 1.0  # [weighted kg a year] a tree has to gain to be worth the years lost: planning figure


@dataclass(frozen=True)
class LeafShare:
    """One row of yield_by_leaf.csv: share of a full crop in a leaf."""

    leaf: int
    share: float


def young_years(
    planting: int,
    catalogue: Catalogue,
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    trees: Index,
    service: Service,
) -> tuple[YoungYear, ...]:
    """Share of every need served in each leaf, in a good, a middling and a bad weather year.

    Standing trees crop in full from the start. `planting` is the year of the planting autumn, `service` that of the
    full-grown trees.
    """
    keep = np.flatnonzero(trees)
    order = np.argsort(service.short, kind="stable")
    sample = np.sort(order[np.round(np.array([0.1, 0.5, 0.9]) * (order.size - 1)).astype(np.int64)])
    few = supply.chosen(keep).in_years(np.unique(sample))
    limits = limits.some(keep)
    standing = np.array([limits.standing.get(row.name, 0) for row in few.cultivars], dtype=float)
    wanted = np.array([need.total for need in needs])
    table = {row.leaf: row.share for row in catalogue.rows("yield_by_leaf", LeafShare)}
    late = [SLOW if row.precocity is Grade.LOW else 0 for row in few.cultivars]
    years = []
    for leaf in range(1, LEAVES + 1):
        bearing = np.array([table.get(leaf - lag, 0.0) for lag in late])
        numbers = standing + (trees[keep] - standing) * bearing
        share, harvest = np.zeros(wanted.size), 0.0
        if numbers.any():
            _, served = serve(few, needs, limits, numbers)
            share = served.served.sum(axis=2).mean(axis=0) / wanted
            harvest = float((few.crop @ numbers).mean())
        years.append(YoungYear(leaf, planting + leaf, tuple(float(one) for one in share), harvest))
    return tuple(years)


def standing_advice(
    supply: Supply, limits: Limits, trees: Index, service: Service
) -> tuple[StandingAdvice, ...]:
    """What to do with each standing cultivar, by what one tree of it brings beside the best of the others.

    Prices of fruit in the served years say what a tree brings; they hold for a few trees. Grafting over keeps trunk and
    place; the years lost until the tree crops again have to be weighed against it.
    """
    names = [row.name for row in supply.cultivars]
    brings = (service.fruit_price * supply.crop).mean(axis=0)  # [weighted kg a year] one tree more
    room = np.where((trees > 0) & (trees < limits.most_trees), brings, -np.inf)
    best = int(np.argmax(room))
    advice = []
    for name, count in sorted(limits.standing.items()):
        at = names.index(name)
        more = int(trees[at]) - count
        gain = float(room[best] - brings[at])
        if more > 0:
            advice.append(
                StandingAdvice(name, count, f"keep, and add {more}", max(0.0, float(brings[at]) * more))
            )
        elif name in limits.must_have:
            advice.append(StandingAdvice(name, count, "keep, as the plan asks", 0.0))
        elif at != best and np.isfinite(gain) and gain > GRAFT_OVER_GAIN:
            advice.append(
                StandingAdvice(name, count, f"could be grafted over to {names[best]}", gain * count)
            )
        else:
            advice.append(StandingAdvice(name, count, "keep", 0.0))
    return tuple(advice)
