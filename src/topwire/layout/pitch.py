"""The spacings of one block at one bearing, as the plan states them or chosen, and the wall they make."""

from dataclasses import dataclass

import numpy as np

from topwire.layout import bearing as bearings
from topwire.layout import spacing as room
from topwire.layout.asked import BlockAsked, GroundQuestion
from topwire.layout.fence import FenceRow, fence_row
from topwire.layout.findings import SpacingReason
from topwire.layout.light import Array, Wall
from topwire.values.traits import Grade

ABOVE_WIRE = 0.3  # [m] shoots stand above the top wire: common practice, no source
LOWEST_LEAVES = 0.5  # [m] trunk kept clear: common practice, no source


@dataclass(frozen=True)
class Spaced:
    trees: float
    rows: float
    reason: SpacingReason


def wall_of(asked: GroundQuestion, row_spacing: float) -> Wall:
    top = asked.top_wire + ABOVE_WIRE
    return Wall(min(LOWEST_LEAVES, top / 2), top, asked.training.canopy_width_m, row_spacing)


def bounds_of(asked: GroundQuestion, value: float) -> room.RowBounds:
    """Row spacings that published rules and the machine ask for, rows at bearing `value`."""
    return room.row_bounds(
        asked.top_wire + ABOVE_WIRE, asked.training.canopy_width_m, value, asked.machine_width
    )


def space(asked: GroundQuestion, block: BlockAsked, value: float, sun: tuple[Array, Array]) -> Spaced:
    """Spacings of a block at one bearing: as stated, or chosen."""
    training = asked.training
    trees = _between_trees(asked) if block.tree_spacing is None else block.tree_spacing
    bounds = bounds_of(asked, value)
    if block.along_fence:  # no row stands beside it: its ground is what its lit sides are worth
        options = [fence_light(asked, block, value).width]
    else:
        options = [block.row_spacing] if block.row_spacing is not None else _row_options(asked, bounds)
    rows = options[0]
    if len(options) > 1:
        light = [bearings.mixed_light(wall_of(asked, option), *sun, value)[1] for option in options]
        rows = min(
            zip(options, light, strict=True), key=lambda pair: (abs(pair[1] - room.LIGHT_WANTED), pair[0])
        )[0]
    return Spaced(
        trees,
        rows,
        SpacingReason(
            tree_stated=block.tree_spacing is not None,
            row_stated=block.row_spacing is not None,
            rootstock=asked.stock,
            stock_class=asked.stock_spacing.stock_class,
            training=training.training,
            row_from=options[0],
            row_to=options[-1],
            wall_height=asked.top_wire + ABOVE_WIRE,
            tight=bounds.tight,
            roomy=bounds.roomy,
        ),
    )


def fence_light(asked: GroundQuestion, block: BlockAsked, bearing: float) -> FenceRow:
    """Light on a row along a fence that runs at `bearing` [deg]: the side stated, else the sunnier of the two."""
    fence = block.fence
    top = asked.top_wire if fence.height is None else min(asked.top_wire, fence.height)
    height = top + ABOVE_WIRE - min(LOWEST_LEAVES, top / 2)

    def looking(facing: float) -> FenceRow:
        return fence_row(
            asked.latitude, facing % 360.0, height, kind=fence.kind, colour=fence.colour, shade=fence.shade
        )

    sides = [looking(bearing + 90.0), looking(bearing - 90.0)]
    side = fence.side
    if side is None:
        return max(sides, key=lambda one: one.near.season)
    return max(sides, key=lambda one: float(np.cos(np.radians(one.near.facing - side))))


def _between_trees(asked: GroundQuestion) -> float:
    distance = room.tree_distance(
        asked.stock_spacing,
        Grade.MEDIUM,
        asked.training,
        fertility=asked.fertility,
        sandy=asked.sandy,
        replant=asked.replant,
    )
    step = asked.tree_step
    return max(step, round(distance / step) * step)


def _row_options(asked: GroundQuestion, bounds: room.RowBounds) -> list[float]:
    """Row spacings [m] in whole steps that the training is published for and the machine passes."""
    step, training = asked.row_step, asked.training
    low = max(training.row_from_m, bounds.machine)
    high = max(training.row_to_m, low)
    steps = np.arange(np.ceil(low / step - 1e-6), np.floor(high / step + 1e-6) + 1) * step
    return [float(option) for option in steps] or [low]
