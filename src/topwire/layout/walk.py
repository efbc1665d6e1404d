"""How far pickers walk over a season: one round a week from the gate through every row with ripe fruit.

In a row the picker goes to the farthest ripe tree and back, or right through; which of the two, row by row, is found
exactly by looking one row ahead, as for picking orders in a store (RR83 without a middle aisle). Only the ground
covered counts, not what is carried.
"""

from dataclasses import dataclass
from math import hypot

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]


@dataclass(frozen=True)
class RowLines:
    """Rows in the order they are visited.

    start, end : (rows, 2) [m]; length : (rows,) [m]; gate : (2,) [m], where every round begins and ends
    """

    start: Array
    end: Array
    length: Array
    gate: Array


def reach(row: Index, near: Array, far: Array, ripe: npt.NDArray[np.bool_], rows: int) -> tuple[Array, Array]:
    """Nearest and farthest ripe tree of every row in every week, [m] from the row's start.

    row, near, far : (trees or runs,), `near` to `far` [m] being the stretch a run takes, one point for a tree; ripe :
    (trees or runs, weeks). Returns two (rows, weeks); inf and -inf where nothing is ripe.
    """
    low = np.full((rows, ripe.shape[1]), np.inf)
    high = np.full((rows, ripe.shape[1]), -np.inf)
    if row.size:
        order = np.argsort(row, kind="stable")
        here, first = np.unique(row[order], return_index=True)
        low[here] = np.minimum.reduceat(np.where(ripe, near[:, None], np.inf)[order], first, axis=0)
        high[here] = np.maximum.reduceat(np.where(ripe, far[:, None], -np.inf)[order], first, axis=0)
    return low, high


def picking_walk(rows: RowLines, low: Array, high: Array) -> Array:
    """Length of each week's shortest round that takes the rows in order, (weeks,) [m].

    low, high : (rows, weeks) from :func:`reach`.
    """
    walked = np.zeros(low.shape[1])
    weeks, visits = np.nonzero((high >= low).T)
    gate_x, gate_y = (float(value) for value in rows.gate)
    # plain numbers: a week visits few rows, and this is the inside of the search
    start_x, start_y, end_x, end_y = (
        column.tolist() for column in (*rows.start[visits].T, *rows.end[visits].T)
    )
    near, far = low[visits, weeks].tolist(), high[visits, weeks].tolist()
    lengths, week_of = rows.length[visits].tolist(), weeks.tolist()
    last = len(week_of) - 1
    week = -1
    at_start = at_end = 0.0
    for i, here in enumerate(week_of):
        if here != week:
            week = here
            to_start = hypot(start_x[i] - gate_x, start_y[i] - gate_y)
            to_end = hypot(end_x[i] - gate_x, end_y[i] - gate_y)
        else:
            to_start = at_start + hypot(start_x[i] - start_x[i - 1], start_y[i] - start_y[i - 1])
            to_end = at_end + hypot(end_x[i] - end_x[i - 1], end_y[i] - end_y[i - 1])
        length = lengths[i]
        at_start = min(to_start + 2 * far[i], to_end + length)
        at_end = min(to_end + 2 * (length - near[i]), to_start + length)
        if i == last or week_of[i + 1] != week:
            walked[week] = min(
                at_start + hypot(start_x[i] - gate_x, start_y[i] - gate_y),
                at_end + hypot(end_x[i] - gate_x, end_y[i] - gate_y),
            )
    return walked
