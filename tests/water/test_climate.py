"""The record laid out by years: leap days, gaps, years that do not count."""

import numpy as np
import pytest

from topwire.values.notice import CannotAnswer
from topwire.water.climate import climate_of
from topwire.weather.record import Weather


def record(first: str, last: str, **columns: np.ndarray) -> Weather:
    day = np.arange(np.datetime64(first), np.datetime64(last) + 1)
    turn = 2 * np.pi * (day - day.astype("datetime64[Y]")).astype(int) / 365
    tmin = 8 - 10 * np.cos(turn)
    made = {"tmin": tmin, "tmax": tmin + 12, "rain": np.full(day.size, 2.0)} | columns
    none = np.zeros(day.size, dtype=bool)
    return Weather(
        day, made["tmin"], made["tmax"], made["rain"], None, made.get("wind"), None, None, none,
        np.zeros(day.size, dtype=int), ("made up",), False, (),
    )  # fmt: skip


def test_years_keep_their_rain_and_lose_their_leap_day() -> None:
    weather = record("2019-01-01", "2020-12-31")
    climate = climate_of(weather, latitude=40.0, elevation=100.0)
    assert climate.years.tolist() == [2019, 2020]
    assert climate.rain.shape == (365, 2)
    assert climate.rain.sum(axis=0).tolist() == [730.0, 732.0]
    assert climate.rain[59, 1] == 4.0  # 1 March takes the rain of 29 February


def test_broken_years_and_half_years_are_left_out() -> None:
    weather = record("2018-07-01", "2021-12-31")
    gap = (weather.day >= np.datetime64("2020-05-01")) & (weather.day < np.datetime64("2020-06-15"))
    weather.tmax[gap] = np.nan
    climate = climate_of(weather, latitude=40.0, elevation=100.0)
    assert climate.years.tolist() == [2019, 2021]
    assert any(notice.code == "water.years_left_out" for notice in climate.notices)


def test_short_gaps_take_the_usual_day() -> None:
    weather = record("2015-01-01", "2020-12-31")
    whole = climate_of(weather, latitude=40.0, elevation=100.0)
    weather.tmin[200:210] = np.nan
    filled = climate_of(weather, latitude=40.0, elevation=100.0)
    assert filled.reference[200:210, 0] == pytest.approx(whole.reference[200:210, 0], rel=0.02)
    assert any(notice.code == "water.gaps_filled" for notice in filled.notices)


def test_wind_and_its_absence_are_told() -> None:
    calm = climate_of(record("2019-01-01", "2020-12-31"), latitude=40.0, elevation=100.0)
    days = 731
    windy = climate_of(
        record("2019-01-01", "2020-12-31", wind=np.full(days, 5.0)), latitude=40.0, elevation=100.0
    )
    assert any(notice.code == "water.no_wind" for notice in calm.notices)
    assert not any(notice.code == "water.no_wind" for notice in windy.notices)
    assert (windy.reference.sum(axis=0) > calm.reference.sum(axis=0)).all()
    assert windy.wind.tolist() == [5.0, 5.0]


def test_no_whole_year_is_a_fault() -> None:
    with pytest.raises(CannotAnswer, match="no_whole_year"):
        climate_of(record("2019-05-01", "2019-11-30"), latitude=40.0, elevation=100.0)
