"""The climate of a place, fitted to its record, as :mod:`topwire.weather.years` draws invented years from it.

Rain stands in :mod:`topwire.weather.rain`. Temperature (Richardson 1981, source RICHARDSON1981): mean and spread of
lowest and highest by time of year and by wet or dry; what remains is brought to a normal distribution by its own ranks,
so that a long cold tail stays long, and follows itself and the other as :mod:`topwire.weather.memory` says.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.weather.memory import Memory, fit_memory
from topwire.weather.rain import WET, RainClimate, fit_rain

Array = npt.NDArray[np.float64]
Integers = npt.NDArray[np.int64]

FEWEST_DAYS = 3 * 365 - 31  # three years with a few days missing
_LONG = 10.0  # years of record from which the course of the year may have more waves
_WAVES_LONG, _WAVES_SHORT = (5, 5), (3, 2)  # yearly waves of mean and of spread
_SCORES = np.linspace(-2.5, 2.5, 11)  # normal scores of the rank tables
_HALF_WINDOW = 35  # [d] either side, for ranks


@dataclass(frozen=True)
class Climate:
    """What a record says of its place; day axes have 366 rows, day of year 1 first.

    Attributes
    ----------
    rain : of wet and dry days
    mean, spread : (2, 2, 366) [deg C] of lowest and highest, on dry and wet days
    ranks : (2, 12, 11) standard departure at the normal scores of `scores`, by month
    scores : (11,)
    memory : how the scores follow themselves
    years : number of years the record held
    """

    rain: RainClimate
    mean: Array
    spread: Array
    ranks: Array
    scores: Array
    memory: Memory
    years: float


def fit_climate(day: npt.NDArray[np.datetime64], tmin: Array, tmax: Array, rain: Array) -> Climate:
    """The climate of a record.

    Parameters
    ----------
    day : (days,) dates, unbroken
    tmin, tmax, rain : (days,) [deg C], [deg C], [mm]; NaN where missing. Without any rain every day counts as dry.

    Raises
    ------
    ValueError
        With less than three years of temperatures.
    """
    known = np.isfinite(tmin) & np.isfinite(tmax)
    if known.sum() < FEWEST_DAYS:
        raise ValueError(f"{int(known.sum())} days of temperature; invented years need at least three years")
    of_year = (day - day.astype("datetime64[Y]")).astype(np.int64)
    month = day.astype("datetime64[M]").astype(np.int64) % 12
    measured = np.isfinite(rain)
    wet = measured & (rain >= WET)
    departures = np.full((2, day.size), np.nan)
    mean, spread = np.zeros((2, 2, 366)), np.ones((2, 2, 366))
    for element, values in enumerate((tmin, tmax)):
        use = known & (measured if measured.any() else True)
        mean[element], spread[element] = _course(of_year[use], wet[use], values[use])
        state = wet.astype(np.int64)
        departures[element] = (values - mean[element][state, of_year]) / spread[element][state, of_year]
        departures[element][~use] = np.nan
    ranks = np.array([_rank_tables(departures[element], of_year) for element in range(2)])
    normal = np.array(
        [to_normal(departures[element], ranks[element], _SCORES, month) for element in range(2)]
    )
    return Climate(
        rain=fit_rain(of_year, month, rain),
        mean=mean,
        spread=spread,
        ranks=ranks,
        scores=_SCORES,
        memory=fit_memory(normal, of_year),
        years=known.sum() / 365.25,
    )


def to_normal(departure: Array, table: Array, scores: Array, month: Integers) -> Array:
    """Standard departures as normal scores, by the rank table of their month; tails go on straight.

    Parameters
    ----------
    departure : (days,)
    table : (12, scores)
    scores, month : (scores,), (days,) month 0 to 11
    """
    return _between(departure, table, np.broadcast_to(scores, table.shape), month)


def from_normal(score: Array, table: Array, scores: Array, month: Integers) -> Array:
    """Inverse of :func:`to_normal`."""
    return _between(score, np.broadcast_to(scores, table.shape), table, month)


def _between(values: Array, knots: Array, heights: Array, month: Integers) -> Array:
    found = np.full(values.shape, np.nan)
    for row in range(12):
        here = month == row
        at, low, high = values[here], knots[row], heights[row]
        piece = np.clip(np.searchsorted(low, at) - 1, 0, low.size - 2)
        slope = (high[piece + 1] - high[piece]) / (low[piece + 1] - low[piece])
        found[here] = high[piece] + slope * (at - low[piece])
    return found


def _waves(of_year: Integers, count: int) -> Array:
    angle = 2 * np.pi * of_year[:, np.newaxis] / 365.25 * np.arange(1, count + 1)
    return np.hstack([np.ones((of_year.size, 1)), np.sin(angle), np.cos(angle)])


def _course(of_year: Integers, wet: npt.NDArray[np.bool_], values: Array) -> tuple[Array, Array]:
    """Mean and spread by dry and wet, (2, 366) each: waves for both, and for the difference a wet day makes."""
    all_days = np.arange(366)

    def fitted(target: Array, waves: int) -> Array:
        base, extra = _waves(of_year, waves), _waves(of_year, min(waves, 2)) * wet[:, np.newaxis]
        rows = np.hstack([base, extra]) if wet.any() else base
        weights = np.linalg.lstsq(rows, target, rcond=None)[0]
        dry = _waves(all_days, waves) @ weights[: base.shape[1]]
        shift = _waves(all_days, min(waves, 2)) @ weights[base.shape[1] :] if wet.any() else np.zeros(366)
        return np.array([dry, dry + shift])

    of_mean, of_spread = _WAVES_LONG if values.size > _LONG * 365.25 else _WAVES_SHORT
    mean = fitted(values, of_mean)
    state = wet.astype(np.int64)
    squared = (values - mean[state, of_year]) ** 2
    variance = fitted(squared, of_spread)
    return mean, np.sqrt(np.maximum(variance, 0.1 * float(np.mean(squared))))


def _rank_tables(departure: Array, of_year: Integers) -> Array:
    """Departures at the normal scores, by month: (12, scores), rising along the scores."""
    from scipy.special import ndtr

    chance = ndtr(_SCORES)
    table = np.zeros((12, _SCORES.size))
    for month in range(12):
        middle = 15 + 30.5 * month
        apart = np.abs((of_year - middle + 183) % 366 - 183)
        near = departure[(apart <= _HALF_WINDOW) & np.isfinite(departure)]
        table[month] = np.quantile(near, chance) if near.size > 50 else _SCORES
    least = 0.02  # a step of the table must rise for the way back to exist
    steps = np.maximum(np.diff(table, axis=1), least)
    rising: Array = np.hstack([table[:, :1], table[:, :1] + np.cumsum(steps, axis=1)])
    return rising
