"""The days a kept forecast tells, beside the record: a kind of its own that is joined only while a week is reckoned."""

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np

from topwire.weather.forecast_kept import kept_forecast
from topwire.weather.record import Weather

_MORNING = np.timedelta64(12, "h")  # of universal time, at which a day's question is taken to be put


def days_ahead(folder: Path, day: date, like: Weather) -> tuple[Weather | None, str]:
    """Days from `day` on of the newest forecast issued by then, and the line of credit it asks for.

    Parameters
    ----------
    like : the record, whose other columns the days lack

    Raises
    ------
    Faults
        A kept file cannot be read as a forecast.
    """
    start = np.datetime64(day)
    found = kept_forecast(folder, start.astype("datetime64[s]") + _MORNING)
    if found is None:
        return None, ""
    keep = (found.day >= start) & np.isfinite(found.tmin) & np.isfinite(found.tmax)
    keep &= found.whole | (found.day == start)
    keep &= np.cumsum(~keep & (found.day >= start)) == 0
    if not keep.any() or found.day[keep][0] != start:
        return None, ""
    rain = np.nan_to_num(found.day_rain[keep])
    return bare(like, found.day[keep], found.tmin[keep], found.tmax[keep], rain), found.credit


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
