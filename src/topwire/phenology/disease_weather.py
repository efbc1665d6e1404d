"""Weather that carries disease: bloom in which fire blight can infect, and how wet the spring is."""

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from topwire.phenology.heat import sine_above

Array = npt.NDArray[np.float64]

# Blossom infection by degree-hours (STEINER1990): heat since the oldest flower still open was opened, a flower's life,
# the day's mean, and water on the blossoms.
BLIGHT_BASE = 18.3  # [deg C]
BLIGHT_HEAT = 110.0  # [K h]
FLOWER_BASE = 4.4  # [deg C]
FLOWER_LIFE = 44.4  # [K d]
BLIGHT_MEAN = 15.6  # [deg C] of the day
RAIN_TODAY, RAIN_BEFORE = 0.25, 2.5  # [mm]
WET_DAY = 2.5  # [mm] of a spring day that wets leaves for long: planning figure, no source
SPRING = slice(90, 181)  # April to June


def heat_on_blossoms(
    heat: npt.ArrayLike, ageing: npt.ArrayLike, first_bloom: npt.ArrayLike, petal_fall: npt.ArrayLike
) -> Array:
    """Heat on the oldest flower still open [K h], (cultivars, days); NaN on days without open flowers.

    Parameters
    ----------
    heat : (days,) [K h] above BLIGHT_BASE, from 1 January
    ageing : (days,) [K d] above FLOWER_BASE
    first_bloom, petal_fall : (cultivars,) [day of the year]; NaN = no bloom

    Source: STEINER1990. The heat is summed back over the flowers still open, at most since first bloom.
    """
    running = np.concatenate([[0.0], np.cumsum(heat)])
    age = np.concatenate([[0.0], np.cumsum(ageing)])
    day = np.arange(running.size - 1)
    opened = np.interp(age[1:] - FLOWER_LIFE, age, running)  # by when the oldest flower still open was
    begin = np.floor(np.nan_to_num(np.asarray(first_bloom, dtype=float), nan=1e6)[:, None] - 1.0)
    end = np.nan_to_num(np.asarray(petal_fall, dtype=float), nan=-1e6)[:, None] - 1.0
    found = np.full((begin.size, day.size), np.nan)
    if not begin.size:
        return found
    bloom = slice(max(int(begin.min()), 0), max(int(np.floor(end.max())) + 1, 0))  # no flower is open outside
    day = day[None, bloom]
    bloomed = running[np.clip(begin, 0, running.size - 1).astype(np.int64)]
    open_now = (day >= begin) & (day <= end)
    since = np.maximum(opened[None, bloom], bloomed)
    found[:, bloom] = np.where(open_now, running[1:][None, bloom] - since, np.nan)
    return found


def blight_heat(
    tmin: npt.ArrayLike, tmax: npt.ArrayLike, first_bloom: npt.ArrayLike, petal_fall: npt.ArrayLike
) -> npt.NDArray[np.bool_]:
    """Days on which open blossoms have had the heat for infection, (cultivars, days); water is all they still want.

    Parameters
    ----------
    tmin, tmax : (days,) [deg C] of one year from 1 January
    first_bloom, petal_fall : (cultivars,) [day of the year]; NaN = no bloom

    Source: STEINER1990.
    """
    low, high = np.asarray(tmin, dtype=float), np.asarray(tmax, dtype=float)
    heat, ageing = degree_hours(low, high), sine_above(low, high, FLOWER_BASE)
    on_blossoms = heat_on_blossoms(heat, ageing, first_bloom, petal_fall)
    warm = (low + high) / 2.0 >= BLIGHT_MEAN
    with np.errstate(invalid="ignore"):
        return np.asarray((on_blossoms >= BLIGHT_HEAT) & warm[None, :])


def degree_hours(tmin: npt.ArrayLike, tmax: npt.ArrayLike) -> Array:
    """Heat of days above BLIGHT_BASE [K h] under a sine wave through their two ends."""
    return 24.0 * sine_above(tmin, tmax, BLIGHT_BASE)


def wetted(rain: npt.ArrayLike) -> npt.NDArray[np.bool_]:
    """Days with rain on the blossoms, or much of it on the day before. Dew is not seen in a record of rain.

    Parameters
    ----------
    rain : (days,) [mm]; missing counts as none
    """
    fallen = np.nan_to_num(np.asarray(rain, dtype=float))
    before = np.concatenate([[0.0], fallen[:-1]])
    return np.asarray((fallen >= RAIN_TODAY) | (before >= RAIN_BEFORE))


def blight_years(
    year_of: Callable[[int], tuple[Array, Array, Array]],
    years: npt.NDArray[np.int64],
    first_bloom: Array,
    petal_fall: Array,
) -> tuple[Array, Array, Array]:
    """Days of bloom in blight weather: with water on the blossoms, and were they wetted each day; wet days of spring.

    Parameters
    ----------
    year_of : tmin, tmax [deg C] and rain [mm] of a year, from 1 January
    first_bloom, petal_fall : (years, cultivars) [day of the year]

    Returns
    -------
    (years, cultivars), (years, cultivars), (years,) [d]
    """
    wet_bloom, warm_bloom = np.zeros(first_bloom.shape), np.zeros(first_bloom.shape)
    wet_spring = np.zeros(years.size)
    # cultivars that flower on the same days in all years are counted once
    flowers = np.nan_to_num(np.vstack([first_bloom, petal_fall]))
    _, first, of_all = np.unique(flowers, axis=1, return_index=True, return_inverse=True)
    of_all = of_all.ravel()
    for at, year in enumerate(years):
        tmin, tmax, rain = year_of(int(year))
        hot = blight_heat(tmin, tmax, first_bloom[at, first], petal_fall[at, first])
        wet_bloom[at] = (hot & wetted(rain)[None, :]).sum(axis=1)[of_all]
        warm_bloom[at] = hot.sum(axis=1)[of_all]
        wet_spring[at] = (np.nan_to_num(rain[SPRING]) >= WET_DAY).sum()
    return wet_bloom, warm_bloom, wet_spring
