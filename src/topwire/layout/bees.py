"""Whether bees can fly while a cultivar flowers.

An hour of daylight is fit for flight above 12.5 deg C, with wind below 4.5 m/s and without rain; a day with six of them
is a good one for pollination (WILLIAMS1977). A flower can be fertilised for three to five days (EPP-UK): it counts as
visited once its first three days have brought it a good day's hours, in proportion before.
"""

import numpy as np
import numpy.typing as npt

from topwire.weather.sun import day_length

Array = npt.NDArray[np.float64]

WARM_ENOUGH = 12.5  # [deg C] (WILLIAMS1977)
CALM = 4.5  # [m/s] (WILLIAMS1977)
DRY_DAY = 2.0  # [mm] below which a day known by its sum alone counts as dry (as WILLIAMS1977 is applied to daily rain)
LEAST_RAIN = 0.1  # [mm] in an hour: the smallest that gauges show
GOOD_DAY = 6  # [h] fit for flight (as WILLIAMS1977 is applied)
RECEPTIVE = 3  # [d] (EPP-UK, the lower end)
BY_DAY = (
    4 / 3
)  # wind of the daylight hours over the day's mean, if it blows by day twice as hard as by night (FAO56)


def fit_hours(
    day_of_year: npt.ArrayLike,
    temperature: Array,
    latitude: float,
    *,
    rain: Array | None = None,
    wind: Array | None = None,
    hourly_rain: Array | None = None,
    hourly_wind: Array | None = None,
) -> Array:
    """Hours of daylight in which bees can fly, (days,) [h].

    Parameters
    ----------
    day_of_year : (days,)
    temperature : (days, 24) [deg C]
    latitude : [degrees north]
    rain, wind : (days,) [mm], mean [m/s] at 2 m; not known = neither keeps bees at home
    hourly_rain, hourly_wind : (days, 24) [mm], [m/s]; count before the day's where they are known
    """
    day = np.asarray(day_of_year)
    length = day_length(latitude, day)[:, None]
    from_noon = np.abs(np.arange(24)[None] + 0.5 - 12.0)
    light = np.clip(length / 2 - from_noon + 0.5, 0.0, 1.0)  # share of each hour in daylight
    with np.errstate(invalid="ignore"):
        fit = temperature > WARM_ENOUGH
        if rain is not None:
            wet = _by_hour(hourly_rain, rain) >= np.where(
                _measured(hourly_rain, fit.shape), LEAST_RAIN, DRY_DAY
            )
            fit &= ~wet
        if wind is not None or hourly_wind is not None:
            mean = np.full(day.size, np.nan) if wind is None else wind * BY_DAY
            fit &= ~(_by_hour(hourly_wind, mean) >= CALM)
    return np.asarray((light * fit).sum(axis=1))


def visited_share(fit: Array) -> Array:
    """Share of the flowers that open on a day which bees have found in time, (years, days).

    fit : (years, days) [h] fit for flight, as of :func:`fit_hours`.
    """
    running = np.concatenate([np.zeros((fit.shape[0], 1)), np.cumsum(fit, axis=1)], axis=1)
    day = np.arange(fit.shape[1])
    ahead = np.minimum(day + RECEPTIVE, fit.shape[1])
    return np.asarray(np.minimum((running[:, ahead] - running[:, day]) / GOOD_DAY, 1.0))


def over_bloom(by_day: Array, first_bloom: Array, petal_fall: Array) -> Array:
    """Sum over a bloom of what each day brings, (cultivars,) of one year; 0 where there is no bloom.

    by_day : (days,) from 1 January; first_bloom, petal_fall : (cultivars,) [day of the year], whole numbers noon.
    """
    running = np.concatenate([[0.0], np.cumsum(by_day)])
    edges = np.arange(by_day.size + 1) + 0.5  # day 1 lasts from 0.5 to 1.5
    found = np.interp(np.nan_to_num(petal_fall), edges, running)
    return np.asarray(found - np.interp(np.nan_to_num(first_bloom), edges, running))


def _measured(hourly: Array | None, shape: tuple[int, ...]) -> npt.NDArray[np.bool_]:
    return np.zeros(shape, dtype=bool) if hourly is None else np.isfinite(hourly)


def _by_hour(hourly: Array | None, of_day: Array) -> Array:
    """(days, 24) hours where they are measured, else the day's figure."""
    every = np.broadcast_to(of_day[:, None], (of_day.size, 24))
    return np.asarray(every if hourly is None else np.where(np.isfinite(hourly), hourly, every))
