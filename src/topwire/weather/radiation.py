"""Radiation at the ground: what arrives, what the ground keeps. Equations of FAO-56, source FAO56.

Amounts in MJ/m2/d; vapour pressure in Pa.
"""

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

ALBEDO = 0.23  # [-] of the reference grass
INTERIOR, COASTAL = 0.16, 0.19  # [K^-0.5] adjustment of equation 50: land locked, near a large water
_BOLTZMANN = 4.903e-9  # [MJ/m2/K4] per day
_KELVIN = 273.16
_LEAST_CLEARNESS, _MOST_CLEARNESS = 0.3, 1.0  # below 0.3 the cloud term has no support in the data


def clear_sky_radiation(extraterrestrial: npt.ArrayLike, elevation: float) -> Array:
    """Radiation that arrives under a clear sky. Equation 37; unit and shape of `extraterrestrial`.

    Parameters
    ----------
    extraterrestrial : array_like
        [MJ/m2 per day or hour]
    elevation : float
        [m] above the sea.
    """
    clear: Array = (0.75 + 2e-5 * elevation) * np.asarray(extraterrestrial, dtype=float)
    return clear


def radiation_from_range(
    tmin: npt.ArrayLike, tmax: npt.ArrayLike, extraterrestrial: npt.ArrayLike, *, coastal: bool = False
) -> Array:
    """Radiation from the swing of the day's temperature, for want of anything better. Equation 50. [MJ/m2/d]

    Not more than a clear sky gives at sea level.

    Parameters
    ----------
    tmin, tmax : array_like
        [deg C]
    extraterrestrial : array_like
        [MJ/m2/d]
    coastal : bool
        The place lies on or near the shore of a large water.
    """
    swing = np.maximum(np.asarray(tmax, dtype=float) - np.asarray(tmin, dtype=float), 0)
    share = np.minimum((COASTAL if coastal else INTERIOR) * np.sqrt(swing), 0.75)
    arriving: Array = share * np.asarray(extraterrestrial, dtype=float)
    return arriving


def net_shortwave(arriving: npt.ArrayLike) -> Array:
    """What the reference grass keeps of the sun. Equation 38."""
    kept: Array = (1 - ALBEDO) * np.asarray(arriving, dtype=float)
    return kept


def clearness(arriving: npt.ArrayLike, clear: npt.ArrayLike) -> Array:
    """Share of the clear sky's radiation that arrived, between 0.3 and 1. [-]"""
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.asarray(arriving, dtype=float) / np.asarray(clear, dtype=float)
    limited: Array = np.clip(share, _LEAST_CLEARNESS, _MOST_CLEARNESS)
    return limited


def net_longwave_daily(
    tmin: npt.ArrayLike, tmax: npt.ArrayLike, vapour: npt.ArrayLike, clear_share: npt.ArrayLike
) -> Array:
    """Heat radiation lost by day and night together. [MJ/m2/d] Equation 39.

    Parameters
    ----------
    tmin, tmax : array_like
        [deg C]
    vapour : array_like
        [Pa]
    clear_share : array_like
        [-] of :func:`clearness`.
    """
    low, high = np.asarray(tmin, dtype=float) + _KELVIN, np.asarray(tmax, dtype=float) + _KELVIN
    body = _BOLTZMANN * (low**4 + high**4) / 2
    lost: Array = body * _moisture(vapour) * _cloud(clear_share)
    return lost


def _moisture(vapour: npt.ArrayLike) -> Array:
    term: Array = 0.34 - 0.14 * np.sqrt(np.asarray(vapour, dtype=float) / 1000)
    return term


def _cloud(clear_share: npt.ArrayLike) -> Array:
    term: Array = 1.35 * np.asarray(clear_share, dtype=float) - 0.35
    return term
