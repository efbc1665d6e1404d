"""Day of bloom from warmth and chill.

An hour counts as a sigmoid of its temperature and of the day of the year, the gate before which warmth does little:

    h = 1 / (1 + exp(-(T - midpoint) / width)) / (1 + exp(-(d - gate_day) / gate_width))

Their sum opens the flowers when it reaches the cultivar's need, which falls as chill rises (the overlap of OVERLAP2014
and OVERLAP2017):

    needed = need * (1 + extra * exp(-fading * (chill - 40)))

The figures are shared by all cultivars and places and were fitted to records of four places from Morocco to the
Rhineland at once; the need is the cultivar's. A warm spring so hastens bloom by the five to six days a kelvin that long
records show, and a winter of little chill delays it.

Days of year: the number v means noon of day v, so the nearest whole number is the day.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

DAYS_BEFORE_NEW_YEAR = 92  # 1 October to 31 December
WINTER_HOURS = (DAYS_BEFORE_NEW_YEAR + 90) * 24  # to 31 March
CHILL_FLOOR = 40.0  # [portions] under which less chill asks for no more heat

# The dynamic model gives nothing below freezing, so a winter of the far north can end with few portions and its trees
# bloom all the same. A winter whose coldest 30 days average this or less counts as a full one by 1 April (assumption,
# no source): “chill not met” is for warm winters.
FROZEN_WINTER = -8.0  # [deg C]
FULL_CHILL = 90.0  # [portions], in the middle of what two temperate places get


@dataclass(frozen=True)
class BloomShape:
    """What all cultivars and places share.

    Attributes
    ----------
    midpoint, width : [deg C], [K] of the response to warmth
    gate_day, gate_width : day of the year, [d] of the gate
    extra : heat needed on top at the chill floor, as a share
    fading : [1/portion] how fast chill takes the extra away
    """

    midpoint: float
    width: float
    gate_day: float
    gate_width: float
    extra: float
    fading: float


@dataclass(frozen=True)
class BloomNeed:
    """What a cultivar needs to bloom; numbers or arrays (cultivars,).

    Attributes
    ----------
    heat : [h] of full warmth, chill aside
    required : [portions] chill to be had by the day of bloom, else the answer is “chill not met”
    """

    heat: float | Array
    required: float | Array


def warmth(temperature: npt.ArrayLike, shape: BloomShape) -> Array:
    """How much every hour counts, 0 to 1.

    Parameters
    ----------
    temperature : (years, hours) [deg C], whole days from 1 October
    """
    air = np.asarray(temperature, dtype=float)
    day = np.arange(air.shape[1] // 24) - (DAYS_BEFORE_NEW_YEAR - 1.0)
    gate = _sigmoid((day - shape.gate_day) / shape.gate_width)
    return _sigmoid((air - shape.midpoint) / shape.width) * np.repeat(gate, 24)


def heat_after_chill(temperature: npt.ArrayLike, chill: Array, shape: BloomShape) -> Array:
    """Running heat as a share of what its chill makes the trees ask for; rises with every hour.

    Parameters
    ----------
    temperature : (years, hours) [deg C], whole days from 1 October
    chill : (years, hours) running total [portions]

    Returns
    -------
    (years, hours) [h] to be held against `BloomNeed.heat`
    """
    asked = 1.0 + shape.extra * np.exp(-shape.fading * np.maximum(chill - CHILL_FLOOR, 0.0))
    running: Array = np.cumsum(warmth(temperature, shape), axis=1) / asked
    return running


def bloom_hours(heat: Array, chill: Array, need: BloomNeed) -> Array:
    """Hour of bloom, counted from the start of the arrays; NaN = chill not met, or too little heat.

    Parameters
    ----------
    heat : (years, hours) from `heat_after_chill`
    chill : (years, hours) running total [portions]
    need : of one cultivar, or arrays (cultivars,)

    Returns
    -------
    (years, cultivars) hours passed, with fraction
    """
    needed = np.atleast_1d(np.asarray(need.heat, dtype=float))
    years, hours = heat.shape
    at = np.empty((years, needed.size), dtype=np.int64)
    for year, running in enumerate(heat):
        at[year] = np.searchsorted(running, needed, side="left")
    row = np.arange(years)[:, np.newaxis]
    hour = np.minimum(at, hours - 1)
    before = np.where(hour > 0, heat[row, np.maximum(hour - 1, 0)], 0.0)
    gained = heat[row, hour] - before
    fraction = np.clip((needed - before) / np.where(gained > 0, gained, 1.0), 0.0, 1.0)
    met = (at < hours) & (chill[row, hour] >= np.asarray(need.required, dtype=float))
    return np.where(met, hour + fraction, np.nan)


def _sigmoid(value: Array) -> Array:
    share: Array = 1.0 / (1.0 + np.exp(-np.clip(value, -60.0, 60.0)))
    return share


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


def day_of_year(hours: npt.ArrayLike) -> Array:
    """Day of the bloom year from hours since 1 October, 0:00. Noon of 1 January is 1."""
    return np.asarray(hours, dtype=float) / 24.0 - (DAYS_BEFORE_NEW_YEAR - 0.5)
