"""Heat: growing degree hours of the asymmetric curve, and degree-days from daily minimum and maximum.

Degree-days come from the day's mean or from a sine wave through its two ends. Any temperature unit will do, the same
throughout; degree-days are then in that unit.
"""

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

BASE, OPTIMUM, CRITICAL = 4.0, 25.0, 36.0  # [deg C] of the asymmetric curve for fruit trees (GDH1986)


def growing_degree_hours(
    temperature: npt.ArrayLike, *, base: float = BASE, optimum: float = OPTIMUM, critical: float = CRITICAL
) -> Array:
    """Growing degree hours of every hour [K h]: 0 below `base`, most at `optimum`, 0 again from `critical`.

    Parameters
    ----------
    temperature : (..., hours) [deg C]

    Source: GDH1986.
    """
    air = np.asarray(temperature, dtype=float)
    span = optimum - base
    # cos(pi + x) = -cos x and cos(pi/2 + x) = -sin x; clipping makes both ends 0
    rising = 1.0 - np.cos(np.pi * np.clip((air - base) / span, 0.0, 1.0))
    falling = 1.0 - np.sin(0.5 * np.pi * np.clip((air - optimum) / (critical - optimum), 0.0, 1.0))
    return 0.5 * span * rising * falling


def mean_above(tmin: npt.ArrayLike, tmax: npt.ArrayLike, base: float) -> Array:
    """Degree-days from the mean of minimum and maximum, nothing below `base`.

    Parameters
    ----------
    tmin, tmax : (..., days)
    """
    mean = (np.asarray(tmin, dtype=float) + np.asarray(tmax, dtype=float)) / 2.0
    degree_hours: Array = np.maximum(mean - base, 0.0)
    return degree_hours


def sine_above(tmin: npt.ArrayLike, tmax: npt.ArrayLike, base: float) -> Array:
    """Degree-days above `base` under one sine wave through minimum and maximum (the single sine).

    Parameters
    ----------
    tmin, tmax : (..., days), tmin <= tmax

    Source: SINE1969.
    """
    low, high = np.asarray(tmin, dtype=float), np.asarray(tmax, dtype=float)
    middle, half = (low + high) / 2.0, (high - low) / 2.0
    crossing = _crossing(middle, half, base)
    partial = ((middle - base) * (np.pi / 2.0 - crossing) + half * np.cos(crossing)) / np.pi
    return np.where(low >= base, middle - base, np.where(high <= base, 0.0, partial))


def share_of_day_above(tmin: npt.ArrayLike, tmax: npt.ArrayLike, threshold: float) -> Array:
    """Share of the day in which that sine wave is above `threshold`."""
    low, high = np.asarray(tmin, dtype=float), np.asarray(tmax, dtype=float)
    crossing = _crossing((low + high) / 2.0, (high - low) / 2.0, threshold)
    return np.asarray((np.pi / 2.0 - crossing) / np.pi)


def _crossing(middle: Array, half: Array, threshold: float) -> Array:
    """Angle from -pi/2 to pi/2 at which the rising wave crosses `threshold`."""
    flat = half <= 1e-9
    sine = np.where(flat, np.sign(threshold - middle), (threshold - middle) / np.where(flat, 1.0, half))
    angle: Array = np.arcsin(np.clip(sine, -1.0, 1.0))
    return angle
