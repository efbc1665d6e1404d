"""The ground as it is built: rows closed at their last tree, the fence around what is planted.

Places beyond a row's end keep their numbers and stay on the map, should the row be lengthened one day.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from shapely import LineString, MultiPolygon, Polygon, union_all
from shapely.geometry.base import BaseGeometry

from topwire.layout.blocks import fence_line
from topwire.layout.findings import Ground, GroundBlock, GroundRow, Layout
from topwire.layout.surface import Surface
from topwire.values.arrays import Integers

KEPT = 10.0  # [m] from the outer rows and row ends, where the rest of a block is left outside the fence


def built_ground(ground: Ground, layout: Layout) -> Ground:
    """The ground with every row of new trees as long as its trees reach; rows with standing trees stay as they are."""
    blocks = []
    for number, block in enumerate(ground.blocks):
        rows = []
        for index, row in enumerate(block.rows):
            here = (ground.block == number) & (ground.row == index)
            rows.append(
                _closed(ground, row, ground.place[here & (layout.cultivar >= 0)], layout.standing[here].any())
            )
        blocks.append(replace(block, rows=tuple(rows)))
    made = replace(ground, blocks=tuple(blocks))
    planted = [
        tuple(
            row
            for index, row in enumerate(block.rows)
            if (layout.cultivar[(ground.block == number) & (ground.row == index)] >= 0).any()
        )
        for number, block in enumerate(made.blocks)
    ]
    if not ground.fence or all(
        len(rows) == len(block.rows) for rows, block in zip(planted, blocks, strict=True)
    ):
        return made
    shapes = [_planted_part(block, rows) for block, rows in zip(made.blocks, planted, strict=True) if rows]
    return replace(made, fence=tuple(np.asarray(ring.exterior.coords)[:-1] for ring in fence_line(shapes)))


def _closed(ground: Ground, row: GroundRow, planted: Integers, stands: bool) -> GroundRow:
    spare = row.places - int(planted.max()) if planted.size else 0
    if spare <= 0 or stands:
        return row
    length = row.length - spare * row.tree_spacing
    share = length / row.length
    end = tuple(float(a + share * (b - a)) for a, b in zip(row.start, row.end, strict=True))
    height = row.start_height + share * (row.end_height - row.start_height)
    if ground.has_surface:
        height = float(Surface(ground.height_points).height(np.array(end[0]), np.array(end[1])))
    return replace(row, end=(end[0], end[1]), end_height=height, length=length, places=row.places - spare)


def _planted_part(block: GroundBlock, rows: Sequence[GroundRow]) -> BaseGeometry:
    """A block's ground; where whole rows are left free, what lies about the others."""
    outlines = [ring for ring in (block.outline, *block.further_outlines) if len(ring) >= 3]
    ground: BaseGeometry = MultiPolygon([Polygon(ring) for ring in outlines])
    if len(rows) == len(block.rows):
        return ground
    about = union_all(
        [
            LineString([row.start, row.end]).buffer(KEPT, cap_style="square", join_style="mitre")
            for row in rows
        ]
    )
    return ground.intersection(about.buffer(block.row_spacing).buffer(-block.row_spacing))
