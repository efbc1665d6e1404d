"""How much light a fruit wall catches, hour by hour, and how much reaches its lower parts.

The orchard is an endless set of equal rows of rectangular cross-section: foliage from `base` to `top`, `width` thick,
repeated every `pitch`. Two pictures of the same wall: opaque (the geometry alone, an upper bound) and of leaves (the
beam fades with the length it runs through foliage). Sun positions come in as arrays; nothing here knows a date.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

SOLAR_CONSTANT = 1353.0  # [W/m2] as used with the air-mass formula below
LOWEST_SUN = np.radians(1.0)  # [rad] below it the beam carries nothing worth counting
LAYERS, RAYS = 15, 30


@dataclass(frozen=True)
class Wall:
    """A hedge of trees in cross-section.

    Attributes
    ----------
    base, top : [m] height of the lowest and highest foliage
    width : [m] thickness of the foliage across the row
    pitch : [m] row spacing
    leaf_area_index : [m2/m2] leaf area over the whole ground
    extinction : light faded per leaf area met, 0.5 for leaves at all angles (MEMORY), 0.6 in apple (J81)
    """

    base: float
    top: float
    width: float
    pitch: float
    leaf_area_index: float = 1.6
    extinction: float = 0.6

    @property
    def height(self) -> float:
        return self.top - self.base

    @property
    def alley(self) -> float:
        """[m] clear between the walls."""
        return self.pitch - self.width

    @property
    def fading(self) -> float:
        """[1/m] extinction times leaf area density."""
        return self.extinction * self.leaf_area_index * self.pitch / (self.width * self.height)


@dataclass(frozen=True)
class ZoneLight:
    """Light within the wall, as a share of open sky: means over the leaves of each third of the height.

    `zones` are top, middle, bottom; `sides` the left and right half of the wall (looking along the row bearing:
    of north-south rows west and east, of rows running east north and south).
    """

    caught: float  # share of the light on the ground's area that foliage takes
    zones: tuple[float, float, float]
    sides: tuple[float, float]


def clear_sky_beam(elevation: npt.ArrayLike) -> Array:
    """Direct light on the level under a clear sky [W/m2] for sun elevations [rad].

    1353 x 0.7^(m^0.678) x sin(elevation), m = 1/sin(elevation) (Meinel's form, MEMORY; source MEINEL76).
    """
    e = np.asarray(elevation, float)
    sine = np.sin(np.clip(e, LOWEST_SUN, None))
    beam = SOLAR_CONSTANT * 0.7 ** (sine**-0.678) * sine
    return np.asarray(np.where(e > LOWEST_SUN, beam, 0.0))


def across(elevation: npt.ArrayLike, azimuth: npt.ArrayLike, bearing: float) -> Array:
    """Sideways run of a sunbeam for each metre it falls, in the plane across the rows; positive = from the left.

    elevation, azimuth : [rad], azimuth from north, clockwise. bearing : [deg] of the rows.
    """
    e = np.clip(np.asarray(elevation, float), LOWEST_SUN, None)
    turn = np.asarray(azimuth, float) - np.radians(bearing)
    # the sun stands to the right for a positive sine, its beam then runs to the left
    return np.asarray(-np.sin(turn) / np.tan(e))


def beam_caught(wall: Wall, elevation: npt.ArrayLike, azimuth: npt.ArrayLike, bearing: float) -> Array:
    """Share of the direct beam an opaque wall takes, at each moment.

    min(1, (W + H |sin(azimuth - bearing)| / tan(elevation)) / R), after Jackson and Palmer (1972) (source JP72).
    """
    shadow = wall.width + wall.height * np.abs(across(elevation, azimuth, bearing))
    return np.asarray(np.minimum(1.0, shadow / wall.pitch))


def diffuse_caught(wall: Wall) -> float:
    """Share of the light of an evenly bright sky that an opaque wall takes: one less what the alley floor sees."""
    if wall.alley <= 0:
        return 1.0
    ratio = wall.height / wall.alley
    return float(1 - wall.alley / wall.pitch * (np.sqrt(1 + ratio**2) - ratio))


def season_caught(wall: Wall, elevation: npt.ArrayLike, azimuth: npt.ArrayLike, bearing: float) -> float:
    """Opaque share of the season's direct light: moments weighted by the clear-sky beam on the level."""
    weight = clear_sky_beam(elevation)
    return float(np.average(beam_caught(wall, elevation, azimuth, bearing), weights=weight))


def trace(wall: Wall, run: npt.ArrayLike, path: npt.ArrayLike) -> tuple[Array, Array]:
    """Light through leaves: parallel beams falling on endless rows, layer by layer.

    Parameters
    ----------
    run : (beams,) sideways metres for each metre down
    path : (beams,) metres of beam for each metre down, at least 1

    Returns
    -------
    caught : (beams,) share of the beam that foliage takes
    light : (beams, layers, 2) light met by leaves of each layer from the top, left and right half, as a share of
        the beam in the open

    Notes
    -----
    Beer's law along each ray; the length within foliage in each layer is exact, so low sun that crosses several rows
    in one layer is right too.
    """
    run, path = np.atleast_1d(np.asarray(run, float)), np.atleast_1d(np.asarray(path, float))
    step = wall.height / LAYERS
    starts = (np.arange(RAYS) + 0.5) / RAYS * wall.pitch
    edges = starts[None, :, None] + run[:, None, None] * (np.arange(LAYERS + 1) * step)[None, None, :]
    share = np.empty((2, run.size, RAYS, LAYERS))
    for side in range(2):
        filled = _within(edges - side * wall.width / 2, wall.width / 2, wall.pitch)
        moved = np.diff(edges, axis=2)
        middle = (edges[..., 1:] + edges[..., :-1]) / 2 - side * wall.width / 2
        bundle = wall.pitch / RAYS / 2  # a beam straight down the row: the share of the ray's own width
        beside = [_within(middle + way * bundle, wall.width / 2, wall.pitch) for way in (-1, 1)]
        still = (beside[1] - beside[0]) / (2 * bundle)
        with np.errstate(invalid="ignore", divide="ignore"):
            share[side] = np.where(np.abs(moved) > 1e-9, np.diff(filled, axis=2) / moved, still)
    depth = wall.fading * step * path[:, None, None] * share.sum(axis=0)
    before = np.exp(-(np.cumsum(depth, axis=2) - depth))
    taken = before * -np.expm1(-depth)
    # mean light along the part of a ray inside the layer
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = np.where(depth > 1e-12, taken / depth, before)
    within = share.sum(axis=2)
    met = (mean[None] * share).sum(axis=2)
    with np.errstate(invalid="ignore", divide="ignore"):
        light = np.where(within > 0, met / within, np.nan)
    return taken.sum(axis=(1, 2)) / RAYS, np.moveaxis(light, 0, -1)


def beam_light(wall: Wall, elevation: npt.ArrayLike, azimuth: npt.ArrayLike, bearing: float) -> ZoneLight:
    """Direct light over many moments, through leaves, weighted by the clear-sky beam."""
    e, az = np.ravel(elevation), np.ravel(azimuth)
    up = e > LOWEST_SUN
    e, az = e[up].astype(float), az[up].astype(float)
    return _summed(wall, across(e, az, bearing), 1 / np.sin(e), clear_sky_beam(e))


def diffuse_light(wall: Wall) -> ZoneLight:
    """Light of an evenly bright sky, through leaves: the dome summed over 12 heights and 12 directions.

    One half of the dome, cut across the rows, is enough: the other is its mirror image along the row.
    """
    heights = (np.arange(12) + 0.5) / 12 * np.pi / 2
    turns = ((np.arange(12) + 0.5) / 12 - 0.5) * np.pi
    e, az = (grid.ravel() for grid in np.meshgrid(heights, turns, indexing="ij"))
    return _summed(wall, -np.sin(az) / np.tan(e), 1 / np.sin(e), np.sin(e) * np.cos(e))


def _summed(wall: Wall, run: Array, path: Array, weight: Array) -> ZoneLight:
    caught, light = trace(wall, run, path)
    weight = weight / weight.sum()
    # a beam that meets no leaf of a layer (it cannot, for endless rows seen at a slant) does not count there
    known = np.isfinite(light)
    total = (weight[:, None, None] * known).sum(axis=0)
    mean = (weight[:, None, None] * np.nan_to_num(light)).sum(axis=0) / np.maximum(total, 1e-12)
    third = LAYERS // 3
    thirds = [float(mean[i * third : (i + 1) * third].mean()) for i in range(3)]
    left, right = mean.mean(axis=0)
    return ZoneLight(
        float((caught * weight).sum()), (thirds[0], thirds[1], thirds[2]), (float(left), float(right))
    )


def _within(x: Array, width: float, pitch: float) -> Array:
    """Metres of foliage from 0 to `x` along a line across rows of `width` every `pitch`."""
    whole = np.floor(x / pitch)
    return whole * width + np.minimum(x - whole * pitch, width)
