"""The carbohydrate index in the thinning window of every weather year of the place."""

import numpy as np

from topwire.growth.carbon import carbohydrate_index
from topwire.growth.result import SugarYear
from topwire.growth.trunk import Floats, Integers
from topwire.weather.radiation import radiation_from_range
from topwire.weather.record import Weather
from topwire.weather.sun import day_length, extraterrestrial_radiation

_FIRST, _LAST = 60, 200  # day of year between which thinning windows fall
_PAR = 0.5  # share of the global radiation leaves can use
_BASE = 4.0  # [deg C]
WINDOW = (200.0, 250.0)  # [K d] base 4 deg C after full bloom, fruit about 12 mm (THIN-WISC21)
_AFTER_BLOOM = 50  # days held against one another


def sugar_years(
    weather: Weather, years: Integers, green_tip: Floats, full_bloom: Floats, *, latitude: float
) -> tuple[SugarYear, ...]:
    """Window of main thinning and the relative carbohydrate index in it, year by year.

    Radiation comes from the record where it has it, else from the day's swing of temperature. The index holds each
    day against the same fifty days after bloom of all years; years with a gap in them are left out.

    Parameters
    ----------
    weather : Weather
    years : ndarray
        Shape (years,).
    green_tip, full_bloom : ndarray
        Middle of the orchard's cultivars, shape (years,). [day of year]
    latitude : float
        [deg north]
    """
    day = np.arange(_FIRST, _LAST + 1)
    sky = extraterrestrial_radiation(latitude, day)
    hours = day_length(latitude, day)
    kept, light, warm, leaf_heat, bloom_heat = [], [], [], [], []
    for place, year in enumerate(years):
        tip, bloom = green_tip[place], full_bloom[place]
        at = (np.datetime64(f"{year}-01-01") - weather.day[0]).astype(int) + day - 1
        if not (np.isfinite(tip) and np.isfinite(bloom)) or at[0] < 0 or at[-1] >= len(weather.day):
            continue
        tmin, tmax = weather.tmin[at], weather.tmax[at]
        mean = (tmin + tmax) / 2
        sun = radiation_from_range(tmin, tmax, sky) if weather.sun is None else weather.sun[at]
        sun = np.where(np.isfinite(sun), sun, radiation_from_range(tmin, tmax, sky))
        after = (day >= np.floor(bloom)) & (day < bloom + _AFTER_BLOOM)
        if not np.isfinite(sun[after]).all():
            continue
        growing = np.nan_to_num(np.maximum(mean - _BASE, 0.0))
        kept.append((int(year), float(bloom)))
        light.append(np.where(after, _PAR * sun, np.nan))
        warm.append(np.where(after, mean, np.nan))
        leaf_heat.append(np.cumsum(growing * (day >= tip)))
        bloom_heat.append(np.cumsum(growing * (day >= bloom)))
    if not kept:
        return ()
    index = carbohydrate_index(np.array(light), hours, np.array(warm), np.array(leaf_heat))
    found = []
    for place, (year, _) in enumerate(kept):
        inside = (
            (bloom_heat[place] >= WINDOW[0]) & (bloom_heat[place] <= WINDOW[1]) & np.isfinite(index[place])
        )
        if inside.any():
            days = day[inside]
            found.append(SugarYear(year, int(days[0]), int(days[-1]), float(index[place][inside].mean())))
    return tuple(found)
