"""What threatens on a day: the protection asked with the season's stages, the record and the forecast of that day."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

import numpy as np

from topwire.phenology.bloom import DAYS_BEFORE_NEW_YEAR
from topwire.phenology.seasons import Seasons, begun_by
from topwire.protection.answer import answer
from topwire.protection.asked import ProtectionQuestion, StageDays
from topwire.protection.findings import ProtectionFindings
from topwire.protection.insects import InsectClock
from topwire.season.dates import KnownPlace, SeasonDates, season_dates
from topwire.season.days_ahead import bare, with_days_ahead
from topwire.season.kept import OpenedFolder
from topwire.season.seen import Seen
from topwire.values.arrays import Floats
from topwire.values.insect_clock import ClockStart
from topwire.weather.forecast import WeatherForecast
from topwire.weather.forecast_kept import kept_forecast
from topwire.weather.record import Weather

MORNING = np.timedelta64(12, "h")  # of universal time, at which a day's question is taken to be put


_SCABBED = 0.01  # of the leaves of autumn, from which scab is taken to be much about (WV-SCAB)


@dataclass(frozen=True)
class Noted:
    """What was noted of pests: hail, the first catch of this year by insect, scab on the leaves of last autumn."""

    hail: tuple[date, ...]
    caught: Mapping[str, date]
    scabbed: bool


def noted_in(seen: Seen, clocks: Sequence[InsectClock]) -> Noted:
    """The same out of the records: “hail”, “codling moth in trap”, “scab on 3 % of leaves” in autumn."""
    this_year = [row for row in seen.pests if row.day.year == seen.day.year]
    caught: dict[str, date] = {}
    for row in sorted(this_year, key=lambda row: row.day):
        for name in {clock.insect for clock in clocks if clock.starts is ClockStart.FIRST_CATCH}:
            if name.lower() in row.what.lower() and row.on.startswith("trap") and row.count != 0:
                caught.setdefault(name, row.day)
    return Noted(
        hail=tuple(row.day for row in this_year if "hail" in row.what.lower()),
        caught=caught,
        scabbed=any(
            "scab" in row.what.lower() and (row.share or 0.0) > _SCABBED
            for row in seen.pests
            if row.day.year < seen.day.year
        ),
    )


def threats_on(
    opened: OpenedFolder,
    day: date,
    seen: Seen,
    *,
    weather: Weather | None = None,
    forecast: WeatherForecast | None = None,
    hail: Sequence[date] = (),
    caught: Mapping[str, date] | None = None,
    scabbed: bool = False,
) -> ProtectionFindings:
    """What threatened in the fortnight before `day` and threatens in the days ahead, with what was known then.

    Parameters
    ----------
    weather : a further record, of this year so far; where both have a day, its hours and days win
    forecast : in place of the one kept in the folder
    caught : first catch of an insect, by its name

    Raises
    ------
    Faults
        No year of the record is whole, or a kept forecast cannot be read.
    """
    basis = opened.basis
    record = opened.weather if weather is None else laid_over(opened.weather, weather)
    record = record.before(day)
    told = forecast or kept_forecast(opened.folder, np.datetime64(day, "s") + MORNING)
    ahead = None if told is None else hours_ahead(told, day, record)
    known = opened.known(day.year, seen.dates)
    joined = record if ahead is None else with_days_ahead(record, ahead, day)
    until = np.datetime64(day) + (0 if ahead is None else ahead.day.size)
    begun, _ = begun_by(joined, basis.latitude, day.year, until)
    dates = season_dates(known, begun, seen.this_year, colder=basis.colder)
    gusts = {} if told is None else gusts_ahead(told, day)
    noted = noted_in(seen, opened.basis.protection.clocks)
    return threats_by(
        opened,
        day,
        record,
        known=known,
        dates=dates,
        ahead=ahead,
        gusts=gusts,
        noted=Noted(
            hail=(*noted.hail, *hail),
            caught={**noted.caught, **(caught or {})},
            scabbed=noted.scabbed or scabbed,
        ),
    )


def threats_by(
    opened: OpenedFolder,
    day: date,
    record: Weather,
    *,
    known: KnownPlace,
    dates: SeasonDates,
    ahead: Weather | None,
    gusts: Mapping[date, float],
    noted: Noted,
) -> ProtectionFindings:
    """The same, of a season whose dates are known: `record` to the day before, `ahead` with its hours."""
    low, high = _years_before(known.others)
    return answer(
        ProtectionQuestion(
            today=day,
            basis=opened.basis.protection,
            record=record.since(date(day.year, 1, 1)),
            forecast=ahead,
            stages={name: _stage_days(dates, at) for at, name in enumerate(dates.names)},
            before_min=low,
            before_max=high,
            gusts=gusts,
            hail=tuple(sorted({when for when in noted.hail if when <= day})),
            caught={name: when for name, when in noted.caught.items() if when <= day},
            scabbed=noted.scabbed,
        )
    )


def _stage_days(dates: SeasonDates, at: int) -> StageDays:
    return StageDays(
        {stage: float(days[at]) for stage, days in dates.middles.items()},
        float(dates.bloom_error[at]),
        bool(np.isfinite(dates.bloom_seen[at])),
    )


def _years_before(seasons: Seasons) -> tuple[Floats, Floats]:
    """Lowest and highest of the days of the years before, (years, 366) from 1 January; the last stands twice."""
    low, high = (
        np.concatenate([days, np.repeat(days[:, -1:], 366 - days.shape[1], axis=1)], axis=1)
        for days in (seasons.tmin[:, DAYS_BEFORE_NEW_YEAR:], seasons.tmax[:, DAYS_BEFORE_NEW_YEAR:])
    )
    return low, high


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
