"""The days and hours a forecast tells, beside the record: a kind of its own, joined only while a day is reckoned."""

from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np

from topwire.values.arrays import Floats
from topwire.weather.forecast import WeatherForecast
from topwire.weather.record import Weather


def bare(like: Weather, day: Any, tmin: Any, tmax: Any, rain: Any) -> Weather:
    """Days of temperatures and rain alone."""
    return replace(
        like,
        day=day,
        tmin=tmin,
        tmax=tmax,
        rain=rain,
        dew_point=None,
        wind=None,
        sun=None,
        hourly=None,
        filled=np.zeros(len(day), dtype=bool),
        source=np.zeros(len(day), dtype=np.int64),
        temperature_filled=None,
        rain_filled=None,
        hourly_dew_point=None,
        hourly_wind=None,
        hourly_sun=None,
        hourly_rain=None,
        from_cell=None,
    )


def with_days_ahead(record: Weather, ahead: Weather, day: date) -> Weather:
    """The record with a forecast's days after it, temperatures and rain alone; a gap between them stays one."""
    start = np.datetime64(day)
    first = record.day[0] if record.day.size else ahead.day[0]
    days = np.arange(first, ahead.day[-1] + 1)
    later = ahead.day >= start
    parts = []
    for name in ("tmin", "tmax", "rain"):
        values = np.full(days.size, np.nan)
        values[: record.day.size] = getattr(record, name)
        values[(ahead.day[later] - first).astype(np.int64)] = getattr(ahead, name)[later]
        parts.append(values)
    made = bare(record, days, *parts)
    if record.hourly is None:
        return made
    hourly = np.full((days.size, 24), np.nan)
    hourly[: record.day.size] = record.hourly
    return replace(made, hourly=hourly)


def laid_over(record: Weather, more: Weather) -> Weather:
    """The record with the days and hours of another over it, on one axis; `more` wins where it knows."""
    first, last = min(record.day[0], more.day[0]), max(record.day[-1], more.day[-1])
    day = np.arange(first, last + np.timedelta64(1, "D"))
    parts: dict[str, Any] = {}
    for name in ("tmin", "tmax", "rain", "dew_point", "wind", "sun", *_HOURLY):
        shape = (day.size, 24) if name in _HOURLY else (day.size,)
        values = np.full(shape, np.nan)
        for one in (record, more):
            own = getattr(one, name)
            if own is not None:
                at = slice(int((one.day[0] - first).astype(int)), int((one.day[-1] - first).astype(int)) + 1)
                values[at] = np.where(np.isfinite(own), own, values[at])
        parts[name] = values if np.isfinite(values).any() else None
    return replace(bare(record, day, parts["tmin"], parts["tmax"], parts["rain"]), **parts)


_HOURLY = ("hourly", "hourly_dew_point", "hourly_wind", "hourly_rain")


def hours_ahead(told: WeatherForecast, day: date, like: Weather) -> Weather | None:
    """The days of a forecast from `day` on with their hours, until one is not whole; None where it has none."""
    start = np.datetime64(day)
    keep = (told.day >= start) & np.isfinite(told.tmin) & np.isfinite(told.tmax)
    keep &= told.whole | (told.day == start)
    keep &= np.cumsum(~keep & (told.day >= start)) == 0
    if not keep.any() or told.day[keep][0] != start:
        return None
    days = told.day[keep]
    made = bare(like, days, told.tmin[keep], told.tmax[keep], np.nan_to_num(told.day_rain[keep]))
    hours: dict[str, Any] = {
        name: _by_day(told, values, days)
        for name, values in zip(
            _HOURLY, (told.temperature, told.dew_point, told.wind, told.rain), strict=True
        )
    }
    return replace(made, wind=told.day_wind[keep], **hours)


def gusts_ahead(told: WeatherForecast, day: date) -> dict[date, float]:
    """Greatest gust of each day from `day` on that the forecast tells [m/s]."""
    of_day = told.hour.astype("datetime64[D]")
    found = {}
    for one in np.unique(of_day[of_day >= np.datetime64(day)]):
        gusts = told.gust[of_day == one]
        if np.isfinite(gusts).any():
            found[date.fromisoformat(str(one))] = float(np.nanmax(gusts))
    return found


def _by_day(told: WeatherForecast, values: Floats, days: Any) -> Floats:
    """(days, 24) of hourly values; NaN where the forecast does not tell an hour."""
    table = np.full((days.size, 24), np.nan)
    of_day = told.hour.astype("datetime64[D]")
    row = (of_day - days[0]).astype(np.int64)
    hour = (told.hour - of_day.astype("datetime64[h]")).astype(np.int64)
    here = (row >= 0) & (row < days.size)
    table[row[here], hour[here]] = values[here]
    return table
