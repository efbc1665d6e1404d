"""The weather that is expected, as sheets."""

from collections.abc import Sequence
from datetime import datetime

import numpy as np

from topwire.show.sheet import Column, Sheet, sheet_of
from topwire.tell.reader import counted
from topwire.values.quantities import Plain
from topwire.values.units import Kind
from topwire.weather.forecast import WeatherForecast
from topwire.weather.online.judged import StationCandidate


def forecast(expected: WeatherForecast, now: np.datetime64) -> Sheet:
    """The days ahead; `now` in universal time, from which its age is told."""
    return sheet_of(
        "weather.forecast",
        "The days ahead",
        (
            Column("day", "day", of=lambda at: expected.day[at].item()),
            Column("tmin", "lowest", Kind.TEMPERATURE, of=lambda at: float(expected.tmin[at])),
            Column("tmax", "highest", Kind.TEMPERATURE, of=lambda at: float(expected.tmax[at])),
            Column("rain", "rain", Kind.RAIN, of=lambda at: float(expected.day_rain[at])),
            Column(
                "rain_chance",
                "chance of rain",
                Plain.SHARE,
                of=lambda at: float(expected.day_rain_chance[at]),
            ),
            Column("wind", "wind", Kind.SPEED, of=lambda at: float(expected.day_wind[at])),
            Column("hours", "hours told", of=lambda at: int(expected.hours_known[at])),
        ),
        range(expected.day.size),
        rests_on=_issued(expected, now),
        notes=tuple(
            line
            for line in (
                "A forecast is no record: nothing of it enters the weather the plan rests on.",
                "Its nights are those of a grid cell: on clear calm nights a hollow freezes before it says so.",
                expected.credit,
            )
            if line
        ),
    )


def stations(candidates: Sequence[StationCandidate]) -> Sheet:
    """The stations looked at, the best first."""
    return sheet_of(
        "weather.stations",
        "Stations near the orchard, the best first",
        (
            Column("station", "station", of=lambda one: one.station.station),
            Column("name", "name", of=lambda one: one.station.name),
            Column("distance", "distance", Kind.DISTANCE, of=lambda one: one.station.distance),
            Column("higher", "higher", Kind.LENGTH, 0, of=lambda one: one.station.higher),
            Column("first", "from", of=lambda one: one.first.item()),
            Column("last", "to", of=lambda one: one.last.item()),
            Column("whole", "days with both temperatures", Plain.SHARE),
            Column("failed", "values that failed", Plain.SHARE, 1),
            Column("hour", "read at", of=lambda one: _clock(one.hour)),
            Column("coldest", "coldest spring nights beside the others", Kind.TEMPERATURE_STEP, 1),
            Column("points", "points", Plain.RATIO, 1, of=lambda one: one.total),
        ),
        candidates,
        rests_on="Days of the last thirty years. Fewest points win: 30 km (19 miles) off, 100 m (330 ft) higher or "
        "lower, a fifth of the days missing, ten years short of thirty each cost one; a record that has stopped costs "
        "two (common practice, no source).",
    )


def _clock(hour: float) -> str | None:
    return None if np.isnan(hour) else f"{int(hour)}:{round(hour % 1 * 60):02d}"


def _issued(expected: WeatherForecast, now: np.datetime64) -> str:
    age = expected.age(now)
    if np.isnan(age):
        return f"{expected.source}; when it was issued is not said."
    local = datetime.fromisoformat(str(expected.issued + np.timedelta64(expected.utc_offset, "h")))
    when = f"{local.day} {local:%b %Y, %H:%M}"
    ago = counted(age, "hour") if age < 48 else counted(age / 24, "day")
    old = " This forecast is old: get a new one." if expected.is_old(now) else ""
    return f"{expected.source}, issued {when} standard time, {ago} ago.{old}"
