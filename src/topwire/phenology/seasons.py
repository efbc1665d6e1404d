"""A weather record cut into seasons: one row a year, from 1 October before to 31 December."""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from topwire.phenology.bloom import DAYS_BEFORE_NEW_YEAR
from topwire.weather.hours import hourly_temperature
from topwire.weather.record import Weather

Array = npt.NDArray[np.float64]

DAYS = DAYS_BEFORE_NEW_YEAR + 365  # a leap year's 31 December is left off
HOURLY_DAYS = DAYS_BEFORE_NEW_YEAR + 181  # to 30 June: chill and bloom need hours, nothing later does
LONGEST_GAP = 7  # [d] that a season under way may miss in a row: planning figure, no source
NEEDED_DAYS = DAYS_BEFORE_NEW_YEAR + 304  # a year without weather to 31 October cannot be used


@dataclass(frozen=True)
class Seasons:
    """Daily and hourly temperature by season.

    Attributes
    ----------
    years : (years,) year of bloom
    tmin, tmax : (years, DAYS) [deg C]; after 31 October missing days carry the last value
    temperature : (years, HOURLY_DAYS * 24) [deg C]
    unusable : years within the record whose weather has gaps
    """

    years: npt.NDArray[np.int64]
    tmin: Array
    tmax: Array
    temperature: Array
    unusable: tuple[int, ...]

    def warmed(self, nights: Array | float, days: Array | float) -> "Seasons":
        """The same seasons, lowest and highest of every day so much warmer [K]; (DAYS,), or one number for all.

        An hour moves with its place between the two: the daily curve is linear in its ends.
        """
        low = np.broadcast_to(np.asarray(nights, dtype=float), (DAYS,))
        high = np.broadcast_to(np.asarray(days, dtype=float), (DAYS,))
        hours = self.temperature.reshape(self.years.size, HOURLY_DAYS, 24)
        bottom, span = self.tmin[:, :HOURLY_DAYS], (self.tmax - self.tmin)[:, :HOURLY_DAYS]
        part = np.clip((hours - bottom[:, :, None]) / np.maximum(span, 1e-6)[:, :, None], 0.0, 1.0)
        moved = hours + low[:HOURLY_DAYS, None] + part * (high - low)[:HOURLY_DAYS, None]
        ends = self.tmin + low, self.tmax + high
        return replace(
            self,
            tmin=np.minimum(*ends),
            tmax=np.maximum(*ends),
            temperature=moved.reshape(self.temperature.shape),
        )

    def since(self, first: int) -> "Seasons":
        """The seasons of the years from `first` on."""
        return self.some(self.years >= first)

    def some(self, keep: npt.NDArray[np.bool_]) -> "Seasons":
        """The seasons of some of the years."""
        return replace(
            self,
            years=self.years[keep],
            tmin=self.tmin[keep],
            tmax=self.tmax[keep],
            temperature=self.temperature[keep],
        )


def cut(weather: Weather, latitude: float) -> Seasons:
    """Seasons of all years of the record.

    A year is usable when no day from 1 October before to 31 October lacks a temperature. A typical year made up of
    several is closed into a ring: its own autumn serves as the autumn before.

    Parameters
    ----------
    weather : the record
    latitude : [degrees north]
    """
    day, tmin, tmax, measured = weather.day, weather.tmin, weather.tmax, weather.hourly
    if weather.typical:
        day, tmin, tmax, measured = _ring(day, tmin, tmax, measured)
    hourly = _hourly(day, tmin, tmax, measured, latitude)
    usable, starts, unusable = _found(day, tmin, tmax)
    return Seasons(
        years=np.array(usable, dtype=np.int64),
        tmin=_rows(tmin, starts),
        tmax=_rows(tmax, starts),
        temperature=_hours(hourly, starts),
        unusable=tuple(unusable),
    )


def whole_seasons(weather: Weather) -> int:
    """How many seasons of a record :func:`cut` can use."""
    day, tmin, tmax = weather.day, weather.tmin, weather.tmax
    if weather.typical:
        day, tmin, tmax, _ = _ring(day, tmin, tmax, None)
    return len(_found(day, tmin, tmax)[0])


def _found(
    day: npt.NDArray[np.datetime64], tmin: Array, tmax: Array
) -> tuple[list[int], list[int], list[int]]:
    """Years whose season can be used with the index it starts at, and years whose weather has gaps."""
    known = np.isfinite(tmin) & np.isfinite(tmax)
    usable, starts, unusable = [], [], []
    for year in range(int(str(day[0])[:4]), int(str(day[-1])[:4]) + 1):
        start = int((np.datetime64(f"{year - 1}-10-01") - day[0]).astype(np.int64))
        if start < 0 or start + NEEDED_DAYS > day.size:
            continue  # the record begins or ends within this season
        if known[start : start + NEEDED_DAYS].all():
            usable.append(year)
            starts.append(start)
        else:
            unusable.append(year)
    return usable, starts, unusable


