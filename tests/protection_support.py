"""Orchards and weather of a year, made up, for the tests of protection."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

import numpy as np
import numpy.typing as npt

from topwire.choice.disease import Disease, Rating
from topwire.phenology.stages import SeasonStage
from topwire.protection.asked import Guarded, ProtectionBasis, ProtectionQuestion, StageDays, WeakestRow
from topwire.protection.insects import InsectClock
from topwire.weather.record import Weather

Array = npt.NDArray[np.float64]
YEAR, DAYS, LATITUDE = 2021, 365, 39.0
STAGES = {
    SeasonStage.SILVER_TIP: 75.0,
    SeasonStage.GREEN_TIP: 80.0,
    SeasonStage.HALF_INCH_GREEN: 88.0,
    SeasonStage.TIGHT_CLUSTER: 95.0,
    SeasonStage.PINK: 103.0,
    SeasonStage.FIRST_BLOOM: 108.0,
    SeasonStage.FULL_BLOOM: 113.0,
    SeasonStage.PETAL_FALL: 121.0,
    SeasonStage.GROWING: 135.0,
    SeasonStage.RIPE: 260.0,
    SeasonStage.OVER: 275.0,
}


def day_of(month: int, day: int) -> int:
    """Index from 1 January."""
    return (date(YEAR, month, day) - date(YEAR, 1, 1)).days


def guarded(name: str = "Gala", step: float = 3.0, trees: int = 10, *, known: bool = True) -> Guarded:
    rating = Rating(step, step, step, known)
    return Guarded(name, ("South 1", "South 2"), trees, dict.fromkeys(Disease, rating), 0.0)


def weather(
    tmin: float | Array = 8.0,
    tmax: float | Array = 16.0,
    rain: Mapping[int, float] | None = None,
    days: int = DAYS,
) -> Weather:
    """Daily weather of the year; rain [mm] by index of the day."""
    fallen = np.zeros(days)
    for at, millimetres in (rain or {}).items():
        if at < days:
            fallen[at] = millimetres
    return Weather(
        day=np.datetime64(f"{YEAR}-01-01") + np.arange(days),
        tmin=np.broadcast_to(np.asarray(tmin, dtype=float), (days,)).copy(),
        tmax=np.broadcast_to(np.asarray(tmax, dtype=float), (days,)).copy(),
        rain=fallen,
        dew_point=np.full(days, -10.0),  # no dew but where a test wants some
        wind=None,
        sun=None,
        hourly=None,
        filled=np.zeros(days, dtype=bool),
        source=np.zeros(days, dtype=np.int64),
        files=(),
        typical=False,
        notices=(),
    )


def by_the_hour(
    record: Weather, wet: Mapping[int, tuple[int, int]], *, celsius: float = 14.0, wind: float = 1.0
) -> Weather:
    """The same with hours measured: one temperature, dry air, rain from one hour to another of some days."""
    days = record.day.size
    rain = np.zeros((days, 24))
    for at, (begin, end) in wet.items():
        rain[at, begin:end] = 0.5
    return replace(
        record,
        tmin=np.full(days, celsius),
        tmax=np.full(days, celsius),
        rain=rain.sum(axis=1),
        hourly=np.full((days, 24), celsius),
        hourly_dew_point=np.full((days, 24), celsius - 10.0),
        hourly_wind=np.full((days, 24), wind),
        hourly_rain=rain,
    )


def question(
    record: Weather,
    today: date,
    *,
    grown: tuple[Guarded, ...] = (guarded(),),
    clocks: tuple[InsectClock, ...] = (),
    forecast_days: int = 0,
    stages: Mapping[SeasonStage, float] = STAGES,
    weakest: WeakestRow | None = None,
    margin: float = 0.0,
    **more: object,
) -> ProtectionQuestion:
    """Asked with the days before `today`, and so many of those after it as a forecast that came true."""
    ahead = record.since(today)
    ahead = replace(ahead, **{
        name: value[:forecast_days]
        for name, value in vars(ahead).items()
        if isinstance(value, np.ndarray) and value.shape[0] == ahead.day.size
    })  # fmt: skip
    return ProtectionQuestion(
        today=today,
        basis=ProtectionBasis(LATITUDE, 0.0, YEAR - 5, grown, clocks, weakest),
        record=record.before(today),
        forecast=ahead if forecast_days else None,
        stages={row.name: StageDays(dict(stages), margin, seen=False) for row in grown},
        before_min=np.nan_to_num(np.append(record.tmin, record.tmin[-1]), nan=8.0)[None, :],
        before_max=np.nan_to_num(np.append(record.tmax, record.tmax[-1]), nan=16.0)[None, :],
        **more,  # type: ignore[arg-type]
    )
