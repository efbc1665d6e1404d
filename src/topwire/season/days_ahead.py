"""The days a kept forecast tells, beside the record: a kind of its own that is joined only while a week is reckoned."""

from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np

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
