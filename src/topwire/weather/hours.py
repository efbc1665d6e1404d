"""The hours of a day out of its lowest and highest temperature."""

import numpy as np
import numpy.typing as npt

from topwire.weather.sun import day_length

Array = npt.NDArray[np.float64]


def hourly_temperature(
    day_of_year: npt.ArrayLike, tmin: npt.ArrayLike, tmax: npt.ArrayLike, latitude: float
) -> Array:
    """Temperature at each full hour of consecutive days. [deg C], shape (days, 24)

    By day a sine from the minimum at sunrise over the maximum; from sunset a logarithmic fall to the next day's
    minimum (Linvill 1990, source LINVILL1990). In the first hour after sunset the logarithm is taken as of one hour,
    since it would be negative. A day with a missing end gives missing hours, and so does the evening before it.

    Parameters
    ----------
    day_of_year : array_like
        [d] shape (days,), consecutive days.
    tmin, tmax : array_like
        [deg C] shape (days,); NaN where missing.
    latitude : float
        [degrees north]
    """
    low, high = np.asarray(tmin, dtype=float), np.asarray(tmax, dtype=float)
    length = day_length(latitude, day_of_year)[:, None]
    sunrise, sunset = 12 - length / 2, 12 + length / 2
    hour = np.arange(24.0)[None, :]
    swing = (high - low)[:, None]

    def by_day(after_sunrise: Array) -> Array:
        curve: Array = low[:, None] + swing * np.sin(np.pi * after_sunrise / (length + 4))
        return curve

    at_sunset = by_day(length)
    night = np.log(np.maximum(24 - length, np.e))
    low_next = np.append(low[1:], low[-1:])[:, None]
    evening = at_sunset - (at_sunset - low_next) * np.log(np.maximum(hour - sunset, 1)) / night
    sunset_before = np.vstack([at_sunset[:1], at_sunset[:-1]])
    night_before = np.vstack([night[:1], night[:-1]])
    since_sunset = hour + 24 - np.vstack([sunset[:1], sunset[:-1]])
    morning = (
        sunset_before - (sunset_before - low[:, None]) * np.log(np.maximum(since_sunset, 1)) / night_before
    )
    hours: Array = np.where(hour < sunrise, morning, np.where(hour > sunset, evening, by_day(hour - sunrise)))
    return hours
