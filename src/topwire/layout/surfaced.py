"""Blocks on a measured surface: their slopes taken from it, and what it has to tell."""

from dataclasses import replace

import numpy as np

from topwire.layout.asked import GroundQuestion
from topwire.layout.blocks import place_blocks
from topwire.layout.findings import Ground
from topwire.layout.surface import Surface, lie_of, profile
from topwire.values.address import row_name
from topwire.values.notice import Measured, Notice, assumption, caution, warning
from topwire.values.units import Kind

DEEP = 0.3  # [m] of a hollow that is told, for cold air and under a wire: a modelling choice, no source


def on_surface(asked: GroundQuestion) -> tuple[GroundQuestion, Surface | None]:
    """The question with every block's slope from the height points, and the surface through them."""
    if not asked.heights:
        return asked, None
    # where a block lies does not hang on its slope, but for a bearing left open, which then turns about the corner
    placed, _ = place_blocks(asked, free_bearing={})
    corner = placed[0].first_corner
    points = np.array(asked.heights) + np.array([*corner, 0.0])
    surface = Surface(points).above(corner)
    lies = {item.block.name: lie_of(surface, item.shape) for item in placed if not item.shape.is_empty}
    blocks = tuple(
        replace(block, slope=lies[block.name].slope, slope_bearing=lies[block.name].bearing)
        if block.name in lies
        else block
        for block in asked.blocks
    )
    return replace(asked, blocks=blocks), surface


def surface_notices(asked: GroundQuestion, ground: Ground, surface: Surface) -> list[Notice]:
    """What the surface rests on, hollows under rows, hollows without a way out for cold air."""
    setting = "ground.heights"
    found = [assumption("ground.surface", setting=setting, points=len(surface.points))]
    sunk: list[str] = []
    deepest = 0.0
    for block in ground.blocks:
        for row in block.rows:
            sag = profile(surface, row.start, row.end).sag
            if sag > DEEP:
                sunk.append(row_name(row.block, row.number))
                deepest = max(deepest, sag)
    if sunk:
        found.append(
            caution("ground.hollow_under_wires", setting=setting, concerns=sunk, depth=_height(deepest))
        )
    cold = np.flatnonzero(ground.pool_depth > DEEP)
    if cold.size:
        worst = int(cold[int(np.argmax(ground.pool_depth[cold]))])
        rows = dict.fromkeys(
            row_name(at.block, at.row) for at in (ground.address(int(index)) for index in cold)
        )
        found.append(
            warning(
                "ground.cold_hollow",
                setting=setting,
                concerns=list(rows),
                places=int(cold.size),
                depth=_height(float(ground.pool_depth[worst])),
                worst=str(ground.address(worst)),
            )
        )
    return found


def _height(metres: float) -> Measured:
    return Measured(metres, Kind.LENGTH, 1)
