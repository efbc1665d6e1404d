"""Many years out of few: invented daily weather with the statistics of a record."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.values.fault import assumption
from topwire.weather.climate import Climate, fit_climate, from_normal
from topwire.weather.memory import drawn_scores
from topwire.weather.rain import WET, drawn_rain
from topwire.weather.record import Weather

Array = npt.NDArray[np.float64]

FIRST_YEAR = 2001  # the calendar year the invented ones begin with; it has no other meaning
_RUN_IN = 365  # [d] thrown away, until chain and memory have forgotten how they began


@dataclass(frozen=True)
class InventedYears:
    """Daily weather that never was.

    Attributes
    ----------
    day : (days,) whole calendar years from FIRST_YEAR on, leap days with them
    tmin, tmax, rain : (days,) [deg C], [deg C], [mm]
    """

    day: npt.NDArray[np.datetime64]
    tmin: Array
    tmax: Array
    rain: Array


def invent_years(climate: Climate, years: int, *, seed: int) -> InventedYears:
    """Whole years drawn from a climate; the same seed gives the same years.

    Parameters
    ----------
    climate : of :func:`topwire.weather.climate.fit_climate`
    years : how many, 1 or more
    seed : of the random numbers
    """
    start, end = np.datetime64(f"{FIRST_YEAR}-01-01"), np.datetime64(f"{FIRST_YEAR + years:04d}-01-01")
    day = np.arange(start - _RUN_IN, end)
    of_year = (day - day.astype("datetime64[Y]")).astype(np.int64)
    month = day.astype("datetime64[M]").astype(np.int64) % 12
    # rain and temperature have their own streams, so that a change in one leaves the other as it was
    showers, weather = (np.random.default_rng([seed, part]) for part in range(2))
    rain = drawn_rain(climate.rain, of_year, month, showers)
    scores = drawn_scores(climate.memory, month, weather.standard_normal((4, day.size)))
    state = (rain >= WET).astype(np.int64)
    ends = []
    for element in range(2):
        departure = from_normal(scores[element], climate.ranks[element], climate.scores, month)
        ends.append(
            climate.mean[element][state, of_year] + climate.spread[element][state, of_year] * departure
        )
    tmax = np.maximum(ends[1], ends[0])
    tmin = np.minimum(ends[0], ends[1])
    kept = slice(_RUN_IN, None)
    return InventedYears(day[kept], tmin[kept], tmax[kept], rain[kept])


def lengthen(weather: Weather, years: int, *, seed: int) -> Weather:
    """A record of invented years with the statistics of a measured one.

    Moisture, wind and sun are not invented; the rules for missing data stand in for them.

    Raises
    ------
    ValueError
        When the record has less than three years, or is a typical year.
    """
    if weather.typical:
        raise ValueError("a typical year holds no spread between years; invented years need a real record")
    climate = fit_climate(weather.day, weather.tmin, weather.tmax, weather.rain)
    made = invent_years(climate, years, seed=seed)
    has_rain = bool(np.isfinite(weather.rain).any())
    says = (
        f"{years:,} years were invented from the statistics of {climate.years:.0f} years of record (seed {seed}). "
        "What those years never saw, a change of climate among it, is not in them."
    )
    size = made.day.size
    return Weather(
        day=made.day,
        tmin=made.tmin,
        tmax=made.tmax,
        rain=made.rain if has_rain else np.full(size, np.nan),
        dew_point=None,
        wind=None,
        sun=None,
        hourly=None,
        filled=np.zeros(size, dtype=bool),
        source=np.zeros(size, dtype=np.int64),
        files=(f"invented from {' + '.join(weather.files)}",),
        typical=False,
        notices=(assumption("weather", says, source="RICHARDSON1981"),),
        temperature_filled=np.zeros(size, dtype=bool),
        rain_filled=np.zeros(size, dtype=bool),
    )
