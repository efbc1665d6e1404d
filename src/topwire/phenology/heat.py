"""Heat: growing degree hours of the asymmetric curve, and degree-days from daily minimum and maximum.

Degree-days come as a wave (sine or triangle) through the day's two ends, with one of three cut-offs above an upper
threshold, over the whole day or in two halves of which the second goes down to the next day's minimum. Any
temperature unit will do, the same throughout; degree-days are then in that unit.
"""

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Wave = Callable[[npt.ArrayLike, npt.ArrayLike, float], Array]  # area above a threshold
Daily = Callable[[npt.ArrayLike, npt.ArrayLike], Array]  # degree-days of (tmin, tmax)

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


def triangle_above(tmin: npt.ArrayLike, tmax: npt.ArrayLike, base: float) -> Array:
    """Degree-days above `base` under straight lines between minimum and maximum (the single triangle).

    Parameters
    ----------
    tmin, tmax : (..., days), tmin <= tmax

    Source: ZALOM1983.
    """
    low, high = np.asarray(tmin, dtype=float), np.asarray(tmax, dtype=float)
    span = np.where(high - low > 1e-9, high - low, 1.0)
    partial = (high - base) ** 2 / (2.0 * span)
    return np.where(low >= base, (low + high) / 2.0 - base, np.where(high <= base, 0.0, partial))


def horizontal_cutoff(
    wave: Wave, tmin: npt.ArrayLike, tmax: npt.ArrayLike, *, base: float, upper: float
) -> Array:
    """Degree-days with development above `upper` going on at the rate of `upper`.

    Source: ZALOM1983.
    """
    return wave(tmin, tmax, base) - wave(tmin, tmax, upper)


def in_halves(daily: Daily, tmin: npt.ArrayLike, tmax: npt.ArrayLike, next_tmin: npt.ArrayLike) -> Array:
    """Double sine or double triangle: half a day up from the minimum, half a day down to the next day's.

    Parameters
    ----------
    daily : degree-days of (tmin, tmax), any of the functions above with its thresholds filled in
    tmin, tmax, next_tmin : (..., days)

    Source: DOUBLESINE1976, ZALOM1983.
    """
    high = np.asarray(tmax, dtype=float)
    return (daily(tmin, high) + daily(np.minimum(next_tmin, high), high)) / 2.0


def _crossing(middle: Array, half: Array, threshold: float) -> Array:
    """Angle from -pi/2 to pi/2 at which the rising wave crosses `threshold`."""
    flat = half <= 1e-9
    sine = np.where(flat, np.sign(threshold - middle), (threshold - middle) / np.where(flat, 1.0, half))
    angle: Array = np.arcsin(np.clip(sine, -1.0, 1.0))
    return angle
