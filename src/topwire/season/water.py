"""Water to run in a week: by the forecast where there is one, else by what these days are usually like, and dry."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from topwire.season.asked import WeekBasis
from topwire.season.days_ahead import bare
from topwire.season.seen import Seen
from topwire.values.notice import CannotAnswer, Notice, assumption
from topwire.water.findings import WaterJob, WaterPlan
from topwire.water.week import LENGTH, WeekAdvice, this_week
from topwire.weather.record import Weather


def water_of(
    basis: WeekBasis, record: Weather, ahead: Weather | None, seen: Seen, day: date
) -> tuple[WeekAdvice | None, tuple[Notice, ...]]:
    """Advice by zone, and what has to be told of it; None out of season, and where it cannot be said."""
    asked, water = basis.water_asked, basis.water
    if asked is None or water is None:
        return None, ()
    opens, closes = _season(basis)
    today = day.timetuple().tm_yday
    if not opens <= today <= closes:
        return None, ()
    told: list[Notice] = []
    if ahead is None:
        ahead = usual_days(record, day)
        if ahead is None:
            return None, ()
        told.append(assumption("week.usual_days"))
    try:
        advice = this_week(asked, water, today=day, records=(record, ahead), run=_by_zone(water, seen.runs))
    except CannotAnswer as reasons:
        return None, tuple(replace_severity(notice) for notice in reasons.notices)
    return advice, (*told, *advice.notices)


def _by_zone(
    water: WaterPlan, runs: Mapping[str, Sequence[tuple[date, float]]]
) -> dict[str, list[tuple[date, float]]] | None:
    """Hours noted, by zone: those of its block, and those of no block; None where nothing was ever noted."""
    if not runs:
        return None
    return {zone.name: [*runs.get(zone.block, ()), *runs.get("", ())] for zone in water.zones}


def _season(basis: WeekBasis) -> tuple[int, int]:
    """Days of the year on which the irrigation is filled and emptied."""
    assert basis.water is not None
    days = {entry.job: entry.day for entry in basis.water.calendar}
    return round(days[WaterJob.OPEN]), round(days[WaterJob.EMPTY])


def usual_days(record: Weather, day: date) -> Weather | None:
    """The seven days from `day` on as they are in the mean of the years before, and dry."""
    days = np.arange(np.datetime64(day), np.datetime64(day) + LENGTH)
    low, high = [], []
    for back in range(1, 41):
        at = np.array([np.datetime64(day - timedelta(days=round(365.25 * back)))]).astype("datetime64[D]")
        start = int((at[0] - record.day[0]).astype(np.int64)) if record.day.size else -1
        if start < 0:
            break
        stretch = slice(start, start + LENGTH)
        if record.tmin[stretch].size == LENGTH:
            low.append(record.tmin[stretch])
            high.append(record.tmax[stretch])
    if not low or not np.isfinite(low).any():
        return None
    return bare(record, days, np.nanmean(low, axis=0), np.nanmean(high, axis=0), np.zeros(LENGTH))


def replace_severity(notice: Notice) -> Notice:
    """Why the water of a week cannot be told, as a remark of the page rather than a fault of it."""
    return replace(notice, severity=assumption(notice.code).severity)
