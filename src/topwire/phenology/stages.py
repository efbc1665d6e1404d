"""Bud stages from silver tip to petal fall, driven by heat.

A stage is reached when the sum of degree-days above 43 F (6.1 deg C, single sine) has come to a fixed share of the sum
on the day of full bloom. The shares are those of McIntosh in Massachusetts (UMASS-STAGES); scaling them to each
cultivar's own day of bloom keeps the stages in order whatever the cultivar.
"""

from enum import StrEnum

import numpy as np
import numpy.typing as npt

from topwire.phenology.bloom import DAYS_BEFORE_NEW_YEAR
from topwire.phenology.heat import sine_above

Array = npt.NDArray[np.float64]

BASE = (43.0 - 32.0) / 1.8  # [deg C]
MCINTOSH_BLOOM = 377.5  # [F d] middle of the bracket read: after pink (316), before petal fall (439)

# Middle of each band read, as a share of the sum at full bloom. Silver tip is not in that list: it is green tip times
# the ratio silver tip to green tip at Wenatchee (331 / 440, WSU-STAGES), sums of another kind but of the same buds.
# First bloom is put half way between pink and full bloom (assumption).
GREEN_TIP = 100.0 / MCINTOSH_BLOOM
SILVER_TIP = GREEN_TIP * 331.0 / 440.0
HALF_INCH_GREEN = 185.5 / MCINTOSH_BLOOM
TIGHT_CLUSTER = 231.5 / MCINTOSH_BLOOM
PINK = 291.5 / MCINTOSH_BLOOM
FIRST_BLOOM = (PINK + 1.0) / 2.0
FULL_BLOOM = 1.0
PETAL_FALL = 481.0 / MCINTOSH_BLOOM


class SeasonStage(StrEnum):
    """Stages of a cultivar's year, in the order they come."""

    DORMANT = "dormant"
    SILVER_TIP = "silver tip"
    GREEN_TIP = "green tip"
    HALF_INCH_GREEN = "half-inch green"
    TIGHT_CLUSTER = "tight cluster"
    PINK = "pink"
    FIRST_BLOOM = "first bloom"
    FULL_BLOOM = "full bloom"
    PETAL_FALL = "petal fall"
    GROWING = "growing"
    RIPE = "ripe"
    OVER = "picking over"


SHARES = {
    SeasonStage.SILVER_TIP: SILVER_TIP,
    SeasonStage.GREEN_TIP: GREEN_TIP,
    SeasonStage.HALF_INCH_GREEN: HALF_INCH_GREEN,
    SeasonStage.TIGHT_CLUSTER: TIGHT_CLUSTER,
    SeasonStage.PINK: PINK,
    SeasonStage.FIRST_BLOOM: FIRST_BLOOM,
    SeasonStage.FULL_BLOOM: FULL_BLOOM,
    SeasonStage.PETAL_FALL: PETAL_FALL,
}  # of the heat to full bloom


def stage_heat(tmin: npt.ArrayLike, tmax: npt.ArrayLike) -> Array:
    """Running sum of degree-days above 43 F [K d].

    Parameters
    ----------
    tmin, tmax : (years, days) [deg C], from 1 October
    """
    return np.cumsum(sine_above(tmin, tmax, BASE), axis=-1)


def progress(running: Array, begin: Array, bloom: Array, *, window: slice = slice(None)) -> Array:
    """How far buds are at the end of each day, as a share of the heat from `begin` to full bloom.

    Parameters
    ----------
    running : (years, days) from `stage_heat`
    begin, bloom : (years, cultivars) day of the bloom year from which heat counts, and of full bloom
    window : the days wanted, as a slice of those of `running`

    Returns
    -------
    (years, days of the window, cultivars); NaN where `bloom` is
    """
    at_begin = _sum_on(running, begin)[:, np.newaxis, :]
    at_bloom = _sum_on(running, bloom)[:, np.newaxis, :]
    with np.errstate(invalid="ignore", divide="ignore"):
        share = (running[:, window, np.newaxis] - at_begin) / (at_bloom - at_begin)
    return np.where(at_bloom > at_begin, np.maximum(share, 0.0), np.nan)


def stage_day(running: Array, begin: Array, bloom: Array, stage: float) -> Array:
    """Day of the bloom year on which a stage is reached.

    Parameters
    ----------
    running : (years, days) from `stage_heat`
    begin, bloom : (years, cultivars) day from which heat counts, and of full bloom
    stage : one of the shares of this module

    Returns
    -------
    (years, cultivars); NaN where `bloom` is, or where the days end first
    """
    at_begin, at_bloom = _sum_on(running, begin), _sum_on(running, bloom)
    return day_of_sum(running, at_begin + stage * (at_bloom - at_begin))


def day_of_sum(running: Array, target: Array) -> Array:
    """Day of the bloom year (noon convention, with fraction) on which a running sum reaches `target`.

    Parameters
    ----------
    running : (years, days) from 1 October, sum at the end of each day
    target : (years, cultivars)
    """
    days = running.shape[1]
    index = np.empty(target.shape, dtype=np.int64)
    for year, total in enumerate(running):
        index[year] = np.searchsorted(total, target[year], side="left")
    row = np.arange(running.shape[0])[:, np.newaxis]
    inside = np.minimum(index, days - 1)
    after = running[row, inside]
    before = np.where(inside > 0, running[row, np.maximum(inside - 1, 0)], 0.0)
    fraction = np.clip((target - before) / np.where(after > before, after - before, 1.0), 0.0, 1.0)
    day = inside + fraction - (DAYS_BEFORE_NEW_YEAR - 0.5)
    return np.where((index < days) & np.isfinite(target), day, np.nan)


def _sum_on(running: Array, day: Array) -> Array:
    """Running sum at a day of the bloom year with fraction; NaN where the day is."""
    passed = np.clip(day + (DAYS_BEFORE_NEW_YEAR - 0.5), 0.0, running.shape[1])
    whole = np.where(np.isfinite(passed), passed, 0.0)
    index = np.minimum(whole.astype(np.int64), running.shape[1] - 1)
    row = np.arange(running.shape[0])[:, np.newaxis]
    before = np.where(index > 0, running[row, np.maximum(index - 1, 0)], 0.0)
    value = before + (whole - index) * (running[row, index] - before)
    return np.where(np.isfinite(day), value, np.nan)
