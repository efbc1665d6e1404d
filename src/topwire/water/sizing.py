"""Pipe sizes at least cost that lose no more head than each path may."""

from collections.abc import Callable, Sequence

import numpy as np
import numpy.typing as npt

from topwire.choice.model import Model
from topwire.choice.solver import solve
from topwire.water.friction import Law, blasius, velocity

Array = npt.NDArray[np.float64]
Indices = npt.NDArray[np.int64]

FASTEST = 1.5  # [m/s] in mains and manifolds, common practice (water hammer)
_GAP = 1e-4


def cheapest_sizes(
    flow: Array,
    length: Array,
    *,
    paths: npt.NDArray[np.bool_],
    allowed: Array,
    diameters: Array,
    prices: Array,
    above: Sequence[int] = (),
    fastest: float = FASTEST,
    law: Law = blasius,
) -> Indices | None:
    """One size for each stretch of pipe, cheapest together; None where no choice keeps every bound.

    Parameters
    ----------
    flow : (stretches,) [m3/s] the most each carries
    length : (stretches,) [m]
    paths : (ends, stretches) True where a stretch lies on the way to an end
    allowed : (ends,) [m] head the way to each end may lose to friction
    diameters : (sizes,) [m] inside
    prices : (sizes,) for a metre
    above : of each stretch, the one its water comes from, -1 for none: no pipe is wider than that; none where empty
    fastest : velocity no stretch exceeds [m/s]

    Notes
    -----
    A whole-number programme: one column for each stretch and size that is slow enough. With the flows of the design
    fixed, the head a stretch loses is a number, so the choice is exact, not a rule of thumb.
    """
    flows, sizes = np.asarray(flow, dtype=float)[:, np.newaxis], np.asarray(diameters, dtype=float)
    if flow.size == 0:
        return np.empty(0, dtype=np.int64)
    loss = law(flows, np.broadcast_to(sizes, (flow.size, sizes.size)))[0] * length[:, np.newaxis]
    slow = velocity(flows, sizes) <= fastest
    if not slow.any(axis=1).all():
        return None
    stretch, size = np.nonzero(slow)
    model = Model()
    columns = model.add_columns(length[stretch] * prices[size], low=0.0, high=1.0, whole=True)
    model.put(model.add_rows(np.ones(flow.size), np.ones(flow.size))[stretch], columns, 1.0)
    ends = model.add_rows(np.full(allowed.size, -np.inf), allowed)
    end, column = np.nonzero(paths[:, stretch])
    if end.size:
        model.put(ends[end], columns[column], loss[stretch, size][column])
    for lower, upper in enumerate(above):
        if upper >= 0:
            narrows = model.add_rows(np.array([-np.inf]), np.zeros(1))
            for one, sign in ((lower, 1.0), (upper, -1.0)):
                mine = stretch == one
                model.put(
                    np.full(mine.sum(), narrows[0]), columns[mine], sign * sizes[size[mine]] / sizes[-1]
                )
    found = solve(model, gap=_GAP)
    if found.values is None:
        return None
    table = np.zeros(slow.shape)
    table[stretch, size] = found.values
    chosen: Indices = table.argmax(axis=1).astype(np.int64)
    return chosen


def spanning_tree(x: Array, y: Array) -> Indices:
    """Parent of each point in the shortest tree that joins all, rooted at point 0 (Prim). -1 for the root.

    Ties fall to the lower number.
    """
    return shortest_net(lambda point: np.hypot(x - x[point], y - y[point]), x.size)


def shortest_net(away: Callable[[int], Array], count: int) -> Indices:
    """The same by any distances: `away` gives those of all points from one. [m]"""
    parent = np.full(count, -1, dtype=np.int64)
    near = away(0)
    nearest = np.zeros(count, dtype=np.int64)
    joined = np.zeros(count, dtype=bool)
    joined[0] = True
    for _ in range(count - 1):
        candidate = int(np.where(joined, np.inf, near).argmin())
        joined[candidate] = True
        parent[candidate] = nearest[candidate]
        found = away(candidate)
        closer = found < near
        near, nearest = np.where(closer, found, near), np.where(closer, candidate, nearest)
    return parent
