"""How far pickers walk over a season: one round a week from the gate through every row with ripe fruit.

In a row the picker goes to the farthest ripe tree and back, or right through; which of the two, row by row, is found
exactly by looking one row ahead, as for picking orders in a store (RR83 without a middle aisle). Only the ground
covered counts, not what is carried.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]


@dataclass(frozen=True)
class Rows:
    """Rows in the order they are visited.

    start, end : (rows, 2) [m]; length : (rows,) [m]; gate : (2,) [m], where every round begins and ends
    """

    start: Array
    end: Array
    length: Array
    gate: Array


def reach(row: Index, along: Array, ripe: npt.NDArray[np.bool_], rows: int) -> tuple[Array, Array]:
    """Nearest and farthest ripe tree of every row in every week, [m] from the row's start.

    row, along : (trees,); ripe : (trees, weeks). Returns two (rows, weeks); inf and -inf where nothing is ripe.
    """
    low = np.full((rows, ripe.shape[1]), np.inf)
    high = np.full((rows, ripe.shape[1]), -np.inf)
    np.minimum.at(low, row, np.where(ripe, along[:, None], np.inf))
    np.maximum.at(high, row, np.where(ripe, along[:, None], -np.inf))
    return low, high


def picking_walk(rows: Rows, low: Array, high: Array) -> Array:
    """Length of each week's shortest round that takes the rows in order, (weeks,) [m].

    low, high : (rows, weeks) from :func:`reach`.
    """
    weeks = np.arange(low.shape[1])
    at_start = np.zeros(weeks.size)
    at_end = np.zeros(weeks.size)
    last = np.full(weeks.size, -1)
    visited = high >= low
    for row in np.flatnonzero(visited.any(axis=1)):
        here = weeks[visited[row]]
        before = last[here]
        from_start = np.where((before >= 0)[:, None], rows.start[before], rows.gate)
        from_end = np.where((before >= 0)[:, None], rows.end[before], rows.gate)
        to_start = at_start[here] + np.hypot(*(rows.start[row] - from_start).T)
        to_end = at_end[here] + np.hypot(*(rows.end[row] - from_end).T)
        length = rows.length[row]
        at_start[here] = np.minimum(to_start + 2 * high[row, here], to_end + length)
        at_end[here] = np.minimum(to_end + 2 * (length - low[row, here]), to_start + length)
        last[here] = row
    home = np.zeros(weeks.size)
    gone = last >= 0
    start_home = np.hypot(*(rows.start[last[gone]] - rows.gate).T)
    end_home = np.hypot(*(rows.end[last[gone]] - rows.gate).T)
    home[gone] = np.minimum(at_start[gone] + start_home, at_end[gone] + end_home)
    return home


def least_walk(trees: Index, spacing: float, rows: int) -> float:
    """A length [m] no planting can go below, from the number of ripe trees each week alone.

    A round that takes `n` trees of a row covers at least n - 1 spacings of it.
    """
    return float(spacing * np.maximum(0, trees - np.minimum(trees, rows)).sum())
