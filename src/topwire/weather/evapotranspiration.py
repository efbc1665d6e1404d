"""Evapotranspiration of the reference grass: FAO-56 Penman-Monteith by day and hour, Hargreaves beside it.

Where a station lacks moisture, wind or sun, the rules of FAO-56 for missing data stand in, and the result says on which
days. Sources FAO56 and HARGREAVES1985.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.weather.air import (
    air_pressure,
    mean_saturation_pressure,
    psychrometric_constant,
    saturation_pressure,
    saturation_slope,
)
from topwire.weather.radiation import (
    clear_sky_radiation,
    clearness,
    net_longwave_daily,
    net_shortwave,
    radiation_from_range,
)
from topwire.weather.sun import extraterrestrial_radiation

Array = npt.NDArray[np.float64]
Booleans = npt.NDArray[np.bool_]

MM_PER_MJ = 0.408  # [mm per MJ/m2] water evaporated by an energy, at 20 deg C
WIND_WHERE_UNKNOWN = 2.0  # [m/s] mean of some 2,000 stations, FAO56 page 63
DRY_PLACE = 2.0  # [K] by which the dew point stays under the minimum in dry places, FAO56 page 58


@dataclass(frozen=True)
class ReferenceEvapotranspiration:
    """Daily reference evapotranspiration and what it rests on; every array (days,).

    Attributes
    ----------
    amount : [mm/d] Penman-Monteith; NaN where temperature is missing
    by_temperature : [mm/d] Hargreaves, from temperature alone: a cross-check
    moisture_estimated, wind_estimated, sun_estimated : True where a rule for missing data stood in
    """

    amount: Array
    by_temperature: Array
    moisture_estimated: Booleans
    wind_estimated: Booleans
    sun_estimated: Booleans


def penman_monteith_daily(
    *,
    tmin: npt.ArrayLike,
    tmax: npt.ArrayLike,
    vapour: npt.ArrayLike,
    wind: npt.ArrayLike,
    net_radiation: npt.ArrayLike,
    elevation: float,
    soil_heat: npt.ArrayLike = 0.0,
) -> Array:
    """Reference evapotranspiration of a day. [mm/d] FAO56, equation 6. Never below zero.

    Parameters
    ----------
    tmin, tmax : array_like
        [deg C]
    vapour : array_like
        [Pa] actual vapour pressure.
    wind : array_like
        [m/s] mean at 2 m.
    net_radiation : array_like
        [MJ/m2/d]
    elevation : float
        [m]
    soil_heat : array_like
        [MJ/m2/d] into the ground; zero over a day.
    """
    mean = (np.asarray(tmin, dtype=float) + np.asarray(tmax, dtype=float)) / 2
    deficit = mean_saturation_pressure(tmin, tmax) - np.asarray(vapour, dtype=float)
    available = np.asarray(net_radiation, dtype=float) - np.asarray(soil_heat, dtype=float)
    speed = np.asarray(wind, dtype=float)
    slope, constant = saturation_slope(mean), psychrometric_constant(air_pressure(elevation))
    drying = constant * 900 / (mean + 273) * speed * deficit / 1000  # the equation's deficit is in kPa
    amount = (MM_PER_MJ * slope * available + drying) / (slope + constant * (1 + 0.34 * speed))
    above: Array = np.maximum(amount, 0)
    return above


def hargreaves(tmin: npt.ArrayLike, tmax: npt.ArrayLike, extraterrestrial: npt.ArrayLike) -> Array:
    """Reference evapotranspiration from temperature alone. [mm/d] FAO56, equation 52; HARGREAVES1985.

    Parameters
    ----------
    tmin, tmax : array_like
        [deg C]
    extraterrestrial : array_like
        [MJ/m2/d]
    """
    low, high = np.asarray(tmin, dtype=float), np.asarray(tmax, dtype=float)
    swing = np.sqrt(np.maximum(high - low, 0))
    energy = MM_PER_MJ * np.asarray(extraterrestrial, dtype=float)
    amount: Array = np.maximum(0.0023 * ((low + high) / 2 + 17.8) * swing * energy, 0)
    return amount


def reference_evapotranspiration(
    *,
    day_of_year: npt.ArrayLike,
    tmin: npt.ArrayLike,
    tmax: npt.ArrayLike,
    latitude: float,
    elevation: float,
    dew: npt.ArrayLike | None = None,
    wind: npt.ArrayLike | None = None,
    sun: npt.ArrayLike | None = None,
    coastal: bool = False,
    dry: bool = False,
) -> ReferenceEvapotranspiration:
    """Daily Penman-Monteith over a record, with FAO-56's rules where a column or a day of it is missing.

    Missing dew point: the day's minimum, 2 K lower in a dry place (equation 48). Missing wind: 2 m/s. Missing sun: from
    the swing of temperature (equation 50).

    Parameters
    ----------
    day_of_year, tmin, tmax : array_like
        [d], [deg C]; shape (days,) or any shapes that broadcast together.
    latitude, elevation : float
        [degrees north], [m]
    dew, wind, sun : array_like or None
        [deg C], [m/s] at 2 m, [MJ/m2/d]; NaN where missing.
    coastal, dry : bool
        Which of the two values the rules take.
    """
    low, high = np.asarray(tmin, dtype=float), np.asarray(tmax, dtype=float)
    top = extraterrestrial_radiation(latitude, day_of_year)
    assumed_dew = low - (DRY_PLACE if dry else 0.0)
    dew_known, no_dew = _or_rule(dew, assumed_dew)
    # dew above the day's minimum happens in a record (rain, another hour of reading); above its mean it cannot be
    dew_known = np.minimum(dew_known, np.fmax((low + high) / 2, assumed_dew))
    wind_known, no_wind = _or_rule(wind, np.full_like(low, WIND_WHERE_UNKNOWN))
    arriving, no_sun = _or_rule(sun, radiation_from_range(low, high, top, coastal=coastal))

    vapour = saturation_pressure(dew_known)
    clear = clear_sky_radiation(top, elevation)
    lost = net_longwave_daily(low, high, vapour, clearness(arriving, clear))
    amount = penman_monteith_daily(
        tmin=low,
        tmax=high,
        vapour=vapour,
        wind=wind_known,
        net_radiation=net_shortwave(arriving) - lost,
        elevation=elevation,
    )
    return ReferenceEvapotranspiration(amount, hargreaves(low, high, top), no_dew, no_wind, no_sun)


def _or_rule(values: npt.ArrayLike | None, rule: Array) -> tuple[Array, Booleans]:
    if values is None:
        return rule, np.ones(rule.shape, dtype=bool)
    known = np.asarray(values, dtype=float)
    missing = ~np.isfinite(known)
    return np.where(missing, rule, known), missing
