"""Wind on a leafed row: pressure, drag, shelter, and what each wire takes of it.

Speeds in the ASCE form are three-second gusts at 10 m; speeds in the European form are ten-minute means. They must not
be mixed: in open country a gust is about 1.4 to 1.5 times the mean.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

AIR = 0.613  # [kg/m3] half the density of air, ASCE 7
DIRECTIONALITY = 0.85  # walls and signs, ASCE 7 (MEMORY)
# C = force coefficient times gust factor on the gross band of leaves: low, middle, high. Nobody has measured a
# fruiting wall; crowns in tunnels gave 0.15-0.47 on still-air area, code values of porous walls about 1.
DRAG = (0.3, 0.5, 0.8)
# Pressure kept behind a neighbouring row, from wind speeds between trees (DIERICKX03): below 1.5 m, to 2.5 m, above.
SHELTER_STEPS = ((1.5, 0.4), (2.5, 0.65), (np.inf, 1.0))


class WindExposure(StrEnum):
    """Exposure categories of ASCE 7."""

    B = "B"
    C = "C"
    D = "D"


@dataclass(frozen=True)
class Terrain:
    """A terrain category of EN 1991-1-4: roughness length and lowest height of the formula."""

    roughness: float  # [m]
    lowest: float  # [m]


TERRAINS = {
    "0": Terrain(0.003, 1.0),
    "I": Terrain(0.01, 1.0),
    "II": Terrain(0.05, 2.0),
    "III": Terrain(0.3, 5.0),
    "IV": Terrain(1.0, 10.0),
}
_EXPONENT_2016 = {WindExposure.B: (7.0, 1200.0), WindExposure.C: (9.5, 900.0), WindExposure.D: (11.5, 700.0)}


def exposure_coefficient(height: npt.ArrayLike, exposure: WindExposure) -> Floats:
    """Kz of ASCE 7-05 to 7-16 at `height` [m]; constant below 4.57 m, so one number for a canopy. [ASCE7-16]"""
    alpha, gradient = _EXPONENT_2016[exposure]
    z = np.maximum(np.asarray(height, dtype=float), 4.57)
    return np.asarray(2.01 * (z / (gradient * 0.3048)) ** (2 / alpha))


def elevation_factor(elevation: npt.ArrayLike) -> Floats:
    """Ke: thinner air at `elevation` [m] above the sea. [ASCE7-16]"""
    return np.asarray(np.exp(-0.000119 * np.asarray(elevation, dtype=float)))


def slope_speed_up(slope: npt.ArrayLike) -> Floats:
    """Kzt at the crest of an escarpment whose upper half has this `slope` [rise over run]. [ASCE7-16]

    The code asks for it from H/Lh = 0.2 (a mean slope of 10 %) and caps H/Lh at 0.5. K1 = 0.85 H/Lh, K2 = K3 = 1,
    the crest being the worst place; a plan states no hill height.
    """
    steepness = 2 * np.asarray(slope, dtype=float)
    return np.asarray(np.where(steepness < 0.2, 1.0, (1 + 0.85 * np.minimum(steepness, 0.5)) ** 2))


@dataclass(frozen=True)
class HillShape:
    """Topographic parameters of ASCE 7 for one form of rise. [ASCE7-16, MEMORY]"""

    steepness: dict[WindExposure, float]  # K1 over H/Lh
    fading: float  # gamma of K3
    reach: float  # mu of K2, the farther-reaching side of the crest


_B, _C, _D = WindExposure.B, WindExposure.C, WindExposure.D
HILL_SHAPES = {
    "ridge": HillShape({_B: 1.30, _C: 1.45, _D: 1.55}, 3.0, 1.5),
    "escarpment": HillShape({_B: 0.75, _C: 0.85, _D: 0.95}, 2.5, 4.0),
    "hill": HillShape({_B: 0.95, _C: 1.05, _D: 1.15}, 4.0, 1.5),
}
LEAST_RISE = {_B: 18.3, _C: 4.6, _D: 4.6}  # [m] lower ones are left out by the code (60 and 15 ft)


def hill_speed_up(
    shape: HillShape,
    exposure: WindExposure,
    *,
    rise: float,
    half_length: float,
    distance: float,
    height: float,
) -> float:
    """Kzt = (1 + K1 K2 K3)^2 of a `rise` [m] with its `half_length` Lh [m]. [ASCE7-16, MEMORY]

    `distance` [m] from the crest, to either side: the storm may come from either, so the side where the speed-up
    reaches farther is taken. `height` [m] above the ground. H/Lh is capped at 0.5, with Lh = 2 H beyond it.
    """
    steep = rise / half_length
    if steep < 0.2 or rise < LEAST_RISE[exposure]:
        return 1.0
    long = half_length if steep <= 0.5 else 2 * rise
    k1 = shape.steepness[exposure] * min(steep, 0.5)
    k2 = max(1 - distance / (shape.reach * long), 0.0)
    k3 = float(np.exp(-shape.fading * height / long))
    return (1 + k1 * k2 * k3) ** 2


def gust_pressure(
    gust: npt.ArrayLike,
    *,
    coefficient: npt.ArrayLike,
    topography: npt.ArrayLike = 1.0,
    elevation: npt.ArrayLike = 0.0,
) -> Floats:
    """Velocity pressure [Pa] of a three-second `gust` [m/s]: 0.613 Kz Kzt Kd Ke V^2. [ASCE7-16]"""
    speed = np.asarray(gust, dtype=float)
    return np.asarray(
        AIR
        * np.asarray(coefficient)
        * np.asarray(topography)
        * DIRECTIONALITY
        * elevation_factor(elevation)
        * speed**2
    )


def return_factor(years: npt.ArrayLike) -> Floats:
    """Gust of a return period over that of 50 years, outside hurricane country. [ASCE7-16 commentary, MEMORY]"""
    return np.asarray(0.36 + 0.1 * np.log(12 * np.asarray(years, dtype=float)))


def chance_within(years: npt.ArrayLike, life: float) -> Floats:
    """Chance that the storm of a return period [years] comes within `life` [years]."""
    return np.asarray(1 - (1 - 1 / np.asarray(years, dtype=float)) ** life)


def peak_pressure(
    mean_wind: npt.ArrayLike, height: npt.ArrayLike, terrain: Terrain, orography: float = 1.0
) -> Floats:
    """Peak velocity pressure [Pa] of EN 1991-1-4 from a ten-minute `mean_wind` [m/s]. [EN1991-1-4, 4.3-4.5]

    `orography` is c_o: it speeds the mean up, and leaves the gusts on it as they are: Iv = 1 / (c_o ln(z/z0)).
    """
    z = np.maximum(np.asarray(height, dtype=float), terrain.lowest)
    log_height = np.log(z / terrain.roughness)
    roughness = 0.19 * (terrain.roughness / 0.05) ** 0.07 * log_height
    mean = roughness * orography * np.asarray(mean_wind)
    return np.asarray((1 + 7 / (orography * log_height)) * 0.5 * 1.25 * mean**2)


def season_factor(years: npt.ArrayLike) -> Floats:
    """c_prob of EN 1991-1-4: ten-minute mean of a return period over that of 50 years (K 0.2, n 0.5)."""
    p = 1 / np.asarray(years, dtype=float)
    return np.asarray(np.sqrt((1 - 0.2 * np.log(-np.log(1 - p))) / (1 - 0.2 * np.log(-np.log(0.98)))))


def normal_share(angle: npt.ArrayLike) -> Floats:
    """Share of the pressure that acts across the row, wind at `angle` [deg] from broadside: cos^2."""
    return np.asarray(np.cos(np.radians(np.asarray(angle, dtype=float))) ** 2)


def shelter(height: npt.ArrayLike) -> Floats:
    """Pressure left at `height` [m] in an inner row, share of the outer row's."""
    z = np.asarray(height, dtype=float)
    result = np.full(z.shape, SHELTER_STEPS[-1][1])
    for limit, factor in reversed(SHELTER_STEPS[:-1]):
        result = np.where(z < limit, factor, result)
    return result


