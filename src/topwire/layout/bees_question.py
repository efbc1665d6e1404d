"""Of the weather record what bees fly by: hours fit for flight, spring by spring."""

from collections.abc import Sequence

import numpy as np

from topwire.layout.asked import BeeSprings
from topwire.layout.bees import fit_hours
from topwire.weather.hours import hourly_temperature
from topwire.weather.record import Weather

DAYS = 212  # to 31 July: whatever flowers later is no apple


def bee_springs(weather: Weather, years: Sequence[int], latitude: float) -> BeeSprings:
    """Hours fit for flight on the days of each year from 1 January, 0 on days without temperatures.

    Parameters
    ----------
    years : those of the seasons
    latitude : [degrees north]
    """
    of_year = (weather.day - weather.day.astype("datetime64[Y]")).astype(np.int64) + 1
    temperature = hourly_temperature(of_year, weather.tmin, weather.tmax, latitude)
    if weather.hourly is not None:
        temperature = np.where(np.isfinite(weather.hourly), weather.hourly, temperature)
    fit = fit_hours(
        of_year,
        temperature,
        latitude,
        rain=weather.rain,
        wind=weather.wind,
        hourly_rain=weather.hourly_rain,
        hourly_wind=weather.hourly_wind,
    )
    found = np.zeros((len(years), DAYS))
    for number, year in enumerate(years):
        start = int((np.datetime64(f"{year}-01-01") - weather.day[0]).astype(np.int64))
        here = fit[max(start, 0) : start + DAYS]
        found[number, max(-start, 0) : max(-start, 0) + here.size] = here
    known = weather.wind is not None and bool(np.isfinite(weather.wind).any())
    return BeeSprings(np.round(found, 2), known or weather.hourly_wind is not None)
