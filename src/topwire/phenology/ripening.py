"""Harvest dates: they move about half as far as bloom, and warm weeks after bloom bring them forward.

A fixed number of days after bloom moves the harvest as far as the bloom; records say it moves less (KUNZ2022: bloom 11
to 14 days earlier, harvest 4 to 12; AGRON2025: bloom explains 6 % of the variance of maturity in Golden Delicious, 13
to 18 % in Gala and Cox). So a published rule sets the place's middle date, and a year departs from it by a share of
its departure in bloom and by the warmth of the fifty days after bloom.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.phenology.bloom import DAYS_BEFORE_NEW_YEAR

Array = npt.NDArray[np.float64]

DAYS_FROM_BLOOM = 145.0  # Golden Delicious, full bloom to first pick (KSTATE; other lists 135 to 150)
COOL_NIGHTS = 10.0  # [deg C] = 50 F
DAYS_PER_KELVIN = (
    1.8  # 1 day per F that the mean minimum of the 15 days after bloom is under 50 F (BEAUDRY1993)
)
DAYS_AFTER_BLOOM = 15

# Share of a year's departure in bloom that reaches the harvest, and days that a kelvin in the fifty days after bloom
# brings it forward. Fitted to four cultivars in 33 years of the Rhineland (benchmarks/fit_dates.py prints the errors):
# half of the bloom over all, two thirds in the early one and under a half in the later ones.
SHARE_EARLY, SHARE_LATE = 0.70, 0.45
DAYS_PER_WARM_KELVIN = 1.1  # [d/K]
WARM_DAYS = 50
EARLY, LATE = -25.0, -5.0  # [d] from Golden Delicious, between which the share is linear

WINDOW_SUMMER, WINDOW, WINDOW_LATE = 7.0, 10.0, 14.0  # [d] tree-ripe (MSU-DATES, and proposals of our own)
LATE_HANGING = 15.0  # [d] after Golden Delicious from which kinds hang well

CATALOGUE_SD, LIST_SD = (
    10.0,
    7.0,
)  # [d] of the catalogue's offset, and of one place's list of dates (MSU-DATES, HARVEST-MO)

LEAST_SD = 6.0  # [d] however many lists there are: places differ in how late kinds lag (assumption)

LIGHT_CROP = 3.5  # [d] a light crop ripens 3 to 4 days earlier (MSU-DATES)

HARD_FREEZE = -4.0  # [deg C] that spoils apples on the tree (common practice, no source)
COOL_END = 7.0  # [deg C] 15-day mean under which apples no longer ripen (common practice, no source)


def combined_offset(
    listed: float | None, elsewhere: Sequence[float], *, error: float = CATALOGUE_SD
) -> tuple[float, float]:
    """Ripening of a cultivar in days from Golden Delicious and its error, from the catalogue and from lists of dates.

    Weighted with the inverse of their variances: two lists count about as much as four catalogues.

    Parameters
    ----------
    listed : the catalogue's offset [d], None where not known
    elsewhere : one offset a place that has a list of dates [d]
    error : of the catalogue's, one standard deviation [d]

    Returns
    -------
    offset, one standard deviation [d]; NaN where nothing is known
    """
    weights = [1.0 / LIST_SD**2] * len(elsewhere)
    values = list(elsewhere)
    if listed is not None:
        weights.append(1.0 / error**2)
        values.append(listed)
    if not values:
        return np.nan, error
    return float(np.average(values, weights=weights)), max(LEAST_SD, float(np.sum(weights)) ** -0.5)


def rule_date(
    bloom: npt.ArrayLike, minimum_after: npt.ArrayLike, *, days_from_bloom: float = DAYS_FROM_BLOOM
) -> Array:
    """First pick by the rule: a number of days from bloom, more after cool nights.

    Parameters
    ----------
    bloom : full bloom, day of the year
    minimum_after : [deg C] mean daily minimum of the 15 days after it
    days_from_bloom : [d] 145 for Golden Delicious; the rule was published for Delicious with 143
    """
    cool = COOL_NIGHTS - np.asarray(minimum_after, dtype=float)
    return np.asarray(bloom, dtype=float) + days_from_bloom + DAYS_PER_KELVIN * cool


def mean_after(daily: npt.ArrayLike, bloom: npt.ArrayLike, days: int) -> Array:
    """Mean of a daily value over so many days from bloom on.

    Parameters
    ----------
    daily : (years, days) from 1 October before
    bloom : (years, cultivars) day of the year

    Returns
    -------
    (years, cultivars) NaN where `bloom` is
    """
    values = np.asarray(daily, dtype=float)
    running = np.concatenate([np.zeros((values.shape[0], 1)), np.cumsum(values, axis=1)], axis=1)
    day = np.asarray(bloom, dtype=float)
    first = np.where(np.isfinite(day), np.rint(day) + DAYS_BEFORE_NEW_YEAR, 0.0).astype(np.int64)
    first = np.clip(first, 0, values.shape[1] - days)
    row = np.arange(values.shape[0])[:, np.newaxis]
    mean = (running[row, first + days] - running[row, first]) / days
    return np.where(np.isfinite(day), mean, np.nan)


def share_of_departure(harvest_offset: npt.ArrayLike) -> Array:
    """How much of a year's departure in bloom reaches the harvest, by ripening in days from Golden Delicious."""
    date: Array = np.interp(np.asarray(harvest_offset, dtype=float), [EARLY, LATE], [SHARE_EARLY, SHARE_LATE])
    return date


