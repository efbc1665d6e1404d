"""The weather that is expected, as sheets."""

from datetime import datetime

import numpy as np

from topwire.show.sheet import Column, Sheet, sheet_of
from topwire.tell.reader import counted
from topwire.values.quantities import Plain
from topwire.values.units import Kind
from topwire.weather.forecast import WeatherForecast


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
                expected.credit,
            )
            if line
        ),
    )


def _issued(expected: WeatherForecast, now: np.datetime64) -> str:
    age = expected.age(now)
    if np.isnan(age):
        return f"{expected.source}; when it was issued is not said."
    local = datetime.fromisoformat(str(expected.issued + np.timedelta64(expected.utc_offset, "h")))
    when = f"{local.day} {local:%b %Y, %H:%M}"
    ago = counted(age, "hour") if age < 48 else counted(age / 24, "day")
    old = " This forecast is old: get a new one." if expected.is_old(now) else ""
    return f"{expected.source}, issued {when} standard time, {ago} ago.{old}"
