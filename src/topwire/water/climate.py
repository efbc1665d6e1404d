"""The weather years as the water balance wants them: whole years, no gaps, reference evapotranspiration and rain."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.values.notice import CannotAnswer, Notice, assumption, refusal, warning
from topwire.weather.air import relative_humidity
from topwire.weather.evapotranspiration import reference_evapotranspiration
from topwire.weather.record import Weather

Array = npt.NDArray[np.float64]

DAYS = 365  # 29 February is left out
GROWING = slice(90, 304)  # 1 April to 31 October
_GAPS_ALLOWED = 30  # [d] in the growing season, filled with the day's mean of the other years
SUMMER = slice(151, 243)  # June to August


@dataclass(frozen=True)
class WaterClimate:
    """Weather by day of the year; arrays (days, years).

    Attributes
    ----------
    years : (years,)
    reference : reference evapotranspiration [mm/d]
    rain : [mm/d]
    humidity_least, wind : (years,) means June to August [%], [m/s]
    notices : gaps and rules for missing data
    """

    years: npt.NDArray[np.int64]
    reference: Array
    rain: Array
    humidity_least: Array
    wind: Array
    notices: tuple[Notice, ...]


def climate_of(weather: Weather, *, latitude: float, elevation: float) -> WaterClimate:
    """Arrange a record by years and days.

    A year counts when it has every day and no more than 30 of them are empty between April and October; an empty day
    takes the mean of that day (within a week either side) over all years, and its rain with it, so that no water is
    made or lost over the years.

    Raises
    ------
    CannotAnswer
        Where not one year counts.
    """
    dates = weather.day.astype("datetime64[D]")
    year = dates.astype("datetime64[Y]").astype(np.int64) + 1970
    month_day = (dates - dates.astype("datetime64[Y]")).astype(np.int64)
    leap = ((year % 4 == 0) & (year % 100 != 0)) | (year % 400 == 0)
    skip = leap & (month_day == 59)
    day = np.where(leap & (month_day > 59), month_day - 1, month_day)
    no_rain = not np.isfinite(weather.rain).any()  # then as if none fell: the most that can be wanted
    rain = np.zeros(weather.rain.size) if no_rain else weather.rain.copy()
    known = np.isfinite(weather.tmin) & np.isfinite(weather.tmax) & np.isfinite(rain) & ~skip
    all_years = np.unique(year)
    grid = np.full((2, DAYS, all_years.size), np.nan)
    column = np.searchsorted(all_years, year)
    evaporation = reference_evapotranspiration(
        day_of_year=day + 1,
        tmin=weather.tmin,
        tmax=weather.tmax,
        latitude=latitude,
        elevation=elevation,
        dew=weather.dew_point,
        wind=weather.wind,
        sun=weather.sun,
    )
    # The rain of 29 February falls on the day after, so that the year keeps its rain.
    for position in np.flatnonzero(skip):
        if position + 1 < rain.size and np.isfinite(rain[position]):
            rain[position + 1] += rain[position]
    for layer, values in enumerate((evaporation.amount, rain)):
        grid[layer, day[known], column[known]] = values[known]
    empty = np.isnan(grid[0])
    usable = empty[GROWING].sum(axis=0) <= _GAPS_ALLOWED
    present = np.array([(year == one).sum() >= DAYS for one in all_years])
    usable &= present
    if not usable.any():
        raise CannotAnswer([refusal("water.no_whole_year", setting="weather.files", gaps=_GAPS_ALLOWED)])
    usual = _by_day(grid)
    filled = np.where(np.isnan(grid), usual[:, :, np.newaxis], grid)[:, :, usable]
    dew = (
        weather.tmin
        if weather.dew_point is None
        else np.where(np.isfinite(weather.dew_point), weather.dew_point, weather.tmin)
    )
    humidity = relative_humidity(weather.tmax, dew)
    wind = np.full(weather.tmin.size, 2.0) if weather.wind is None else weather.wind
    in_summer = (day >= SUMMER.start) & (day < SUMMER.stop) & known
    years = all_years[usable]
    told = (warning("water.no_rain", setting="weather.files"),) if no_rain else ()
    notices = told + _notices(
        years, empty[:, usable], int((~usable).sum()), bool(evaporation.wind_estimated.all())
    )
    return WaterClimate(
        years,
        filled[0],
        filled[1],
        _mean_by(year, years, humidity, in_summer, 45.0),
        _mean_by(year, years, wind, in_summer, 2.0),
        notices,
    )


def _by_day(grid: Array) -> Array:
    """Mean of each day of the year over all years, within a week either side. (layers, days)"""
    known = np.isfinite(grid)
    total, count = np.where(known, grid, 0.0).sum(axis=2), known.sum(axis=2).astype(float)
    spread = np.arange(-7, 8)
    near = (np.arange(DAYS)[:, np.newaxis] + spread) % DAYS
    mean: Array = total[:, near].sum(axis=2) / np.maximum(count[:, near].sum(axis=2), 1.0)
    return mean


def _mean_by(
    year: npt.NDArray[np.int64],
    years: npt.NDArray[np.int64],
    values: Array,
    where: npt.NDArray[np.bool_],
    other: float,
) -> Array:
    means = np.empty(years.size)
    for index, one in enumerate(years):
        part = values[where & (year == one)]
        part = part[np.isfinite(part)]
        means[index] = part.mean() if part.size else other
    return means


def _notices(
    years: npt.NDArray[np.int64], empty: npt.NDArray[np.bool_], left_out: int, no_wind: bool
) -> tuple[Notice, ...]:
    notices = []
    if no_wind:
        notices.append(assumption("water.no_wind", setting="weather.files", source="FAO56"))
    if empty.any():
        notices.append(
            assumption(
                "water.gaps_filled",
                setting="weather.files",
                days=int(empty.sum()),
                years=int(empty.any(axis=0).sum()),
                of=years.size,
            )
        )
    if left_out:
        notices.append(assumption("water.years_left_out", setting="weather.files", years=left_out))
    if years.size < 10:
        notices.append(warning("water.few_years", setting="weather.files", years=years.size))
    return tuple(notices)
