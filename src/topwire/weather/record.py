"""The weather of a place: one daily record, with its gaps, repairs and sources."""

from dataclasses import dataclass, fields, replace
from datetime import date
from typing import Any

import numpy as np

from topwire.values.arrays import Booleans, Days, Floats, Integers
from topwire.values.fault import FileNotice


@dataclass(frozen=True)
class Weather:
    """Daily weather on an unbroken axis of days.

    Attributes
    ----------
    day : (days,) dates, each one day after the last
    tmin, tmax : (days,) [deg C]; NaN where missing and not filled
    rain : (days,) [mm]; NaN where missing and not filled
    dew_point : (days,) [deg C] or None where no file has it
    wind : (days,) [m/s] mean at 2 m above ground, or None
    sun : (days,) [MJ/m2/d] global radiation on the level, or None
    hourly : (days, 24) [deg C] measured hourly temperature, NaN where missing, or None
    filled : (days,) True where tmin, tmax or rain was filled by rule
    source : (days,) index into `files`; -1 where no file has the day
    files : names of the files, in the order given
    typical : the record is a typical year put together of several, not a sequence of real years
    notices : what reading and checking found
    temperature_filled, rain_filled : (days,) the two parts of `filled`. Wherever `filled` is True tmin and tmax are
        known, and wherever `rain_filled` is True so is rain
    hourly_dew_point, hourly_wind, hourly_sun, hourly_rain : (days, 24) [deg C], [m/s] at 2 m, [MJ/m2/h], [mm]; NaN
        where missing, or None where no file has hours of it
    from_cell : (days,) True where the lowest temperature comes from a grid cell, or is filled between such; None where
        no file is of a cell
    stations : file, latitude and longitude [deg] where files state them
    """

    day: Days
    tmin: Floats
    tmax: Floats
    rain: Floats
    dew_point: Floats | None
    wind: Floats | None
    sun: Floats | None
    hourly: Floats | None
    filled: Booleans
    source: Integers
    files: tuple[str, ...]
    typical: bool
    notices: tuple[FileNotice, ...]
    temperature_filled: Booleans | None = None
    rain_filled: Booleans | None = None
    hourly_dew_point: Floats | None = None
    hourly_wind: Floats | None = None
    hourly_sun: Floats | None = None
    hourly_rain: Floats | None = None
    stations: tuple[tuple[str, float, float], ...] = ()
    from_cell: Booleans | None = None

    def before(self, day: date) -> "Weather":
        """The record as it was on the morning of `day`."""
        return self._kept(self.day < np.datetime64(day))

    def since(self, day: date) -> "Weather":
        """The days from `day` on."""
        return self._kept(self.day >= np.datetime64(day))

    def _kept(self, keep: Booleans) -> "Weather":
        parts: dict[str, Any] = {
            each.name: value[keep]
            for each in fields(self)
            if isinstance(value := getattr(self, each.name), np.ndarray) and value.shape[:1] == keep.shape
        }
        return replace(self, **parts)
