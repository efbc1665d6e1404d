"""The weather ahead, as someone expects it: a kind of its own that never becomes part of the record.

A service tells values over stretches of time; here they become hours and days in the place's standard time, like those
of the record.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from topwire.values.arrays import Booleans, Days, Floats, Integers
from topwire.weather.air import relative_humidity
from topwire.weather.reading import FEWEST_HOURS, dew_point_from_humidity

WIDEST_STEP = 6  # [h] between two values told, over which a state is drawn straight
OLD = 24.0  # [h] from its issue a forecast is old: services issue two to four a day
# Names of hourly values: [deg C], [deg C], [%], [m/s] at 2 m, [m/s] at 10 m, share of the sky, [mm], share.
STATES = ("temperature", "dew_point", "humidity", "wind", "gust", "cloud", "rain_chance")
SUMS = ("rain",)


@dataclass(frozen=True)
class WeatherForecast:
    """What is expected of the hours and days ahead.

    Hours and days are of the place's standard time all year, as in a record. What the forecast does not give is NaN.

    Attributes
    ----------
    source : who issued it, in words
    credit : line to be printed wherever its figures are shown; empty for a file of the grower's
    issued : moment of issue, in universal time; NaT where the file does not say
    utc_offset : standard time less universal time [h]
    station : latitude and longitude [deg] it is for, or None
    elevation : height its temperatures are for [m], NaN where not said
    hour : (hours,) unbroken
    temperature, dew_point : (hours,) [deg C]
    humidity : (hours,) [%]
    wind : (hours,) [m/s] mean at 2 m
    gust : (hours,) [m/s] at 10 m
    cloud : (hours,) share of the sky
    rain : (hours,) [mm]
    rain_chance : (hours,) share; chance of rain in the stretch the hour lies in
    day : (days,) unbroken, the first and last often not whole
    tmin, tmax : (days,) [deg C] of the hours there are
    day_rain : (days,) [mm] of the hours there are
    day_rain_chance : (days,) greatest of its hours
    day_wind : (days,) [m/s] mean at 2 m of the hours there are
    hours_known : (days,) of 24, with a temperature; 24 where only the day's lowest and highest are told
    """

    source: str
    credit: str
    issued: np.datetime64
    utc_offset: int
    station: tuple[float, float] | None
    elevation: float
    hour: Days
    temperature: Floats
    dew_point: Floats
    humidity: Floats
    wind: Floats
    gust: Floats
    cloud: Floats
    rain: Floats
    rain_chance: Floats
    day: Days
    tmin: Floats
    tmax: Floats
    day_rain: Floats
    day_rain_chance: Floats
    day_wind: Floats
    hours_known: Integers

    @property
    def whole(self) -> Booleans:
        """(days,) True where at least 22 of a day's hours are told: its lowest and highest are the day's own."""
        made: Booleans = self.hours_known >= FEWEST_HOURS
        return made

    def age(self, now: np.datetime64) -> float:
        """Hours since it was issued [h], `now` in universal time; NaN where the file does not say when that was."""
        if np.isnat(self.issued):
            return float("nan")
        return float((now - self.issued) / np.timedelta64(3600, "s"))

    def is_old(self, now: np.datetime64) -> bool:
        """True a day after its issue, and where nobody knows when that was."""
        return not self.age(now) <= OLD


@dataclass(frozen=True)
class HoursAhead:
    """A value that holds for `hours` hours from `start`, hours since 1970 in universal time."""

    start: int
    hours: int
    value: float


def hours_of_states(stretches: Iterable[HoursAhead], first: int, count: int) -> Floats:
    """A state, the same in every hour of its stretch. (count,), NaN where none is told."""
    values = np.full(count, np.nan)
    for one in stretches:
        values[max(one.start - first, 0) : max(one.start + one.hours - first, 0)] = one.value
    return values


def hours_of_sums(stretches: Iterable[HoursAhead], first: int, count: int) -> Floats:
    """A sum, parted evenly over its stretch: an amount of six hours is no amount of each of them. (count,)"""
    return hours_of_states(
        (HoursAhead(one.start, one.hours, one.value / one.hours) for one in stretches), first, count
    )


def hours_of_moments(moments: Mapping[int, float], first: int, count: int) -> Floats:
    """A state told at single moments, drawn straight across at most six hours. (count,)"""
    at = np.array(sorted(moment for moment, value in moments.items() if np.isfinite(value)), dtype=np.int64)
    if not at.size:
        return np.full(count, np.nan)
    told = np.array([moments[int(moment)] for moment in at])
    hour = first + np.arange(count)
    values = np.interp(hour, at, told, left=np.nan, right=np.nan)
    after = np.searchsorted(at, hour, side="left").clip(0, at.size - 1)
    before = (np.searchsorted(at, hour, side="right") - 1).clip(0, at.size - 1)
    made: Floats = np.where(at[after] - at[before] > WIDEST_STEP, np.nan, values)
    return made


def forecast_of_hours(
    hours: Mapping[str, Floats],
    first: int,
    *,
    source: str,
    credit: str,
    issued: np.datetime64,
    utc_offset: int,
    station: tuple[float, float] | None,
    elevation: float,
    lows: Iterable[HoursAhead] = (),
    highs: Iterable[HoursAhead] = (),
) -> WeatherForecast:
    """Hours, and the days made of them.

    Parameters
    ----------
    hours : names of STATES and SUMS -> (hours,)
    first : the first hour, hours since 1970 in universal time
    lows, highs : lowest and highest temperatures [deg C] told for stretches. A low counts to the day its stretch ends
        in (a night's to its morning), a high to the day it begins in; they only ever widen what the hours say, since
        an hour's value may be a mean
    """
    count = next(iter(hours.values())).size
    known = {name: hours.get(name, np.full(count, np.nan)) for name in (*STATES, *SUMS)}
    warm = known["temperature"]
    known["dew_point"] = np.where(
        np.isfinite(known["dew_point"]), known["dew_point"], dew_point_from_humidity(warm, known["humidity"])
    )
    known["humidity"] = np.where(
        np.isfinite(known["humidity"]), known["humidity"], relative_humidity(warm, known["dew_point"])
    )
    hour = np.datetime64(first + utc_offset, "h") + np.arange(count)
    of_day = hour.astype("datetime64[D]")
    day = np.arange(of_day[0], of_day[-1] + 1)
    row = (of_day - day[0]).astype(np.int64)
    tmin, tmax = _by_day(warm, row, day.size, np.fmin), _by_day(warm, row, day.size, np.fmax)
    for ends, of, at in ((lows, (tmin, np.fmin), -1), (highs, (tmax, np.fmax), 0)):
        for one in ends:
            moment = one.start + (one.hours - 1 if at else 0) + utc_offset
            place = int((np.datetime64(moment, "h").astype("datetime64[D]") - day[0]).astype(np.int64))
            if 0 <= place < day.size:
                of[0][place] = of[1](of[0][place], one.value)
    told = np.bincount(row, weights=np.isfinite(warm), minlength=day.size).astype(np.int64)
    return WeatherForecast(
        source=source,
        credit=credit,
        issued=issued,
        utc_offset=utc_offset,
        station=station,
        elevation=elevation,
        hour=hour,
        day=day,
        tmin=tmin,
        tmax=tmax,
        day_rain=_by_day(known["rain"], row, day.size, np.add, start=0.0),
        day_rain_chance=_by_day(known["rain_chance"], row, day.size, np.fmax),
        day_wind=_mean(known["wind"], row, day.size),
        hours_known=told,
        **known,
    )


def forecast_of_days(
    day: Days,
    columns: Mapping[str, Floats],
    *,
    source: str,
    issued: np.datetime64,
    utc_offset: int,
    station: tuple[float, float] | None,
) -> WeatherForecast:
    """A forecast that tells days only: no hour of it is made up.

    Parameters
    ----------
    day : (days,) in order
    columns : tmin, tmax [deg C], and rain [mm], wind [m/s] at 2 m where they are told -> (days,)
    """
    axis = np.arange(day[0], day[-1] + 1)
    at = (day - axis[0]).astype(np.int64)

    def laid(name: str) -> Floats:
        values = np.full(axis.size, np.nan)
        values[at] = columns.get(name, np.nan)
        return values

    none = np.zeros(0)
    return WeatherForecast(
        source=source,
        credit="",
        issued=issued,
        utc_offset=utc_offset,
        station=station,
        elevation=float("nan"),
        hour=np.zeros(0, dtype="datetime64[h]"),
        day=axis,
        tmin=laid("tmin"),
        tmax=laid("tmax"),
        day_rain=laid("rain"),
        day_rain_chance=np.full(axis.size, np.nan),
        day_wind=laid("wind"),
        hours_known=np.where(np.isfinite(laid("tmin")) & np.isfinite(laid("tmax")), 24, 0),
        **dict.fromkeys((*STATES, *SUMS), none),
    )


def _by_day(values: Floats, row: Integers, days: int, join: np.ufunc, start: float = np.nan) -> Floats:
    known = np.isfinite(values)
    made = np.full(days, start)
    join.at(made, row[known], values[known])
    made[np.bincount(row[known], minlength=days) == 0] = np.nan
    return made


def _mean(values: Floats, row: Integers, days: int) -> Floats:
    known = np.isfinite(values)
    count = np.bincount(row[known], minlength=days)
    total = np.bincount(row[known], weights=values[known], minlength=days)
    return np.where(count > 0, total / np.maximum(count, 1), np.nan)
