"""The way through the free places: up one row, down the next, block after block."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.layout.bearing import climb_and_tilt
from topwire.layout.findings import Ground
from topwire.layout.polygons import directions

Index = npt.NDArray[np.int64]


@dataclass(frozen=True)
class Path:
    """Free places in planting order, and what is known of every place.

    `place` (free,) indexes the ground's places; `last` (free,) is the path index after the unbroken stretch. The others
    are of all places: `row_of` the row over all blocks, `line` the row line across the block, `step` the position
    along it in tree spacings, `along` [m] from the row's start along the ground.
    """

    place: Index
    last: Index
    row_of: Index
    line: Index
    step: Index
    along: npt.NDArray[np.float64]


def free_path(ground: Ground, placed: Index) -> Path:
    """Path through the places where `placed` (places,) is -1."""
    first_row = np.cumsum([0] + [len(block.rows) for block in ground.blocks])
    row_of = first_row[ground.block] + ground.row
    rows = [row for block in ground.blocks for row in block.rows]
    first = np.array([row.first_tree for row in rows])
    spacing = np.array([row.tree_spacing for row in rows])
    along = first[row_of] + (ground.place - 1) * spacing[row_of]
    line, step = grid_of(ground)
    backward = row_of % 2 == 1
    order = np.lexsort((np.where(backward, -ground.place, ground.place), row_of))
    free = order[placed[order] < 0]
    broken = np.flatnonzero((np.diff(row_of[free]) != 0) | (np.abs(np.diff(ground.place[free])) != 1)) + 1
    stops = np.concatenate([broken, [free.size]]).astype(np.int64)
    last = stops[np.searchsorted(stops, np.arange(free.size), side="right")] if free.size else stops[:0]
    return Path(free, last, row_of, line, step, along)


def grid_of(ground: Ground) -> tuple[Index, Index]:
    """Row line across the block and position along it, in whole spacings, of every place.

    Every row's first place is put on the grid; the others follow it one by one, so that no two share a step.
    """
    line = np.zeros(ground.capacity, dtype=np.int64)
    step = np.zeros(ground.capacity, dtype=np.int64)
    for number, block in enumerate(ground.blocks):
        here = ground.block == number
        if not here.any():
            continue
        along, right = directions(block.row_bearing)
        u = ground.x * along[0] + ground.y * along[1]
        v = ground.x[here] * right[0] + ground.y[here] * right[1]
        line[here] = np.rint((v - v.min()) / block.row_spacing)
        climb, _ = climb_and_tilt(block.slope, block.slope_bearing, block.row_bearing)
        spacing = block.closest / np.hypot(1.0, climb)
        rows = [np.flatnonzero(here & (ground.row == row)) for row in np.unique(ground.row[here])]
        # from the low end of each line up: rows of one line do not overlap, whatever the ground does to their length
        free: dict[int, int] = {}
        for row in sorted(rows, key=lambda row: float(u[row].min())):
            upward = row[np.argsort(u[row])]
            on = int(line[upward[0]])
            first = int(np.rint((u[upward[0]] - u[here].min()) / spacing))
            first = max(first, free.get(on, first))
            # in rows of a group trees stand farther apart than the grid's steps
            wider = block.rows[int(ground.row[upward[0]])].tree_spacing / block.closest
            step[upward] = first + np.rint(np.abs(ground.place[upward] - ground.place[upward[0]]) * wider)
            free[on] = int(step[upward[-1]]) + 1
    return line, step


def off_grid(ground: Ground, step: Index) -> tuple[float, ...]:
    """(blocks,) [tree spacings] that a block's places lie off their steps at most: ragged or bent row ends."""
    found = []
    for number, block in enumerate(ground.blocks):
        here = ground.block == number
        if not here.any():
            found.append(0.0)
            continue
        along, _ = directions(block.row_bearing)
        climb, _ = climb_and_tilt(block.slope, block.slope_bearing, block.row_bearing)
        u = ground.x[here] * along[0] + ground.y[here] * along[1]
        off = (u - u.min()) / (block.closest / np.hypot(1.0, climb)) - step[here]
        found.append(float(np.ptp(off)))
    return tuple(found)
