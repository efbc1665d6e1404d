"""The hours of a day out of its lowest and highest temperature.

Every curve here is linear in the temperatures: an hour is a weighted sum of the day's two ends and those of its
neighbours, with weights that depend on latitude, date and hour alone. The weights are worked out once for the 366 days
of a year, so that forty years of hours cost no logarithm and no sine of their own.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from topwire.weather.sun import day_length

Array = npt.NDArray[np.float64]
Booleans = npt.NDArray[np.bool_]

_hour = np.arange(24.0)[np.newaxis, :]


@dataclass(frozen=True)
class _Weights:
    """A day's hours before sunrise, in daylight and after sunset; all of shape (366, 24), `sunset` (366,).

    By day the hour is tmin + rise * (tmax - tmin); the temperature at sunset is tmin + sunset * (tmax - tmin). In the
    evening and morning it has gone the share `fallen` of the way from sunset's temperature to the coming minimum.
    """

    morning: Booleans
    evening: Booleans
    rise: Array
    fallen: Array
    sunset: Array


def hourly_temperature(
    day_of_year: npt.ArrayLike, tmin: npt.ArrayLike, tmax: npt.ArrayLike, latitude: float
) -> Array:
    """Temperature at each full hour of consecutive days. [deg C], shape (days, 24)

    By day a sine from the minimum at sunrise over the maximum; from sunset a logarithmic fall to the next day's
    minimum (Linvill 1990, source LINVILL1990). In the first hour after sunset the logarithm is taken as of one hour,
    since it would be negative. The hours before sunrise fall from the sunset before to the day's own minimum. Before
    the first day and after the last the same day is thought to repeat.

    A day with a missing end gives missing hours, and so does the evening before it and the morning after.

    Parameters
    ----------
    day_of_year : array_like
        [d] shape (days,), consecutive days.
    tmin, tmax : array_like
        [deg C] shape (days,); NaN where missing.
    latitude : float
        [degrees north]
    """
    return _curve(_linvill(float(latitude)), day_of_year, tmin, tmax)


@lru_cache(maxsize=32)
def _linvill(latitude: float) -> _Weights:
    length, sunrise, sunset, length_before, sunset_before = _year(latitude)

    def fallen(since_sunset: Array, night: Array) -> Array:
        share: Array = np.log(np.maximum(since_sunset, 1)) / np.log(np.maximum(night, np.e))
        return np.minimum(share, 1.0)  # mornings grow a little longer than the night before them in autumn

    evening = fallen(_hour - sunset, 24 - length)
    morning = fallen(_hour + 24 - sunset_before, 24 - length_before)
    return _Weights(
        morning=_hour < sunrise,
        evening=_hour > sunset,
        rise=np.sin(np.pi * (_hour - sunrise) / (length + 4)),
        fallen=np.where(_hour < sunrise, morning, evening),
        sunset=np.sin(np.pi * length / (length + 4))[:, 0],
    )


def _year(latitude: float) -> tuple[Array, Array, Array, Array, Array]:
    """Length, sunrise and sunset of the days 1 to 366, and length and sunset of the day before; shape (366, 1)."""
    length = day_length(latitude, np.arange(0, 367))[:, np.newaxis]
    today, before = length[1:], length[:-1]
    return today, 12 - today / 2, 12 + today / 2, before, 12 + before / 2


def _curve(weights: _Weights, day_of_year: npt.ArrayLike, tmin: npt.ArrayLike, tmax: npt.ArrayLike) -> Array:
    row = np.asarray(day_of_year).astype(np.int64) - 1
    low, high = np.asarray(tmin, dtype=float), np.asarray(tmax, dtype=float)
    if low.size == 0:
        return np.zeros((0, 24))
    at_sunset = low + (high - low) * weights.sunset[row]
    before = np.concatenate([at_sunset[:1], at_sunset[:-1]])
    following = np.concatenate([low[1:], low[-1:]])

    # start + share * (end - start), by part of the day; whole hours of a day share its case, so the masks of the
    # year are taken by row, and a missing neighbour reaches its own part of the day only
    morning, evening = weights.morning[row], weights.evening[row]
    share = np.where(weights.morning | weights.evening, weights.fallen, weights.rise)[row]
    start = np.where(morning, before[:, np.newaxis], low[:, np.newaxis])
    np.copyto(start, at_sunset[:, np.newaxis], where=evening)
    step = np.where(morning, (low - before)[:, np.newaxis], (high - low)[:, np.newaxis])
    np.copyto(step, (following - at_sunset)[:, np.newaxis], where=evening)
    share *= step
    share += start
    return share
