"""How much of the floor an apple tree on a dwarfing stock shades and roots, leaf by leaf.

No published curve for tall, narrow walls was found: the shares below are common practice and stand in one place so
that they can be argued with.
"""

from dataclasses import dataclass

import numpy as np

from topwire.values.arrays import Floats, Integers

GROWN_LEAF = 6  # the leaf from which a tree counts as full-grown
_HEIGHT_SHARE = np.array([0.45, 0.65, 0.85, 0.95, 1.0, 1.0])  # of the wall's height
_COVER_SHARE = np.array([0.12, 0.30, 0.55, 0.75, 0.90, 1.0])  # of the full cover
_ROOT_SHARE = np.array([0.40, 0.55, 0.70, 0.85, 1.0, 1.0])  # of the full root depth
_ROOT_RADIUS = np.array([0.30, 0.50, 0.75, 1.00, 1.30, 100.0])  # [m] of the ground explored about the trunk
WALL_WIDTH = 1.2  # [m] from side to side (1.2 to 1.8 m, FW read)
ROOT_DEPTH = 0.8  # [m] most that dwarf roots under drip use (0.4 to 0.8 m)
ROOTED_BARE = 0.8  # share of the floor full-grown roots explore with a bare alley
ROOTED_GRASS = 0.6  # and where grass holds the alley


@dataclass(frozen=True)
class Canopy:
    """A tree of one spacing at each leaf up to full growth; arrays (leaves,)."""

    leaf: Integers
    height: Floats  # [m]
    cover: Floats  # share of the floor under the crowns
    root_depth: Floats  # [m]
    rooted_share: Floats  # share of the floor
    root_radius: Floats  # [m] about the trunk; far beyond the tree's ground where roots have met everywhere


def canopy(
    *, wall_height: float, row_spacing: float, tree_spacing: float, soil_depth: float, grassed: bool
) -> Canopy:
    """Crown and roots by leaf.

    Parameters
    ----------
    wall_height, row_spacing, tree_spacing, soil_depth : float
        [m]
    grassed : bool
        Grass in the alleys.
    """
    full_cover = min(WALL_WIDTH / row_spacing, 0.75)
    full_rooted = ROOTED_GRASS if grassed else ROOTED_BARE
    full_depth = min(soil_depth, ROOT_DEPTH)
    floor = tree_spacing * row_spacing
    circle = np.pi * _ROOT_RADIUS**2 / floor
    # roots of neighbours meet in the row: beyond half the spacing only the width goes on growing
    strip = 2 * _ROOT_RADIUS / row_spacing
    rooted = np.minimum(np.minimum(circle, strip), full_rooted)
    return Canopy(
        np.arange(1, GROWN_LEAF + 1),
        wall_height * _HEIGHT_SHARE,
        full_cover * _COVER_SHARE,
        np.minimum(np.maximum(full_depth * _ROOT_SHARE, 0.3), full_depth),
        rooted,
        _ROOT_RADIUS,
    )
