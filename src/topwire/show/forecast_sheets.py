"""What was forecast, and what came."""

from collections.abc import Sequence

from topwire.show.sheet import Column, Sheet, sheet_of
from topwire.tell.reader import counted
from topwire.values.quantities import Plain
from topwire.values.units import Kind
from topwire.weather.forecast_history import DayTold
from topwire.weather.forecast_score import AheadScore, DayCame, days_came, scores
from topwire.weather.record import Weather

_WARM, _RAIN, _STEP = Kind.TEMPERATURE, Kind.RAIN, Kind.TEMPERATURE_STEP


def sheets(told: Sequence[DayTold], record: Weather, *, last: int) -> list[Sheet]:
    made = [_days(days_came(told, record, last=last)), _scores(scores(told, record), told)]
    return [sheet for sheet in made if sheet.rows]


def _days(found: Sequence[DayCame]) -> Sheet:
    return sheet_of(
        "weather.forecast_days",
        "What was forecast, and what came",
        (
            Column("day", "day", of=lambda one: one.day),
            Column("low_1", "lowest, told the day before", _WARM, of=lambda one: one.tmin[0]),
            Column("low_3", "three days before", _WARM, of=lambda one: one.tmin[1]),
            Column("low", "measured", _WARM, of=lambda one: one.tmin[2]),
            Column("high_1", "highest, told the day before", _WARM, of=lambda one: one.tmax[0]),
            Column("high_3", "three days before", _WARM, of=lambda one: one.tmax[1]),
            Column("high", "measured", _WARM, of=lambda one: one.tmax[2]),
            Column("rain_1", "rain, told the day before", _RAIN, of=lambda one: one.rain[0]),
            Column("rain", "measured", _RAIN, of=lambda one: one.rain[2]),
        ),
        found,
        "Measured: the record the plan rests on.",
    )


def _scores(found: Sequence[AheadScore], told: Sequence[DayTold]) -> Sheet:
    kept = len({one.issued for one in told})
    return sheet_of(
        "weather.forecast_scores",
        "How good the forecasts were",
        (
            Column("ahead", "days before"),
            Column("days", "days"),
            Column("low_missed", "lowest missed by", _STEP, 1),
            Column("low_plain", "the usual missed by", _STEP, 1),
            Column("low_colder", "nights colder than told by", _STEP, 1),
            Column("high_missed", "highest missed by", _STEP, 1),
            Column("high_plain", "the usual missed by", _STEP, 1),
            Column("frosts", "nights of frost", of=lambda one: f"{one.frosts_told} of {one.frosts} told"),
            Column("wet", "days of rain", of=lambda one: f"{one.wet_told} of {one.wet} told"),
            Column("wet_false", "told and dry", Plain.SHARE, 0),
        ),
        found,
        f"{counted(kept, 'forecast')} kept. The usual: the mean of the fortnight about the day in the years before. "
        "Where nights come colder than told, expect frost that much sooner.",
    )