def band_strips(low: float, high: float, *, inner: bool) -> tuple[Floats, Floats, Floats]:
    """Strips of even pressure of a canopy from `low` to `high` [m]: bottoms, tops, pressure shares."""
    cuts = [low, *(step for step, _ in SHELTER_STEPS if low < step < high), high]
    bottoms, tops = np.asarray(cuts[:-1]), np.asarray(cuts[1:])
    shares = shelter((bottoms + tops) / 2) if inner else np.ones(len(bottoms))
    return bottoms, tops, shares


def band_force(low: float, high: float, *, inner: bool) -> tuple[float, float]:
    """Force and ground moment of a canopy band per metre of row and per Pa of C q: [m], [m2]."""
    bottoms, tops, shares = band_strips(low, high, inner=inner)
    return float((shares * (tops - bottoms)).sum()), float((shares * (tops**2 - bottoms**2)).sum() / 2)


def wire_shares(heights: Sequence[float], low: float, high: float, *, inner: bool) -> Floats:
    """Load per metre of each wire, lowest first, for 1 Pa of C q on the band `low` to `high` [N/m per Pa = m].

    A trunk between two wires hands its load to them by the lever; below the lowest wire the ground takes its share at
    no moment; above the top wire the lever runs on, so the top wire takes more than its own and the one below it is
    relieved. The sum of share times height is therefore the moment of the band about the ground.
    """
    levels = np.concatenate([[0.0], np.asarray(heights, dtype=float)])
    loads = np.zeros(len(levels))
    bottoms, tops, shares = band_strips(low, high, inner=inner)
    for bottom, top, share in zip(bottoms, tops, shares, strict=True):
        inside = [float(level) for level in levels if bottom < level < top]
        edges = np.asarray([bottom, *inside, top])
        for a, b in pairwise(edges.tolist()):
            middle, load = (a + b) / 2, share * (b - a)
            upper = int(np.clip(np.searchsorted(levels, middle), 1, len(levels) - 1))
            lever = (middle - levels[upper - 1]) / (levels[upper] - levels[upper - 1])
            loads[upper] += load * lever
            loads[upper - 1] += load * (1 - lever)
    return loads[1:]


def end_force(pressure: npt.ArrayLike, *, height: float, width: float, length: float) -> Floats:
    """Force of wind along the row on its whole length [N]: the end face and friction on both sides.

    The end face has drag 1; friction 0.04 of the pressure on both sides (very rough, EN 1991-1-4 7.5, MEMORY).
    """
    return np.asarray(np.asarray(pressure, dtype=float) * height * (width + 0.04 * 2 * length))
