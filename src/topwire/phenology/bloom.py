"""Day of bloom from chill and heat.

Two shapes, both monotone, so that a day is found by bisection for all years and cultivars at once:

- in sequence: heat counts from the hour the chill requirement is met, until the heat requirement is met;
- overlapping: heat counts from a smaller chill on, and the heat still needed falls as chill goes on rising,
      needed = least + extra * exp(-fading * (chill - begin))                            (OVERLAP2014, OVERLAP2017)
  With extra = 0 this is the sequence, so one function does both.

Heat is growing degree hours weighted with day length to a power, since flowering models with day length transfer
better between places (DAYLENGTH2014, HOFFMANN2013).

Days of year: the number v means noon of day v, so the nearest whole number is the day.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.phenology.heat import growing_degree_hours

Array = npt.NDArray[np.float64]

DAYS_BEFORE_NEW_YEAR = 92  # 1 October to 31 December
FULL_DAY_LENGTH = 12.0  # [h] at which the weight is 1
# A round figure, chosen with the errors of the two fitted places in sight: they fall until about 2 and hardly from
# there (benchmarks/fit_bloom.py prints them for powers 0 to 2.5). Without it one set does not serve both places.
DAY_LENGTH_POWER = 2.0

# The dynamic model gives nothing below freezing, so a winter of the far north can end with few portions and its trees
# bloom all the same. A winter whose coldest 30 days average this or less counts as a full one by 1 April (assumption,
# no source): “chill not met” is for warm winters.
FROZEN_WINTER = -8.0  # [deg C]
FULL_CHILL = 90.0  # [portions], in the middle of what the two fitted places get


@dataclass(frozen=True)
class BloomNeed:
    """What a cultivar needs to bloom; numbers or arrays (cultivars,).

    Attributes
    ----------
    begin : [portions] chill from which heat counts
    required : [portions] chill to be had by the day of bloom, else the answer is “chill not met”
    least : [K h] weighted heat needed however much chill there was
    extra : [K h] heat needed on top at `begin`
    fading : [1/portion] how fast chill takes the extra away
    """

    begin: float | Array
    required: float | Array
    least: float | Array
    extra: float | Array
    fading: float | Array

    def heat(self, chill: Array) -> Array:
        """Heat needed [K h] at `chill` [portions]."""
        return self.least + self.extra * np.exp(-self.fading * np.maximum(chill - self.begin, 0.0))


def weighted_heat(
    temperature: npt.ArrayLike, day_length: npt.ArrayLike, *, power: float = DAY_LENGTH_POWER
) -> Array:
    """Growing degree hours weighted with day length, hour by hour [K h].

    Parameters
    ----------
    temperature : (years, hours) [deg C], whole days from midnight
    day_length : (days,) [h]
    power : of the day length; 0 = plain growing degree hours
    """
    weight = (np.asarray(day_length, dtype=float) / FULL_DAY_LENGTH) ** power
    return growing_degree_hours(temperature) * np.repeat(weight, 24)


def bloom_hours(chill: Array, heat: Array, need: BloomNeed) -> Array:
    """Hour of bloom, counted from the start of the arrays; NaN = chill not met, or too little heat.

    Parameters
    ----------
    chill : (years, hours) running total [portions]
    heat : (years, hours) running total [K h]
    need : of one cultivar, or arrays (cultivars,)

    Returns
    -------
    (years, cultivars) hours passed, with fraction
    """
    years, hours = chill.shape
    begin = np.atleast_1d(np.asarray(need.begin, dtype=float))
    row = np.arange(years)[:, np.newaxis]
    start = hours_of_chill(chill, begin)
    whole = np.where(np.isfinite(start), start, 0.0)
    heat_at_start = _at(heat, row, whole)

    def lacking(hour: npt.NDArray[np.int64]) -> Array:
        return need.heat(chill[row, hour]) - (heat[row, hour] - heat_at_start)

    # `lacking` never rises with the hour: halve the interval (low: still lacking, high: satisfied)
    low = np.floor(whole).astype(np.int64) - 1
    high = np.full(low.shape, hours - 1, dtype=np.int64)
    reached = np.isfinite(start) & (lacking(high) <= 0.0)
    while np.any(high - low > 1):
        middle = (low + high) // 2
        satisfied = lacking(np.maximum(middle, 0)) <= 0.0
        high = np.where(satisfied, middle, high)
        low = np.where(satisfied, low, middle)
    before, after = lacking(np.maximum(low, 0)), lacking(high)
    fraction = np.clip(before / np.where(before > after, before - after, 1.0), 0.0, 1.0)
    enough = reached & (chill[row, high] >= need.required)
    return np.where(enough, high + fraction, np.nan)


def chill_with_frost(chill: Array, tmin: Array, tmax: Array) -> Array:
    """Running chill with frozen winters made up to a full one from 1 April on.

    Parameters
    ----------
    chill : (years, hours) running total from 1 October [portions]
    tmin, tmax : (years, days) [deg C] from 1 October, to 1 April at least
    """
    april = DAYS_BEFORE_NEW_YEAR + 90
    mean = (tmin[:, :april] + tmax[:, :april]) / 2.0
    running = np.concatenate([np.zeros((mean.shape[0], 1)), np.cumsum(mean, axis=1)], axis=1)
    coldest = (running[:, 30:] - running[:, :-30]).min(axis=1) / 30.0
    made_up = chill.copy()
    frozen = coldest <= FROZEN_WINTER
    made_up[frozen, april * 24 :] = np.maximum(made_up[frozen, april * 24 :], FULL_CHILL)
    return made_up


def hours_of_chill(chill: Array, threshold: npt.ArrayLike) -> Array:
    """Hours passed until the running total `chill` (years, hours) reaches each `threshold` (cultivars,), else NaN."""
    levels = np.atleast_1d(np.asarray(threshold, dtype=float))
    count = np.empty((chill.shape[0], levels.size))
    for year, total in enumerate(chill):
        count[year] = np.searchsorted(total, levels, side="left")
    return np.where(count < chill.shape[1], count + 1.0, np.nan)


def day_of_year(hours: npt.ArrayLike) -> Array:
    """Day of the bloom year from hours since 1 October, 0:00. Noon of 1 January is 1."""
    return np.asarray(hours, dtype=float) / 24.0 - (DAYS_BEFORE_NEW_YEAR - 0.5)


def hours_from_october(day: npt.ArrayLike) -> Array:
    """Hours since 1 October, 0:00, of a day of the bloom year; inverse of `day_of_year`."""
    return (np.asarray(day, dtype=float) + (DAYS_BEFORE_NEW_YEAR - 0.5)) * 24.0


def _at(total: Array, row: npt.NDArray[np.int64], hours: Array) -> Array:
    """Running total after `hours` hours: 0 after none."""
    index = np.floor(hours).astype(np.int64) - 1
    return np.where(index >= 0, total[row, np.maximum(index, 0)], 0.0)
