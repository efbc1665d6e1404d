"""Rows fitted into a block: parallel lines at the row spacing, trees along them, ends free for the machine.

A tree may stand at a point when the rectangle around it, `headland` to both sides along the row and `margin` to both
sides across it, is all ground of the block. Rows and places are counted from fixed corners, so that ground added on
the far side or at the far end adds rows and places and never renames one.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from shapely import box
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from topwire.layout.polygons import directions

SLACK = 1e-6  # [m] a tree on the line itself counts as inside


@dataclass(frozen=True)
class Fit:
    """How rows are to be fitted.

    Attributes
    ----------
    bearing : [deg from north] the rows run
    row_spacing, tree_spacing : [m] on the map
    headland : [m] free ground beyond the first and last tree
    margin : [m] free ground beside the outer rows
    clearance : [m] kept from an obstacle on all sides
    end_room : [m] that a row's end keeps from an obstacle or a path it meets, for the anchor
    fewest : trees a row needs to be worth its two end posts
    """

    bearing: float
    row_spacing: float
    tree_spacing: float
    headland: float
    margin: float
    clearance: float = 0.0
    fewest: int = 2
    end_room: float = 0.0


@dataclass(frozen=True)
class FittedRow:
    """One row: where its first tree stands and how many follow; all in metres east and north."""

    number: int
    first: tuple[float, float]
    last: tuple[float, float]
    places: int
    line: int  # grid line counted from the block's first side; pieces of one line share it


def fit_rows(
    ground: BaseGeometry,
    fit: Fit,
    *,
    obstacles: BaseGeometry | None = None,
    setbacks: BaseGeometry | None = None,
    paths: BaseGeometry | None = None,
    alleys: Sequence[tuple[float, float]] = (),
    first_corner: tuple[float, float],
    start: tuple[float, float],
    one_row: bool = False,
) -> tuple[FittedRow, ...]:
    """Rows of trees in `ground`.

    Parameters
    ----------
    ground : outline with holes, in one part or several [m]
    fit : spacings and margins
    obstacles : ground to keep clear of [m], or None
    setbacks : ground without trunks [m], or None
    paths : ground without trees or anchors [m], or None
    alleys : ways across the rows, (middle from the side where places are counted from, width) [m]
    first_corner : row 1 is on this point's side of the block
    start : place 1 is at the row end nearer to this point (a gate); one answer for the whole block
    one_row : a single row down the middle (along a fence), whatever the width

    Returns
    -------
    tuple of FittedRow, row 1 first. A line broken by a pond or a bay gives several rows, numbered on from the start.
    """
    # half a spacing at every end keeps the pieces of one line a full spacing apart
    fit = replace(
        fit,
        headland=max(fit.headland, fit.tree_spacing / 2),
        clearance=max(fit.clearance, fit.tree_spacing / 2),
    )
    along, right = directions(fit.bearing)
    turned = _turn(ground, along, right)
    low_u, low_v, high_u, high_v = turned.bounds
    corner_v = float(np.dot(right, first_corner))
    start_u = float(np.dot(along, start))
    from_right = abs(corner_v - high_v) < abs(corner_v - low_v) - SLACK
    from_far = abs(start_u - high_u) < abs(start_u - low_u) - SLACK
    # what closes a line, and how much more of the line at both its sides
    closed: list[tuple[BaseGeometry, float]] = []
    end = fit.end_room + fit.tree_spacing / 2  # the end post stands half a spacing beyond the last tree
    if obstacles is not None and not obstacles.is_empty:
        closed.append((_turn(obstacles, along, right).buffer(fit.clearance, join_style="mitre"), end))
    if setbacks is not None:
        closed.append((_turn(setbacks, along, right), 0.0))
    if paths is not None:
        closed.append((_turn(paths, along, right), end))
    for middle, width in alleys:
        at = high_u - middle if from_far else low_u + middle
        closed.append((box(at - width / 2, low_v - 1.0, at + width / 2, high_v + 1.0), end))

    if one_row:
        values = np.array([(low_v + high_v) / 2])
    else:
        free = high_v - low_v - 2 * fit.margin
        count = int(np.floor((free + SLACK) / fit.row_spacing)) + 1 if free >= -SLACK else 0
        steps = np.arange(count) * fit.row_spacing
        values = high_v - fit.margin - steps if from_right else low_v + fit.margin + steps

    rows: list[FittedRow] = []
    for index, v in enumerate(values):
        pieces = _free_intervals(turned, closed, float(v), fit, 0.0 if one_row else fit.margin)
        for low, high in reversed(pieces) if from_far else pieces:
            places = int(np.floor((high - low + SLACK) / fit.tree_spacing)) + 1
            if places < fit.fewest:
                continue
            step = (places - 1) * fit.tree_spacing
            first_u, last_u = (high, high - step) if from_far else (low, low + step)
            first, last = first_u * along + v * right, last_u * along + v * right
            rows.append(
                FittedRow(
                    len(rows) + 1,
                    (float(first[0]), float(first[1])),
                    (float(last[0]), float(last[1])),
                    places,
                    index,
                )
            )
    return tuple(rows)


def _turn(
    shape: BaseGeometry, along: npt.NDArray[np.float64], right: npt.NDArray[np.float64]
) -> BaseGeometry:
    """The shape in row coordinates: u along the rows, v to the right of them."""
    return affine_transform(shape, [along[0], along[1], right[0], right[1], 0.0, 0.0])


def _free_intervals(
    ground: BaseGeometry,
    closed: Sequence[tuple[BaseGeometry, float]],
    v: float,
    fit: Fit,
    margin: float,
) -> list[tuple[float, float]]:
    """Stretches of the line at `v` where a tree may stand, [(low, high)], low first.

    What is not ground within the strip of `margin` to both sides, and every obstacle on the line, is projected on the
    line; the stretches left are shortened by the headland.
    """
    low_u, _, high_u, _ = ground.bounds
    reach = max(fit.headland, fit.tree_spacing) + 1.0
    half = max(margin - SLACK, SLACK)
    strip = box(low_u - reach, v - half, high_u + reach, v + half)
    outside = strip.difference(ground)
    closed_to = _extents(outside, fit.headland)
    thin = box(low_u - reach, v - SLACK, high_u + reach, v + SLACK)
    for shape, widened in closed:
        # a grazed obstacle parts the row by a full spacing too, so that its two pieces keep their distance
        for low, high in _extents(thin.intersection(shape), widened):
            short = max(0.0, fit.tree_spacing - (high - low)) / 2
            closed_to.append((low - short, high + short))
    closed_to.sort()
    free: list[tuple[float, float]] = []
    position = low_u - reach
    for low, high in closed_to:
        if low > position:
            free.append((position, low))
        position = max(position, high)
    if position < high_u + reach:
        free.append((position, high_u + reach))
    return [(low, high) for low, high in free if high >= low]


def _extents(shape: BaseGeometry, widened: float) -> list[tuple[float, float]]:
    parts = [shape] if not hasattr(shape, "geoms") else list(shape.geoms)
    return [(part.bounds[0] - widened, part.bounds[2] + widened) for part in parts if not part.is_empty]
