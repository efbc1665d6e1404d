"""Which way the rows run: candidates weighed by the ground they plant, the light they catch, the slope they climb."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from topwire.layout.light import Array, Wall, diffuse_caught, season_caught

CONTOUR_FROM = (
    0.08  # slope from which rows follow the contour: common practice; contour rows on slopes (PSU-TFPG)
)
STEEPEST_ROW = 0.05  # rise along a row then allowed, against erosion: common practice, no source
SIDE_SLOPE = 0.11  # across the row, platforms and tractors: 10-12 %, common practice, no source
DIFFUSE_SHARE = 0.5  # of the season's light, cloudy sites 0.5-0.6: common practice, no source
BEST_LIGHT = (0.70, 0.75)  # share of light caught at which yield is full (FW)
LOSS_BEYOND = 1.0  # share of yield for each share of light above: a modelling choice, no source
BROADSIDE = (
    0.03  # share of its worth a row loses that takes the storms broadside: a modelling choice, no source
)


@dataclass(frozen=True)
class Weighed:
    """One bearing: what it holds and what it is worth.

    `score` is planted ground [m2] times the share of full yield its light gives.
    """

    bearing: float
    places: int
    beam: float
    light: float
    climb: float  # rise over run along the row, without sign
    tilt: float  # rise over run across the row, without sign
    score: float
    allowed: bool
    broadside: float | None = (
        None  # share of the storm wind's push that meets the row's side; None = wind not stated
    )


def candidates(slope: float, slope_bearing: float, long_axis: float) -> tuple[float, ...]:
    """Bearings [deg, 0 to 180) worth weighing: the compass, the long side and its square, along the contour."""
    wanted = [0.0, 90.0, 45.0, 135.0, long_axis, long_axis + 90.0]
    if slope > 0.01:
        wanted += [slope_bearing + 90.0, slope_bearing]
        wanted += [slope_bearing + 90.0 + turn for turn in (-30.0, 30.0)]
    return distinct(wanted)


def distinct(bearings: Iterable[float]) -> tuple[float, ...]:
    """Bearings as 0 to 180, those within 2 degrees of an earlier one left out."""
    kept: list[float] = []
    for bearing in bearings:
        turned = round(bearing % 180.0, 1) % 180.0
        if all(min(abs(turned - other), 180.0 - abs(turned - other)) > 2.0 for other in kept):
            kept.append(turned)
    return tuple(kept)


def climb_and_tilt(slope: float, slope_bearing: float, bearing: float) -> tuple[float, float]:
    """Rise over run along and across rows of `bearing`, without sign."""
    turn = np.radians(bearing - slope_bearing)
    return float(abs(slope * np.cos(turn))), float(abs(slope * np.sin(turn)))


def mixed_light(wall: Wall, elevation: Array, azimuth: Array, bearing: float) -> tuple[float, float]:
    """Share of direct, and of all, light an opaque wall takes over the season."""
    beam = season_caught(wall, elevation, azimuth, bearing)
    return beam, (1 - DIFFUSE_SHARE) * beam + DIFFUSE_SHARE * diffuse_caught(wall)


def yield_share(light: float) -> float:
    """Share of full yield at a share of light caught: in proportion to 0.70, level to 0.75, then falling."""
    low, high = BEST_LIGHT
    return min(light / low, 1.0) - LOSS_BEYOND * max(0.0, light - high)


def weigh(
    bearing: float,
    places: int,
    area: float,
    *,
    beam: float,
    light: float,
    slope: float,
    slope_bearing: float,
    wind_from: float | None = None,
) -> Weighed:
    """One bearing with its score; `area` [m2] is the ground its trees have, for light is caught by the ground.

    `wind_from` : [deg from north] where the storms come from, if stated; rows along it stand easier.
    """
    climb, tilt = climb_and_tilt(slope, slope_bearing, bearing)
    allowed = slope < CONTOUR_FROM or climb <= STEEPEST_ROW
    broadside = None if wind_from is None else float(np.sin(np.radians(bearing - wind_from)) ** 2)
    score = area * yield_share(light) * (1 - BROADSIDE * (broadside or 0.0))
    return Weighed(bearing, places, beam, light, climb, tilt, score, allowed, broadside)


def best(weighed: Iterable[Weighed]) -> Weighed:
    """The best allowed bearing; ties go to the one nearest north-south, then the smaller number."""
    found = list(weighed)
    allowed = [item for item in found if item.allowed] or found
    return max(
        allowed, key=lambda item: (round(item.score, 6), abs(np.cos(np.radians(item.bearing))), -item.bearing)
    )
