"""The light of one block's rows: what the wall catches, by hour, by zone, and at other spacings."""

import numpy as np

from topwire.layout.bearing import mixed_light
from topwire.layout.findings import BlockLight, RowRule, SpacingLight
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
from topwire.layout.spacing import RowBounds
from topwire.layout.sunpath import season_sun
from topwire.values.terms import compass

MIDSUMMER = 172  # 21 June


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
    left = bearing % 180.0 - 90.0
    return BlockLight(
        leaf_area_index=wall.leaf_area_index,
        beam=season_caught(wall, *sun, bearing),
        diffuse=diffuse_caught(wall),
        beam_leaves=direct.caught,
        diffuse_leaves=sky.caught,
        zones=_mean3(direct, sky),
        sides=((direct.sides[0] + sky.sides[0]) / 2, (direct.sides[1] + sky.sides[1]) / 2),
        facing=(compass(left), compass(left + 180.0)),
        hours=hours,
        by_hour=by_hour,
        spacings=_spacings(wall, coarse, bearing, bounds, tree_height),
    )


def _spacings(
    wall: Wall, sun: tuple[Array, Array], bearing: float, bounds: RowBounds, tree_height: float
) -> tuple[SpacingLight, ...]:
    listed = [
        (wall.pitch, RowRule.TAKEN),
        (bounds.machine, RowRule.MACHINE),
        (tree_height, RowRule.HEIGHT),
        (bounds.tight, RowRule.TIGHT),
        (bounds.roomy, RowRule.ROOMY),
    ]
    found = []
    for pitch, rule in listed:
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
        found.append(SpacingLight(other.pitch, rule, caught, base))
    return tuple(found)


def _mean3(direct: ZoneLight, sky: ZoneLight) -> tuple[float, float, float]:
    """Half direct, half diffuse, zone by zone."""
    top, middle, bottom = ((a + b) / 2 for a, b in zip(direct.zones, sky.zones, strict=True))
    return (top, middle, bottom)
