"""Where the sun stands at a moment, to about 0.01 degree: low-precision series of Meeus (1998), source MEEUS1998."""

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

_EPOCH = np.datetime64("2000-01-01T12:00:00", "s")  # J2000.0
_DELTA_T = 69.0  # [s] dynamical minus universal time about 2020; ten seconds shift the sun by 0.0001 degree


def sun_position(moment: npt.ArrayLike, latitude: float, longitude: float) -> tuple[Array, Array]:
    """True elevation and azimuth of the sun's centre, air left out. ([degrees], [degrees from north over east])

    Parameters
    ----------
    moment : array_like of datetime64
        Universal time, any shape.
    latitude, longitude : float
        [degrees north], [degrees east]
    """
    seconds = (np.asarray(moment, dtype="datetime64[s]") - _EPOCH).astype(float)
    days = seconds / 86400
    century = (seconds + _DELTA_T) / 86400 / 36525

    # Meeus chapter 25: mean longitude and anomaly, equation of the centre, apparent longitude
    longitude_mean = 280.46646 + century * (36000.76983 + 0.0003032 * century)
    anomaly = np.radians(357.52911 + century * (35999.05029 - 0.0001537 * century))
    centre = (
        (1.914602 - century * (0.004817 + 0.000014 * century)) * np.sin(anomaly)
        + (0.019993 - 0.000101 * century) * np.sin(2 * anomaly)
        + 0.000289 * np.sin(3 * anomaly)
    )
    node = np.radians(125.04 - 1934.136 * century)
    apparent = np.radians(longitude_mean + centre - 0.00569 - 0.00478 * np.sin(node))
    tilt = np.radians(23.4392911 - 0.0130042 * century + 0.00256 * np.cos(node))
    declination = np.arcsin(np.sin(tilt) * np.sin(apparent))
    ascension = np.arctan2(np.cos(tilt) * np.sin(apparent), np.cos(apparent))

    # Meeus chapter 12: sidereal time at Greenwich, then chapter 13: from the hour angle to the horizon
    sidereal = 280.46061837 + 360.98564736629 * days
    sidereal = sidereal - 0.00478 * np.sin(node) * np.cos(tilt)
    hour_angle = np.radians(sidereal + longitude) - ascension
    north = np.radians(latitude)
    sine = np.sin(north) * np.sin(declination) + np.cos(north) * np.cos(declination) * np.cos(hour_angle)
    elevation: Array = np.degrees(np.arcsin(np.clip(sine, -1, 1)))
    west = np.arctan2(
        np.sin(hour_angle), np.cos(hour_angle) * np.sin(north) - np.tan(declination) * np.cos(north)
    )
    azimuth: Array = (np.degrees(west) + 180) % 360
    return elevation, azimuth
