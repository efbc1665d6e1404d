"""What the surveyed ground has to tell: alleys, slopes, dark walls, and what was assumed."""

from collections.abc import Sequence

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.layout import bearing as bearings
from topwire.layout import spacing as room
from topwire.layout.pitch import ABOVE_WIRE, LOWEST_LEAVES, tape, wall_of
from topwire.layout.result import GroundBlock
from topwire.notices import Notice, assumption, caution, remark, warning
from topwire.plan.model import Plan
from topwire.plan.standing import StandingTree

LONGEST_ROW = 150.0  # [m] longer ones want a cross alley: common practice, no source


def block_notices(
    plan: Plan,
    catalogue: Catalogue,
    block: GroundBlock,
    where: str,
    taken: bearings.Weighed,
    stated: float | None,
    standing: Sequence[StandingTree],
) -> list[Notice]:
    system = plan.unit_system
    found: list[Notice] = []
    here = [tree for tree in standing if tree.block == block.name]
    raw = next(item for item in plan.ground.blocks if item.name == block.name)
    open_choices = [
        name
        for name, value in (
            ("row_bearing", raw.row_bearing),
            ("tree_spacing", raw.tree_spacing or plan.trees.tree_spacing),
            ("row_spacing", raw.row_spacing or plan.trees.row_spacing),
        )
        if value == "choose"
    ]
    if here and open_choices:
        found.append(
            assumption(
                where,
                f"trees stand here already, but {', '.join(open_choices)} of the block is left open: their "
                "places follow from what was chosen.",
                "State it as the block was planted, then addresses keep their places.",
            )
        )
    if raw.rectangle is not None and stated is None:
        found.append(
            assumption(
                where,
                f"its bearing is not stated; it is laid along {taken.bearing:.0f} degrees, the best for light "
                "and slope.",
                "State row_bearing if the ground lies otherwise.",
            )
        )
    if block.along_fence or not block.rows:
        return found
    wall = wall_of(plan, catalogue, block.row_spacing)
    ratio = wall.height / wall.alley if wall.alley > 0 else np.inf
    machine = wall.alley - plan.ground.machine_width
    if machine < room.ROOM_BESIDE_MACHINE - 1e-6:
        found.append(
            warning(
                where,
                f"the alley is {tape(wall.alley, system)} clear of leaves, too narrow for a machine of "
                f"{tape(plan.ground.machine_width, system)} with room beside it.",
                "Widen row_spacing or use a narrower machine.",
            )
        )
    if ratio > room.DARK_BASE:
        found.append(
            warning(
                where,
                f"the wall is {ratio:.1f} times as high as its alley is wide: its lower part will be dark.",
                "Widen row_spacing or lower the top wire.",
                "CO06",
            )
        )
    elif ratio < room.WASTED_LIGHT:
        found.append(
            remark(
                where, f"the wall is {ratio:.1f} times as high as its alley is wide: light falls on grass."
            )
        )
    if not taken.allowed:
        found.append(
            warning(
                where,
                f"rows climb {taken.climb:.0%}; wheel tracks up and down a slope wash out.",
                f"Rows along the contour run at {(block.slope_bearing + 90) % 180:.0f} degrees.",
                "PSU-TFPG",
            )
        )
    if taken.tilt > bearings.SIDE_SLOPE:
        found.append(
            caution(
                where,
                f"alleys tilt {taken.tilt:.0%} sideways; tractors and platforms can roll over above 10 to 12 %.",
                "Ask the makers of your machines what side slope they allow, and drive no platform here before.",
            )
        )
    longest = max(row.length for row in block.rows)
    if longest > LONGEST_ROW:
        found.append(
            remark(
                where,
                f"rows are up to {tape(longest, system)} long; a cross alley would shorten the ways.",
            )
        )
    found.append(remark(where, f"spacing: {block.spacing_reason}.", source="FW"))
    stated_headland = plan.ground.headland if raw.headland is None else raw.headland
    if stated_headland < 6.0:
        found.append(
            remark(
                where,
                f"the headland is {tape(stated_headland, system)}; a narrow tractor with a sprayer turns "
                f"in about {tape(6.0, system)} to {tape(8.0, system)}, and an anchor takes up to "
                f"{tape(3.0, system)} beyond the end post.",
            )
        )
    return found


def general_notices(plan: Plan) -> list[Notice]:
    height = plan.trellis.wire_heights[-1] + ABOVE_WIRE
    found = [
        assumption(
            "ground",
            f"each block is one even slope; the leaf wall is taken {tape(height, plan.unit_system)} high, from "
            f"{tape(min(LOWEST_LEAVES, height / 2), plan.unit_system)} above the ground, and "
            "opaque when bearings are compared.",
        ),
        assumption(
            "ground",
            "half of the season's light is taken as direct, half as from the sky.",
            "Sunnier places lose more by rows that do not run north-south.",
        ),
    ]
    if len(plan.ground.blocks) > 1:
        found.append(
            assumption("ground", "heights are counted from each block's first corner, not between blocks.")
        )
    return found