@dataclass(frozen=True)
class UsualSeason:
    """What departures count from: means over a place's years, (cultivars,).

    rule : `rule_date`; bloom : full bloom; both days of the year; warmth : [deg C] of the fifty days after bloom
    """

    rule: Array
    bloom: Array
    warmth: Array


def usual_season(rule: npt.ArrayLike, bloom: npt.ArrayLike, warmth: npt.ArrayLike) -> UsualSeason:
    """Means over the years that have a date, of arrays (years, cultivars)."""
    return UsualSeason(mean_of_years(rule), mean_of_years(bloom), mean_of_years(warmth))


def mean_of_years(values: npt.ArrayLike) -> Array:
    """Mean over the years that have a value, of (years, cultivars)."""
    array = np.asarray(values, dtype=float)
    known = np.isfinite(array)
    mean: Array = np.where(known, array, 0.0).sum(axis=0) / np.maximum(known.sum(axis=0), 1)
    return mean


def first_pick(
    usual: UsualSeason, harvest_offset: npt.ArrayLike, bloom: npt.ArrayLike, warmth: npt.ArrayLike
) -> Array:
    """First pick of every cultivar and year.

    Parameters
    ----------
    usual : of today's climate also when the years are of a warmer one, since harvest has moved less than bloom in the
        warming of the last 60 years too (KUNZ2022)
    harvest_offset : (cultivars,) days from Golden Delicious; NaN where not known
    bloom : (years, cultivars) full bloom
    warmth : (years, cultivars) [deg C] mean of the WARM_DAYS days after it

    Returns
    -------
    (years, cultivars) day of the year, NaN where there was no bloom or the offset is not known
    """
    offset = np.asarray(harvest_offset, dtype=float)
    earlier = DAYS_PER_WARM_KELVIN * (np.asarray(warmth, dtype=float) - usual.warmth)
    moved = share_of_departure(offset) * (np.asarray(bloom, dtype=float) - usual.bloom) - earlier
    date: Array = usual.rule + moved + offset
    return date


def light_crop_shift(crop: npt.ArrayLike) -> Array:
    """Days by which a crop cut by frost ripens earlier (negative), in step with what is missing."""
    return -LIGHT_CROP * (1.0 - np.asarray(crop, dtype=float))


def window_days(harvest_offset: npt.ArrayLike) -> Array:
    """Days from first to last pick: summer kinds 7, middle ones 10, late ones that hang 14."""
    offset = np.asarray(harvest_offset, dtype=float)
    return np.where(offset <= EARLY, WINDOW_SUMMER, np.where(offset >= LATE_HANGING, WINDOW_LATE, WINDOW))


def end_of_ripening(tmin: npt.ArrayLike, tmax: npt.ArrayLike) -> Array:
    """Day on which apples stop ripening on the tree: first hard freeze, or too cool for two weeks.

    Parameters
    ----------
    tmin, tmax : (years, days) [deg C] from 1 October before to 31 December

    Returns
    -------
    (years,) day of the year, the last of the days given where neither comes
    """
    night, noon = np.asarray(tmin, dtype=float), np.asarray(tmax, dtype=float)
    august = DAYS_BEFORE_NEW_YEAR + 212  # index of 1 August
    mean = (night + noon) / 2.0
    running = np.concatenate([np.zeros((mean.shape[0], 1)), np.cumsum(mean, axis=1)], axis=1)
    fortnight = (running[:, august + 1 :] - running[:, august - 14 : -15]) / 15.0
    over = (night[:, august:] <= HARD_FREEZE) | (fortnight < COOL_END)
    last = night.shape[1] - august - 1
    index = np.where(over.any(axis=1), np.argmax(over, axis=1), last)
    shift: Array = index + 213.0
    return shift
