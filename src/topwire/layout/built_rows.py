"""The rows of a block as they are built: set out by group, lengthened to standing trees, with posts and braces."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt
from shapely import Point
from shapely.geometry.base import BaseGeometry

from topwire.layout.asked import BlockAsked, GroundQuestion, TreeStanding
from topwire.layout.findings import GroundRow
from topwire.layout.polygons import directions
from topwire.layout.rows import FittedRow
from topwire.layout.surface import Surface, profile
from topwire.values.braces import places_in
from topwire.values.terms import compass

SHORTEST_ROW = 4  # trees worth two end posts: common practice, no source


def grouped(block: BlockAsked, line: FittedRow, otherwise: float) -> FittedRow:
    """A row of a group set out anew at the group's distance, from the same end and no longer than it was."""
    apart = block.between_trees(line.number, otherwise)
    if apart == otherwise or line.places < 2:
        return line
    first, last = np.asarray(line.first), np.asarray(line.last)
    # end posts stand half a spacing beyond the end trees, and stay where they are
    room_ = line.places * otherwise - apart
    places = int(np.floor(room_ / apart + 1e-6)) + 1
    step = (last - first) / ((line.places - 1) * otherwise)
    start = first + step * (apart - otherwise) / 2
    end = start + step * apart * (places - 1)
    return replace(
        line, first=(float(start[0]), float(start[1])), last=(float(end[0]), float(end[1])), places=places
    )


def to_standing(
    lines: tuple[FittedRow, ...], shape: BaseGeometry, block: str, standing: Sequence[TreeStanding]
) -> tuple[FittedRow, ...]:
    """Rows lengthened into the headland where a tree is recorded beyond the last place: it does stand there."""
    deepest: dict[int, int] = {}
    for tree in standing:
        address = tree.address
        if address.block == block:
            deepest[address.row] = max(deepest.get(address.row, 0), address.place)
    longer = []
    for line in lines:
        wanted = deepest.get(line.number, 0)
        if wanted > line.places > 1:
            first, last = np.asarray(line.first), np.asarray(line.last)
            end = first + (last - first) / (line.places - 1) * (wanted - 1)
            if shape.buffer(1e-6).covers(Point(end)):
                line = replace(line, last=(float(end[0]), float(end[1])), places=wanted)
        longer.append(line)
    return tuple(longer)


def _braced(
    asked: GroundQuestion, block: BlockAsked, line: FittedRow, tree_spacing: float
) -> tuple[int, int]:
    """Places that braces take at both ends of a row; none where trees stand in them or too few would be left."""
    if block.along_fence:
        return 0, 0
    near, far = in_braces(block, tree_spacing)
    deepest = max(
        (
            tree.address.place
            for tree in asked.standing
            if (tree.address.block, tree.address.row) == (block.name, line.number)
        ),
        default=0,
    )
    left = line.places - near - far
    return (near, far) if left >= max(deepest, SHORTEST_ROW) else (0, 0)


def in_braces(block: BlockAsked, tree_spacing: float) -> tuple[int, int]:
    """Places within the braces at a row's near and far end."""
    near, far = (
        places_in(room, first_tree=tree_spacing / 2, tree_spacing=tree_spacing) for room in block.braces
    )
    return near, far


def ground_row(
    asked: GroundQuestion,
    block: BlockAsked,
    line: FittedRow,
    value: float,
    tree_spacing: float,
    lines: tuple[FittedRow, ...],
    level: tuple[float, float],
    surface: Surface | None,
) -> GroundRow:
    """A row from end post to end post, with the places that braces leave for trees.

    Parameters
    ----------
    value : bearing of the rows; level : the block's first corner, from which heights are told
    lines : all rows of the block
    """
    first, last = np.asarray(line.first), np.asarray(line.last)
    along, _ = directions(value)
    if np.dot(last - first, along) < 0:
        along = -along
    climb = float(np.dot(along, _downhill(block)))
    post = tree_spacing / 2  # end posts half a spacing beyond the end trees, in the headland
    length = (line.places - 1) * tree_spacing + 2 * post
    step = post / float(np.hypot(1.0, climb))
    start, end = first - along * step, last + along * step
    heights = _height(block, start, level), _height(block, end, level)
    if surface is not None:
        # as long on the map as makes it that long along the ground
        ground = profile(surface, (start[0], start[1]), (end[0], end[1]))
        end = start + along * ground.on_map(length)
        heights = float(surface.height(start[0], start[1])), float(surface.height(end[0], end[1]))
    near, far = _braced(asked, block, line, tree_spacing)
    sides = sorted({item.line for item in lines})
    outer = line.line in sides[:2] or line.line in sides[-2:]
    toward = float(np.degrees(np.arctan2(along[0], along[1])) % 360.0)
    return GroundRow(
        block=block.name,
        number=line.number,
        start=(float(start[0]), float(start[1])),
        end=(float(end[0]), float(end[1])),
        start_height=heights[0],
        end_height=heights[1],
        bearing=toward,
        length=length,
        tree_spacing=tree_spacing,
        first_tree=post + near * tree_spacing,
        places=line.places - near - far,
        outer=outer,
        start_side=compass(toward + 180.0),
    )


def _downhill(block: BlockAsked) -> npt.NDArray[np.float64]:
    """Fall for each metre east and north, negative = down."""
    down, _ = directions(block.slope_bearing)
    return np.asarray(-block.slope * down)


def _height(block: BlockAsked, point: npt.NDArray[np.float64], level: tuple[float, float]) -> float:
    """Height [m] above the block's first corner, where the block is one plane."""
    return float(np.dot(point - np.asarray(level), _downhill(block)))
