"""The same years in another climate: a record shifted and scaled month by month.

The plainest method there is (the delta method): the record keeps its sequence of warm and cold spells, of wet and dry
days; its level, and if wished its spread, moves. Stated by the grower ("two degrees warmer in spring") or taken from
the difference of two series of a climate model, now and then. What it cannot show is a change in the sequence itself.
"""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from topwire.values.fault import assumption
from topwire.weather.reading import degrees
from topwire.weather.record import Weather
from topwire.weather.repair import ordinary_year

Array = npt.NDArray[np.float64]
Days = npt.NDArray[np.datetime64]

_LENGTHS = np.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
_FEWEST_DAYS = 8 * 28  # of a month in a series, before its mean is compared
_LEAST_RAIN = 5.0  # [mm/month] below which a ratio of rain means nothing


@dataclass(frozen=True)
class MonthlyChange:
    """What is added to or multiplied with a record, by month; January first.

    Attributes
    ----------
    tmin, tmax : (12,) [K] added to lowest and highest
    rain : (12,) [-] factor of amounts; the days on which it rains stay
    spread : (12,) [-] factor of the departures of both temperatures from their ordinary course
    label : where it comes from, for the notice
    """

    tmin: Array
    tmax: Array
    rain: Array
    spread: Array
    label: str


def stated_change(
    label: str,
    *,
    warming: npt.ArrayLike,
    nights: npt.ArrayLike | None = None,
    rain: npt.ArrayLike = 1.0,
    spread: npt.ArrayLike = 1.0,
) -> MonthlyChange:
    """A change stated by a person: one number for the year, or twelve.

    Parameters
    ----------
    label : what to call it
    warming : [K] of the days, and of the nights where these are not given
    nights : [K] of the lowest temperatures
    rain, spread : [-] factors

    Raises
    ------
    ValueError
        Neither one number nor twelve, a factor below zero, or more than 15 K.
    """
    day = _twelve(warming, "warming")
    night = day if nights is None else _twelve(nights, "nights")
    factor, wider = _twelve(rain, "rain"), _twelve(spread, "spread")
    if np.any(factor < 0) or np.any(wider < 0):
        raise ValueError("a factor of rain or spread cannot be below zero")
    if np.any(np.abs(day) > 15) or np.any(np.abs(night) > 15):
        raise ValueError("a change of more than 15 degrees is not one of climate")
    return MonthlyChange(night, day, factor, wider, label)


def change_between(label: str, now: Weather, then: Weather, *, with_spread: bool = False) -> MonthlyChange:
    """The monthly difference of two series of one model: what `then` has more than `now`.

    Parameters
    ----------
    label : what to call it
    now, then : two series of the same model or station, eight years or longer each
    with_spread : take the change of the daily spread too; noisy with short series

    Raises
    ------
    ValueError
        When a month has too few days in either series.
    """
    shifts, spreads = [], []
    for old, new in ((now.tmin, then.tmin), (now.tmax, then.tmax)):
        mean_now, spread_now = _monthly(now.day, old)
        mean_then, spread_then = _monthly(then.day, new)
        shifts.append(mean_then - mean_now)
        spreads.append(spread_then / spread_now)
    spread = np.sqrt(spreads[0] * spreads[1]) if with_spread else np.ones(12)
    rain = np.ones(12)
    if np.isfinite(now.rain).any() and np.isfinite(then.rain).any():
        rain_now, _ = _monthly(now.day, now.rain)
        rain_then, _ = _monthly(then.day, then.rain)
        enough = rain_now * _LENGTHS > _LEAST_RAIN
        rain = np.where(enough, rain_then / np.where(enough, rain_now, 1.0), 1.0)
    return MonthlyChange(shifts[0], shifts[1], rain, spread, label)


def changed(weather: Weather, change: MonthlyChange) -> Weather:
    """The record under the change.

    Shifts run smoothly from month to month and keep each month's mean. The lowest never passes the highest. Dew point
    moves with the lowest temperature, that is at a steady relative humidity; measured hours move with the two ends of
    their day; wind and sun stay.
    """
    of_year = (weather.day - weather.day.astype("datetime64[Y]")).astype(np.int64)
    month = weather.day.astype("datetime64[M]").astype(np.int64) % 12
    low = weather.tmin + smooth_months(change.tmin)[of_year]
    high = weather.tmax + smooth_months(change.tmax)[of_year]
    if np.any(change.spread != 1.0):
        factor = smooth_months(change.spread)[of_year]
        middle = (low + high) / 2
        course = ordinary_year(of_year + 1, middle)
        step = (factor - 1) * (middle - course)
        low, high = low + step, high + step
    tmin, tmax = np.fmin(low, high), np.fmax(low, high)
    shift = tmin - weather.tmin
    half = (shift + tmax - weather.tmax) / 2
    says = (
        f"the record was changed to “{change.label}”: {degrees(float(change.tmax.mean()))} by day, "
        f"{degrees(float(change.tmin.mean()))} by night over the year, rain times "
        f"{_rain_factor(weather, month, change):.2f}. The order of warm and cold days is that of the record."
    )
    return replace(
        weather,
        tmin=tmin,
        tmax=tmax,
        rain=weather.rain * change.rain[month],
        dew_point=None if weather.dew_point is None else weather.dew_point + shift,
        hourly=None if weather.hourly is None else weather.hourly + half[:, np.newaxis],
        hourly_dew_point=(
            None if weather.hourly_dew_point is None else weather.hourly_dew_point + shift[:, np.newaxis]
        ),
        hourly_rain=(
            None if weather.hourly_rain is None else weather.hourly_rain * change.rain[month][:, np.newaxis]
        ),
        notices=(*weather.notices, assumption("weather", says)),
    )


def smooth_months(values: npt.ArrayLike) -> Array:
    """Twelve monthly values as a course of 366 days without steps, each month's mean kept. (366,)"""
    lengths = np.array([31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    ends = np.cumsum(lengths)
    middles = ends - lengths / 2
    day = np.arange(366) + 0.5
    knots = np.concatenate([[middles[-1] - 366], middles, [middles[0] + 366]])
    weights = np.array(
        [np.interp(day, knots, np.concatenate([[unit[-1]], unit, [unit[0]]])) for unit in np.eye(12)]
    )  # (12, 366): what a knot adds to each day
    month = np.repeat(np.arange(12), lengths)
    means = np.array([weights[:, month == one].mean(axis=1) for one in range(12)])
    course: Array = np.linalg.solve(means, np.asarray(values, dtype=float)) @ weights
    return course


def _twelve(values: npt.ArrayLike, name: str) -> Array:
    given = np.asarray(values, dtype=float)
    if given.size not in (1, 12):
        raise ValueError(f"{name}: one number for the year or twelve, January first; {given.size} were given")
    return np.full(12, given.ravel()[0]) if given.size == 1 else given.ravel()


def _monthly(day: Days, values: Array) -> tuple[Array, Array]:
    month = day.astype("datetime64[M]").astype(np.int64) % 12
    mean, spread = np.zeros(12), np.ones(12)
    for one in range(12):
        own = values[(month == one) & np.isfinite(values)]
        if own.size < _FEWEST_DAYS:
            raise ValueError(
                f"month {one + 1} has {own.size} days; a change needs eight years of each series"
            )
        mean[one], spread[one] = own.mean(), own.std()
    return mean, spread


def _rain_factor(weather: Weather, month: npt.NDArray[np.int64], change: MonthlyChange) -> float:
    before = float(np.nansum(weather.rain))
    return float(np.nansum(weather.rain * change.rain[month])) / before if before > 0 else 1.0
