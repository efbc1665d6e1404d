"""The sun's path over a growing season at one latitude, in solar time: what light and bearings are weighed with."""

import numpy as np
import numpy.typing as npt

from topwire.weather.sun import declination

Array = npt.NDArray[np.float64]

SEASON = (141, 172, 202, 233, 264)  # 21 May, June, July, August, September
STEP = 0.25  # [h]


def season_sun(latitude: float, days: tuple[int, ...] = SEASON) -> tuple[Array, Array]:
    """Elevation and azimuth [rad], (days, moments), from midnight to midnight solar time.

    latitude : [deg]. days : days of the year. Azimuth from north, clockwise.
    """
    return path(latitude, declination(days))


def path(latitude: float, sun: npt.ArrayLike) -> tuple[Array, Array]:
    """The same for declinations `sun` [rad], (days,)."""
    lat = np.radians(latitude)
    decl = np.atleast_1d(np.asarray(sun, float))[:, None]
    angle = np.radians(15.0 * (np.arange(STEP / 2, 24, STEP) - 12.0))[None, :]
    sine = np.sin(lat) * np.sin(decl) + np.cos(lat) * np.cos(decl) * np.cos(angle)
    elevation = np.arcsin(np.clip(sine, -1, 1))
    east = -np.cos(decl) * np.sin(angle)
    north = np.sin(decl) * np.cos(lat) - np.cos(decl) * np.cos(angle) * np.sin(lat)
    return elevation, np.arctan2(east, north) % (2 * np.pi)
