"""The sun over a place: declination, day length, radiation at the top of the air."""

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

SOLAR_CONSTANT = 0.0820  # [MJ/m2/min] FAO56, equation 21
_HORIZON = np.radians(-0.8333)  # centre of the sun when its upper edge, bent by the air, touches the horizon


def declination(day_of_year: npt.ArrayLike) -> Array:
    """Declination of the sun. [rad]

    Parameters
    ----------
    day_of_year : array_like
        [d] 1 = 1 January, any shape.

    Notes
    -----
    Fourier series of Spencer (1971), source SPENCER1971.
    """
    angle = 2 * np.pi * (np.asarray(day_of_year, dtype=float) - 1) / 365
    series: Array = (
        0.006918
        - 0.399912 * np.cos(angle)
        + 0.070257 * np.sin(angle)
        - 0.006758 * np.cos(2 * angle)
        + 0.000907 * np.sin(2 * angle)
        - 0.002697 * np.cos(3 * angle)
        + 0.00148 * np.sin(3 * angle)
    )
    return series


def day_length(latitude: float, day_of_year: npt.ArrayLike) -> Array:
    """Hours from sunrise to sunset, refraction counted. [h]

    0 in the polar night, 24 in the polar day.

    Parameters
    ----------
    latitude : float
        [degrees north]
    day_of_year : array_like
        [d] any shape.

    Notes
    -----
    Hour angle of a sun at -0.8333 degrees (Almorox and others 2005, source ALMOROX2005).
    """
    north, sun = np.radians(latitude), declination(day_of_year)
    cosine = (np.sin(_HORIZON) - np.sin(north) * np.sin(sun)) / (np.cos(north) * np.cos(sun))
    hours: Array = 2 * np.degrees(np.arccos(np.clip(cosine, -1, 1))) / 15
    return hours


def declination_fao(day_of_year: npt.ArrayLike) -> Array:
    """Declination as FAO-56 has it, equation 24. [rad] Use it with the other FAO-56 equations only."""
    sine: Array = 0.409 * np.sin(2 * np.pi * np.asarray(day_of_year, dtype=float) / 365 - 1.39)
    return sine


def inverse_distance(day_of_year: npt.ArrayLike) -> Array:
    """Inverse relative distance from earth to sun, squared; FAO56 equation 23. [-]"""
    distance: Array = 1 + 0.033 * np.cos(2 * np.pi * np.asarray(day_of_year, dtype=float) / 365)
    return distance


def sunset_angle(latitude: float, day_of_year: npt.ArrayLike) -> Array:
    """Hour angle of the sunset without refraction; FAO56 equation 25. [rad]"""
    cosine = -np.tan(np.radians(latitude)) * np.tan(declination_fao(day_of_year))
    angle: Array = np.arccos(np.clip(cosine, -1, 1))
    return angle


def extraterrestrial_radiation(latitude: float, day_of_year: npt.ArrayLike) -> Array:
    """Radiation of a day at the top of the air; FAO56 equation 21. [MJ/m2/d]"""
    north, sun, sunset = (
        np.radians(latitude),
        declination_fao(day_of_year),
        sunset_angle(latitude, day_of_year),
    )
    height = sunset * np.sin(north) * np.sin(sun) + np.cos(north) * np.cos(sun) * np.sin(sunset)
    radiation: Array = 24 * 60 / np.pi * SOLAR_CONSTANT * inverse_distance(day_of_year) * height
    return radiation
