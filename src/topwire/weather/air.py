"""The air: its pressure, its moisture, and the wind near the ground. Equations of FAO-56, source FAO56."""

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

WIND_HEIGHT = 2.0  # [m] height to which all wind is brought


def saturation_pressure(temperature: npt.ArrayLike) -> Array:
    """Vapour pressure of saturated air. [Pa] FAO56, equation 11.

    Parameters
    ----------
    temperature : array_like
        [deg C] any shape.
    """
    celsius = np.asarray(temperature, dtype=float)
    pressure: Array = 610.8 * np.exp(17.27 * celsius / (celsius + 237.3))
    return pressure


def saturation_slope(temperature: npt.ArrayLike) -> Array:
    """Slope of the saturation pressure with temperature. [Pa/K] FAO56, equation 13."""
    celsius = np.asarray(temperature, dtype=float)
    slope: Array = 4098 * saturation_pressure(celsius) / (celsius + 237.3) ** 2
    return slope


def mean_saturation_pressure(tmin: npt.ArrayLike, tmax: npt.ArrayLike) -> Array:
    """Saturation pressure of a day: mean of that of its two ends, which is above that of its mean. [Pa] Equation 12."""
    mean: Array = (saturation_pressure(tmin) + saturation_pressure(tmax)) / 2
    return mean


def vapour_pressure(temperature: npt.ArrayLike, humidity: npt.ArrayLike) -> Array:
    """Vapour pressure at one moment. [Pa]

    Parameters
    ----------
    temperature : array_like
        [deg C]
    humidity : array_like
        [%] relative humidity.
    """
    pressure: Array = saturation_pressure(temperature) * np.asarray(humidity, dtype=float) / 100
    return pressure


def dew_point(pressure: npt.ArrayLike) -> Array:
    """Temperature at which air of this vapour pressure is saturated. [deg C] Inverse of FAO56, equation 14.

    Parameters
    ----------
    pressure : array_like
        [Pa] vapour pressure; NaN where not above zero.
    """
    known = np.asarray(pressure, dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        logarithm = np.log(np.where(known > 0, known, np.nan) / 610.8)
    point: Array = 237.3 * logarithm / (17.27 - logarithm)
    return point


def relative_humidity(temperature: npt.ArrayLike, dew: npt.ArrayLike) -> Array:
    """Relative humidity. [%] Never above 100.

    Parameters
    ----------
    temperature, dew : array_like
        [deg C]
    """
    humidity: Array = np.minimum(100 * saturation_pressure(dew) / saturation_pressure(temperature), 100)
    return humidity


def air_pressure(elevation: npt.ArrayLike) -> Array:
    """Mean pressure of the air. [Pa] FAO56, equation 7.

    Parameters
    ----------
    elevation : array_like
        [m] above the sea.
    """
    height = np.asarray(elevation, dtype=float)
    pressure: Array = 101_300 * ((293 - 0.0065 * height) / 293) ** 5.26
    return pressure


def psychrometric_constant(pressure: npt.ArrayLike) -> Array:
    """Psychrometric constant. [Pa/K] FAO56, equation 8.

    Parameters
    ----------
    pressure : array_like
        [Pa] of the air.
    """
    constant: Array = 0.665e-3 * np.asarray(pressure, dtype=float)
    return constant


def wind_at_two_metres(speed: npt.ArrayLike, height: float) -> Array:
    """Wind at 2 m above short grass from wind at another height. [m/s] FAO56, equation 47.

    Parameters
    ----------
    speed : array_like
        [m/s]
    height : float
        [m] of the measurement.

    Raises
    ------
    ValueError
        Below 0.5 m, where the logarithmic profile does not hold.
    """
    if height < 0.5:
        raise ValueError(f"wind measured at {height} m: the profile holds from 0.5 m up")
    reduced = np.asarray(speed, dtype=float)
    if height != WIND_HEIGHT:
        reduced = reduced * 4.87 / np.log(67.8 * height - 5.42)
    return reduced
