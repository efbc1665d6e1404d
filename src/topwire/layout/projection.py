"""Longitude and latitude to metres on the ground and back.

Transverse Mercator on the WGS 84 ellipsoid, true to scale on the meridian of the orchard's own origin, so that a
few kilometres around it distances on the map are distances on the ground to a millimetre in a kilometre.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Ellipsoid:
    """Half the greater axis [m] and the squared eccentricity."""

    axis: float
    eccentricity2: float


WGS84 = Ellipsoid(6378137.0, 0.00669437999014)


def to_metres(
    longitude: npt.ArrayLike,
    latitude: npt.ArrayLike,
    *,
    origin: tuple[float, float],
    scale: float = 1.0,
    ellipsoid: Ellipsoid = WGS84,
) -> tuple[Array, Array]:
    """Metres east and north of `origin`.

    Parameters
    ----------
    longitude, latitude : [deg], any shape
    origin : (longitude, latitude) [deg]
    scale : on the origin's meridian; 1 on the ground of an orchard, 0.9996 on the maps of the world grid

    Returns
    -------
    east, north : [m]

    Notes
    -----
    Snyder (1987), equations 3-21 and 8-9 to 8-15 (source SNYDER87).
    """
    away = (
        np.asarray(longitude, float) - origin[0] + 180.0
    ) % 360.0 - 180.0  # the nearer way around the globe
    phi, phi0 = np.radians(np.asarray(latitude, float)), np.radians(origin[1])
    e2 = ellipsoid.eccentricity2
    ep2 = e2 / (1 - e2)
    sin, cos, tan = np.sin(phi), np.cos(phi), np.tan(phi)
    n = ellipsoid.axis / np.sqrt(1 - e2 * sin**2)
    t, c, a = tan**2, ep2 * cos**2, np.radians(away) * cos
    arc = _meridian(phi, ellipsoid) - _meridian(np.asarray(phi0), ellipsoid)
    east = scale * n * (a + (1 - t + c) * a**3 / 6 + (5 - 18 * t + t**2 + 72 * c - 58 * ep2) * a**5 / 120)
    north = scale * (
        arc
        + n
        * tan
        * (
            a**2 / 2
            + (5 - t + 9 * c + 4 * c**2) * a**4 / 24
            + (61 - 58 * t + t**2 + 600 * c - 330 * ep2) * a**6 / 720
        )
    )
    return east, north


def to_degrees(
    east: npt.ArrayLike,
    north: npt.ArrayLike,
    *,
    origin: tuple[float, float],
    ellipsoid: Ellipsoid = WGS84,
) -> tuple[Array, Array]:
    """Longitude and latitude [deg] of points `east`, `north` [m] of `origin`; inverse of :func:`to_metres`.

    Notes
    -----
    Snyder (1987), equations 3-26 and 8-17 to 8-25 (source SNYDER87).
    """
    x, y = np.asarray(east, float), np.asarray(north, float)
    lam0, phi0 = np.radians(origin)
    e2, axis = ellipsoid.eccentricity2, ellipsoid.axis
    ep2 = e2 / (1 - e2)
    arc = _meridian(np.asarray(phi0), ellipsoid) + y
    mu = arc / (axis * (1 - e2 / 4 - 3 * e2**2 / 64 - 5 * e2**3 / 256))
    e1 = (1 - np.sqrt(1 - e2)) / (1 + np.sqrt(1 - e2))
    phi1 = (
        mu
        + (3 * e1 / 2 - 27 * e1**3 / 32) * np.sin(2 * mu)
        + (21 * e1**2 / 16 - 55 * e1**4 / 32) * np.sin(4 * mu)
        + (151 * e1**3 / 96) * np.sin(6 * mu)
        + (1097 * e1**4 / 512) * np.sin(8 * mu)
    )
    sin, cos, tan = np.sin(phi1), np.cos(phi1), np.tan(phi1)
    c, t = ep2 * cos**2, tan**2
    n = axis / np.sqrt(1 - e2 * sin**2)
    r = axis * (1 - e2) / (1 - e2 * sin**2) ** 1.5
    d = x / n
    phi = phi1 - n * tan / r * (
        d**2 / 2
        - (5 + 3 * t + 10 * c - 4 * c**2 - 9 * ep2) * d**4 / 24
        + (61 + 90 * t + 298 * c + 45 * t**2 - 252 * ep2 - 3 * c**2) * d**6 / 720
    )
    lam = (
        lam0
        + (
            d
            - (1 + 2 * t + c) * d**3 / 6
            + (5 - 2 * c + 28 * t - 3 * c**2 + 8 * ep2 + 24 * t**2) * d**5 / 120
        )
        / cos
    )
    return (np.degrees(lam) + 180.0) % 360.0 - 180.0, np.degrees(phi)


@dataclass(frozen=True)
class WorldGrid:
    """Points on the Universal Transverse Mercator grid, northern hemisphere: `zone` 1 to 60, `east`, `north` [m]."""

    zone: int
    east: Array
    north: Array


def world_grid(
    longitude: npt.ArrayLike, latitude: npt.ArrayLike, *, origin: tuple[float, float]
) -> WorldGrid:
    """Points of one orchard in the zone of its origin, so that a block on a zone's edge is not torn.

    Notes
    -----
    Zones of 6 degrees from 180 west, scale 0.9996 on the middle meridian, 500 km false easting (Snyder 1987, p. 57-58,
    source SNYDER87); zone 32 widened over south-west Norway.
    """
    zone = int((origin[0] + 180.0) // 6.0) % 60 + 1
    if 56.0 <= origin[1] < 64.0 and 3.0 <= origin[0] < 12.0:
        zone = 32
    east, north = to_metres(longitude, latitude, origin=(6.0 * zone - 183.0, 0.0), scale=0.9996)
    return WorldGrid(zone, east + 500_000.0, north)


def _meridian(phi: Array, ellipsoid: Ellipsoid) -> Array:
    """Length of the meridian from the equator to `phi` [rad], in metres (equation 3-21)."""
    e2 = ellipsoid.eccentricity2
    length = ellipsoid.axis * (
        (1 - e2 / 4 - 3 * e2**2 / 64 - 5 * e2**3 / 256) * phi
        - (3 * e2 / 8 + 3 * e2**2 / 32 + 45 * e2**3 / 1024) * np.sin(2 * phi)
        + (15 * e2**2 / 256 + 45 * e2**3 / 1024) * np.sin(4 * phi)
        - (35 * e2**3 / 3072) * np.sin(6 * phi)
    )
    return np.asarray(length)
