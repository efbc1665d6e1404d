"""Light on a row along a fence or wall, and the open ground whose trees would catch as much of it.

Crop goes with the light that leaves catch (Monteith 1977; for apple FW, JP72). A row in an orchard catches what falls
on its share of ground; a row along a fence catches what falls on its lit side or sides. Its crop is therefore that of
open ground as wide as gives the same light, whatever row spacing a plan states.
"""

from dataclasses import dataclass

import numpy as np

from topwire.layout.bearing import BEST_LIGHT, DIFFUSE_SHARE
from topwire.layout.light import LOWEST_SUN, Array, clear_sky_beam
from topwire.layout.sunpath import path
from topwire.values.quantities import Degrees, Hours, Metres, Share
from topwire.values.terms import FenceColour, FenceKind, FenceShade
from topwire.weather.sun import declination

LEAVES_TAKE = (
    0.8  # of the light on a thin leaf wall: extinction 0.6, 2.7 m2 of leaves a m2 of wall (proposal)
)
GROUND_GIVES_BACK = 0.2  # albedo of grass and bare soil; common practice, no source
GIVES_BACK = {
    FenceColour.PALE: 0.7,
    FenceColour.BRICK: 0.3,
    FenceColour.DARK: 0.1,
}  # common practice, no source
SHADED_SKY = 0.75  # of the sky left where something high shades for a part of the day (proposal)
MOST_SHADED_SKY = 0.5  # (proposal)
SUNLESS = (
    0.42  # share of open ground’s light on the lit side below which apples bear and colour poorly (proposal)
)
_MONTHS = {"spring": (105, 135), "summer": (166, 196), "autumn": (244, 274)}  # days of the year
_SEASON = (105, 135, 166, 196, 227, 258)
_DARK_HOURS = {
    FenceShade.MORNING: ((0.0, 11.0),),
    FenceShade.MIDDAY: ((10.5, 14.5),),
    FenceShade.AFTERNOON: ((13.0, 24.0),),
    FenceShade.MOST: ((0.0, 11.0), (13.0, 24.0)),
}


@dataclass(frozen=True)
class SideLight:
    """Light on an upright square metre that faces one way, as a share of that on level open ground.

    Attributes
    ----------
    facing : [deg from north]
    season : mid-April to mid-September; then mid-April and mid-May, June and July, September
    sun_hours : of direct sun on 21 June [h]
    """

    facing: Degrees
    season: Share
    spring: Share
    summer: Share
    autumn: Share
    sun_hours: Hours


def side_light(latitude: float, facing: float, shade: FenceShade = FenceShade.NONE) -> SideLight:
    """Of an upright surface; `latitude`, `facing` [deg]."""

    def of(days: tuple[int, ...]) -> float:
        return _share(latitude, facing, shade, days)

    elevation, azimuth = path(latitude, declination((172,)))
    lit = (
        (np.cos(azimuth - np.radians(facing)) > 0) & (elevation > LOWEST_SUN) & (_sunny(shade, elevation) > 0)
    )
    return SideLight(
        facing, of(_SEASON), of(_MONTHS["spring"]), of(_MONTHS["summer"]), of(_MONTHS["autumn"]),
        float(lit.mean() * 24.0),
    )  # fmt: skip


def _share(latitude: float, facing: float, shade: FenceShade, days: tuple[int, ...]) -> float:
    """Direct, sky and given-back light on an upright square metre over light on a level one.

    The beam on an upright surface is that on the level times cot(elevation) times the cosine between sun and side; of
    an evenly bright sky it sees half (isotropic, as in Liu and Jordan 1963).
    """
    elevation, azimuth = path(latitude, declination(days))
    level = clear_sky_beam(elevation)
    turned = np.clip(np.cos(azimuth - np.radians(facing)), 0.0, None)
    upright = level / np.tan(np.clip(elevation, LOWEST_SUN, None)) * turned * _sunny(shade, elevation)
    beam = float(upright.sum() / level.sum())
    sky = {FenceShade.NONE: 1.0, FenceShade.MOST: MOST_SHADED_SKY}.get(shade, SHADED_SKY)
    return (1 - DIFFUSE_SHARE) * beam + 0.5 * (DIFFUSE_SHARE * sky + GROUND_GIVES_BACK)


def _sunny(shade: FenceShade, elevation: Array) -> Array:
    """1 where the beam gets there, 0 in hours of shade; by solar time along the last axis."""
    moments = elevation.shape[-1]
    hour = (np.arange(moments) + 0.5) * 24.0 / moments
    lit = np.ones(moments)
    for first, last in _DARK_HOURS.get(shade, ()):
        lit[(hour >= first) & (hour < last)] = 0.0
    return lit


@dataclass(frozen=True)
class FenceRow:
    """What a row along a fence catches.

    Attributes
    ----------
    near, far : the side the trees stand on, and the light that comes through the fence from the other
    caught : light the leaves take on a metre of row, as metres of open ground
    width : of open ground whose orchard trees catch as much [m]
    """

    near: SideLight
    far: SideLight | None
    height: Metres
    caught: Metres
    width: Metres


def fence_row(
    latitude: float,
    facing: float,
    height: float,
    *,
    kind: FenceKind = FenceKind.OPEN,
    colour: FenceColour = FenceColour.BRICK,
    shade: FenceShade = FenceShade.NONE,
) -> FenceRow:
    """A leaf wall `height` [m] high on the side of a fence that looks to `facing` [deg from north]."""
    near = side_light(latitude, facing, shade)
    through = {FenceKind.OPEN: 1.0, FenceKind.SLATTED: 0.5, FenceKind.SOLID: 0.0, FenceKind.WALL: 0.0}[kind]
    far = side_light(latitude, (facing + 180.0) % 360.0, shade) if through else None
    back = 0.0 if kind is FenceKind.OPEN else GIVES_BACK[colour] * (1 - through)
    taken = LEAVES_TAKE + (1 - LEAVES_TAKE) * back * LEAVES_TAKE
    caught = height * (near.season * taken + (far.season * through * LEAVES_TAKE if far else 0.0))
    return FenceRow(near, far, height, caught, caught / BEST_LIGHT[0])
