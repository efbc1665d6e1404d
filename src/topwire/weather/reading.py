"""What one weather file says, before files are joined: the value every reader gives."""

from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from topwire.values.fault import FileNotice
from topwire.weather.air import dew_point, vapour_pressure
from topwire.weather.quality import AT_NIGHT, take_out_beyond

Array = npt.NDArray[np.float64]
Days = npt.NDArray[np.datetime64]

DAY_NAMES = (
    "tmin",
    "tmax",
    "rain",
    "dew_point",
    "wind",
    "sun",
)  # deg C, deg C, mm, deg C, m/s at 2 m, MJ/m2/d
HOUR_NAMES = ("temperature", "dew_point", "wind", "sun", "rain")  # deg C, deg C, m/s at 2 m, MJ/m2/h, mm
FEWEST_HOURS = 22  # of 24 a day needs for its extremes, means and sums
TYPICAL_YEAR = 2001  # the calendar year a typical year is laid on


@dataclass(frozen=True)
class Reading:
    """Days in the file's order, with the columns it has.

    Attributes
    ----------
    label : the file's name in messages
    day : (days,) dates, any order
    columns : name of DAY_NAMES -> (days,) values in the units named there, NaN where missing
    hours : name of HOUR_NAMES -> (days, 24), NaN where missing; empty where the file is daily
    typical : a typical year made of several
    notices : what reading found
    station : latitude and longitude [deg] as the file states them, or None
    gridded : means of a grid cell, not measured at one place
    """

    label: str
    day: Days
    columns: dict[str, Array]
    hours: dict[str, Array] = field(default_factory=dict)
    typical: bool = False
    notices: tuple[FileNotice, ...] = ()
    station: tuple[float, float] | None = None
    gridded: bool = False

    def taken(self, rows: npt.NDArray[np.int64]) -> "Reading":
        """The same file with these days only, in this order."""
        return replace(
            self,
            day=self.day[rows],
            columns={name: values[rows] for name, values in self.columns.items()},
            hours={name: values[rows] for name, values in self.hours.items()},
        )


def station_of(latitude: object, longitude: object) -> tuple[float, float] | None:
    """Where a file says it was measured; None where what it says is no place on earth."""
    try:
        north, east = float(str(latitude)), float(str(longitude))
    except ValueError:
        return None
    return (north, east) if abs(north) <= 90 and abs(east) <= 180 else None


def degrees(step: float) -> str:
    """A difference of temperature in both units: files are read before the plan's units are known."""
    return f"{step:+.1f} °C ({step * 1.8:+.1f} °F)"


def at_hour(day: Days, hour: npt.NDArray[np.int64]) -> Days:
    """Day and hour as one moment, to the hour."""
    moment: Days = np.add(day.astype("datetime64[h]"), hour.astype("timedelta64[h]"))
    return moment


def dew_point_from_humidity(temperature: Array, humidity: Array) -> Array:
    """Dew point [deg C] from temperature [deg C] and relative humidity [%]; NaN where humidity is not 1 to 105."""
    possible = np.where((humidity >= 1) & (humidity <= 105), np.minimum(humidity, 100), np.nan)
    return dew_point(vapour_pressure(temperature, possible))


def daily_reading(
    label: str, day: Days, columns: dict[str, Array], notices: tuple[FileNotice, ...]
) -> Reading:
    """A Reading of a daily file; a column of mean humidity [%] becomes dew point where none is there.

    Raises Faults where most of a column cannot be.
    """
    columns, beyond = take_out_beyond(day, columns, label)
    humidity = columns.pop("humidity", None)
    if humidity is not None and "dew_point" not in columns and {"tmin", "tmax"} <= columns.keys():
        columns["dew_point"] = dew_point_from_humidity((columns["tmin"] + columns["tmax"]) / 2, humidity)
    return Reading(label, day, columns, notices=(*notices, *beyond))


def hourly_reading(
    label: str,
    stamp: npt.NDArray[np.datetime64],
    columns: dict[str, Array],
    *,
    typical: bool = False,
    notices: tuple[FileNotice, ...] = (),
) -> Reading:
    """Days out of hours: extremes, means and sums of days with at least 22 hours.

    Parameters
    ----------
    stamp : (values,) the hour each value belongs to, local standard time; several values of an hour are averaged,
        amounts of rain and sun added up
    columns : names of HOUR_NAMES and humidity [%] -> (values,)

    Raises
    ------
    Faults
        When most of a column cannot be.
    """
    if "sun" in columns:
        sun = columns["sun"]
        columns = {**columns, "sun": np.where((sun < 0) & (sun >= AT_NIGHT), 0.0, sun)}
    columns, beyond = take_out_beyond(stamp.astype("datetime64[D]"), columns, label)
    hour = stamp.astype("datetime64[h]")
    humidity = columns.pop("humidity", None)
    if humidity is not None and "dew_point" not in columns:
        columns["dew_point"] = dew_point_from_humidity(columns["temperature"], humidity)
    days, row = np.unique(hour.astype("datetime64[D]"), return_inverse=True)
    cell = row * 24 + (hour - hour.astype("datetime64[D]")).astype(np.int64)
    hours = {
        name: _gathered(values, cell, days.size, add=name in ("rain", "sun"))
        for name, values in columns.items()
    }
    return Reading(label, days, days_of_hours(hours), hours, typical, (*notices, *beyond))


def days_of_hours(hours: dict[str, Array]) -> dict[str, Array]:
    """Daily columns out of hourly ones, (days, 24) -> (days,)."""
    columns = {}
    for name, values in hours.items():
        known = np.isfinite(values).sum(axis=1) >= FEWEST_HOURS
        whole = np.where(known[:, np.newaxis], values, 0.0)  # days without enough hours are masked below
        mean = np.nanmean(whole, axis=1)
        if name == "temperature":
            columns["tmin"] = np.where(known, np.nanmin(whole, axis=1), np.nan)
            columns["tmax"] = np.where(known, np.nanmax(whole, axis=1), np.nan)
        elif name in ("rain", "sun"):
            columns[name] = np.where(known, 24 * mean, np.nan)
        else:
            columns[name] = np.where(known, mean, np.nan)
    return columns


def _gathered(values: Array, cell: npt.NDArray[np.int64], days: int, *, add: bool) -> Array:
    known = np.isfinite(values)
    count = np.bincount(cell[known], minlength=days * 24)
    total = np.bincount(cell[known], weights=values[known], minlength=days * 24)
    gathered = total if add else total / np.maximum(count, 1)
    return np.where(count > 0, gathered, np.nan).reshape(days, 24)
