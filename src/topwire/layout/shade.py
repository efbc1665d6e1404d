"""The light of one block's rows: what the wall catches, by hour, by zone, and at other spacings."""

import numpy as np

from topwire.layout.bearing import mixed_light
from topwire.layout.light import (
    Array,
    Wall,
    ZoneLight,
    beam_caught,
    beam_light,
    clear_sky_beam,
    diffuse_caught,
    diffuse_light,
    season_caught,
)
from topwire.layout.result import BlockLight, SpacingLight
from topwire.layout.spacing import RowBounds
from topwire.layout.sunpath import season_sun

MIDSUMMER = 172  # 21 June
_COMPASS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


def block_light(
    wall: Wall, *, latitude: float, bearing: float, bounds: RowBounds, tree_height: float
) -> BlockLight:
    """Light of a block whose rows run at `bearing` [deg], its wall as `wall`, over the growing season.

    `bounds` are the row spacings published rules and the machine ask for; they are shown beside the one taken.
    """
    sun = season_sun(latitude)
    day = season_sun(latitude, (MIDSUMMER,))
    coarse = (sun[0][:, ::3], sun[1][:, ::3])  # through leaves every 45 minutes tell enough
    direct, sky = beam_light(wall, *coarse, bearing), diffuse_light(wall)
    up = clear_sky_beam(day[0][0]) > 0
    hours = ((np.arange(day[0].shape[1]) + 0.5) * 24 / day[0].shape[1])[up]
    by_hour = np.stack([beam_caught(wall, day[0][0][up], day[1][0][up], row) for row in (bearing, 0.0, 90.0)])
    left = round(((bearing % 180.0) - 90.0) % 360.0 / 45.0) % 8
    return BlockLight(
        leaf_area_index=wall.leaf_area_index,
        beam=season_caught(wall, *sun, bearing),
        diffuse=diffuse_caught(wall),
        beam_leaves=direct.caught,
        diffuse_leaves=sky.caught,
        zones=_mean3(direct, sky),
        sides=((direct.sides[0] + sky.sides[0]) / 2, (direct.sides[1] + sky.sides[1]) / 2),
        side_names=(_COMPASS[left], _COMPASS[(left + 4) % 8]),
        hours=hours,
        by_hour=by_hour,
        spacings=_spacings(wall, coarse, bearing, bounds, tree_height),
    )


def _spacings(
    wall: Wall, sun: tuple[Array, Array], bearing: float, bounds: RowBounds, tree_height: float
) -> tuple[SpacingLight, ...]:
    listed = [
        (wall.pitch, "taken"),
        (bounds.machine, "the least the machine passes"),
        (tree_height, "as wide as the trees are high, common practice"),
        (bounds.tight, "tight: clear alley 0.9 times the height"),
        (bounds.roomy, "roomy: 1.3 times the height, 1.5 for rows running east-west"),
    ]
    found = []
    for pitch, why in listed:
        # the same trees: leaves over the ground thin out as rows move apart
        other = Wall(
            wall.base,
            wall.top,
            wall.width,
            max(pitch, wall.width),
            wall.leaf_area_index * wall.pitch / max(pitch, wall.width),
            wall.extinction,
        )
        _, caught = mixed_light(other, *sun, bearing)
        base = _mean3(beam_light(other, *sun, bearing), diffuse_light(other))[2]
        found.append(SpacingLight(other.pitch, why, caught, base))
    return tuple(found)


def _mean3(direct: ZoneLight, sky: ZoneLight) -> tuple[float, float, float]:
    """Half direct, half diffuse, zone by zone."""
    top, middle, bottom = ((a + b) / 2 for a, b in zip(direct.zones, sky.zones, strict=True))
    return (top, middle, bottom)