@dataclass(frozen=True)
class Begun:
    """The season under way: its year, and what is known of it from 1 October on (days,), (days * 24,)."""

    year: int
    tmin: Array
    tmax: Array
    temperature: Array

    def within(self, others: Seasons) -> Seasons:
        """This season as it may go on: its own days, then those of each of the `others`."""
        days, hours = self.tmin.size, min(self.temperature.size, others.temperature.shape[1])
        tmin, tmax, temperature = others.tmin.copy(), others.tmax.copy(), others.temperature.copy()
        tmin[:, :days], tmax[:, :days] = self.tmin, self.tmax
        temperature[:, :hours] = self.temperature[:hours]
        return replace(others, tmin=tmin, tmax=tmax, temperature=temperature)


def begun(weather: Weather, latitude: float, year: int | None = None) -> Begun | None:
    """The season in which the record ends, or that of `year`, as far as the record goes; None where it is whole, not
    begun, or has gaps."""
    last = weather.day[-1]
    if year is None:
        year = int(str(last)[:4]) + (int(str(last)[5:7]) >= 10)
    start = int((np.datetime64(f"{year - 1}-10-01") - weather.day[0]).astype(np.int64))
    days = weather.day.size - start
    if weather.typical or start < 0 or not 0 < days < NEEDED_DAYS:
        return None
    tmin, tmax = weather.tmin[start:], weather.tmax[start:]
    if not (np.isfinite(tmin) & np.isfinite(tmax)).all():
        return None
    measured = None if weather.hourly is None else weather.hourly[start:]
    hourly = _hourly(weather.day[start:], tmin, tmax, measured, latitude)
    return Begun(year, tmin, tmax, hourly.ravel())


def begun_by(weather: Weather, latitude: float, year: int, until: np.datetime64) -> tuple[Begun, int]:
    """What is known of a season on the morning of `until`, and how many of its days were missing.

    A few missing days in a row take the line between their neighbours; a longer gap ends what is known.
    """
    if not weather.day.size:
        return Begun(year, np.empty(0), np.empty(0), np.empty(0)), 0
    start = int((np.datetime64(f"{year - 1}-10-01") - weather.day[0]).astype(np.int64))
    end = min(int((until - weather.day[0]).astype(np.int64)), weather.day.size, start + DAYS)
    if start < 0 or end <= start:
        return Begun(year, np.empty(0), np.empty(0), np.empty(0)), 0
    tmin, tmax = weather.tmin[start:end].copy(), weather.tmax[start:end].copy()
    known = np.flatnonzero(np.isfinite(tmin) & np.isfinite(tmax))
    steps = np.diff(known, prepend=-1)
    wide = np.flatnonzero(steps > LONGEST_GAP + 1)
    if wide.size:
        known = known[: wide[0]]
    if not known.size:
        return Begun(year, np.empty(0), np.empty(0), np.empty(0)), 0
    size = int(known[-1]) + 1
    days = np.arange(size)
    tmin, tmax = (np.interp(days, known, values[known]) for values in (tmin, tmax))
    stretch = slice(start, start + size)
    measured = None if weather.hourly is None else weather.hourly[stretch]
    hourly = _hourly(weather.day[stretch], tmin, tmax, measured, latitude)
    return Begun(year, tmin, tmax, hourly.ravel()), size - known.size


def _hourly(
    day: npt.NDArray[np.datetime64], tmin: Array, tmax: Array, measured: Array | None, latitude: float
) -> Array:
    """(days, 24) measured hours, and the curve through the two ends where there is none."""
    of_year = (day - day.astype("datetime64[Y]")).astype(np.int64) + 1
    hourly = hourly_temperature(of_year, tmin, tmax, latitude)
    # next to a gap the curve lacks its other end: the night beside it is taken at the day's minimum
    hourly = np.where(np.isfinite(hourly), hourly, tmin[:, np.newaxis])
    return hourly if measured is None else np.where(np.isfinite(measured), measured, hourly)


def _rows(values: Array, starts: list[int]) -> Array:
    padded = np.concatenate([values, np.full(DAYS, np.nan)])
    rows = np.array([padded[start : start + DAYS] for start in starts]).reshape(-1, DAYS)
    for day in range(NEEDED_DAYS, DAYS):
        missing = ~np.isfinite(rows[:, day])
        rows[missing, day] = rows[missing, day - 1]
    return rows


def _hours(hourly: Array, starts: list[int]) -> Array:
    return np.array([hourly[start : start + HOURLY_DAYS].ravel() for start in starts]).reshape(
        -1, HOURLY_DAYS * 24
    )


def _ring(
    day: npt.NDArray[np.datetime64], tmin: Array, tmax: Array, measured: Array | None
) -> tuple[npt.NDArray[np.datetime64], Array, Array, Array | None]:
    """A typical year with its own last three months put before it."""
    year = int(str(day[-1])[:4])
    tail = day >= np.datetime64(f"{year}-10-01")
    before = np.arange(
        np.datetime64(f"{year - 1}-10-01"), np.datetime64(f"{year - 1}-10-01") + int(tail.sum())
    )
    first = day[0]
    gap = np.arange(before[-1] + 1, first) if before.size and before[-1] + 1 < first else before[:0]
    missing = np.full(gap.size, np.nan)
    joined = np.concatenate([before, gap, day])
    low = np.concatenate([tmin[tail], missing, tmin])
    high = np.concatenate([tmax[tail], missing, tmax])
    if measured is None:
        return joined, low, high, None
    return joined, low, high, np.concatenate([measured[tail], np.full((gap.size, 24), np.nan), measured])
