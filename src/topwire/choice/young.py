"""Before full crop: how service grows from leaf to leaf of the new trees."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from topwire.choice.batches import LEAVES, bearing, cropping
from topwire.choice.findings import Batches, YoungYear
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Array, Limits
from topwire.choice.serving import Service, serve
from topwire.choice.supply import Supply

Index = npt.NDArray[np.int64]


def young_years(
    planting: int,
    by_leaf: Array,
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    trees: Index,
    service: Service,
    batches: Batches | None = None,
) -> tuple[YoungYear, ...]:
    """Share of every need served in each leaf, in a good, a middling and a bad weather year.

    Standing trees crop in full from the start. `planting` is the year of the first planting autumn, `service` that of
    the full-grown trees; where several autumns are planned, each batch counts from its own.
    """
    keep = np.flatnonzero(trees)
    order = np.argsort(service.short, kind="stable")
    sample = np.sort(order[np.round(np.array([0.1, 0.5, 0.9]) * (order.size - 1)).astype(np.int64)])
    few = supply.chosen(keep).in_years(np.unique(sample))
    limits = limits.some(keep)
    standing = limits.there(few)
    wanted = np.array([need.total for need in needs])
    planted = (trees[keep] - standing)[None, :]
    if batches is not None and batches.planned:
        counts = [dict(batch.trees) for batch in batches.autumns]
        after = [batch.autumn - planting for batch in batches.autumns]
        planted = np.zeros((max(after) + 1, keep.size))
        for at, count in zip(after, counts, strict=True):
            planted[at] = [count.get(row.name, 0) for row in few.cultivars]
    leaves = LEAVES + planted.shape[0] - 1
    years = []
    for at, numbers in enumerate(cropping(planted, standing, bearing(by_leaf, few.cultivars, leaves))):
        share = np.zeros(wanted.size)
        if numbers.any():
            _, served = serve(few, needs, limits, numbers)
            share = served.served.sum(axis=2).mean(axis=0) / wanted
        years.append(YoungYear(at + 1, planting + at + 1, tuple(float(one) for one in share)))
    return tuple(years)
