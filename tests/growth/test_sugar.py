from typing import Any

import numpy as np
import pytest
from growth.worlds import NO_WEATHER, asked, forecast, record

from topwire.growth.asked import SpringWeather
from topwire.growth.question import SPRING_DAYS
from topwire.growth.sugar import SugarYear, SugarYearIs, sugar_years

COUNT = 9
YEARS = np.arange(1990, 1990 + COUNT)
DAY = np.arange(SPRING_DAYS[0], SPRING_DAYS[1] + 1)


def spring(*spells: tuple[int, int, int, float, float], sun: Any = None) -> SpringWeather:
    """Years with a plain wave of temperature; each spell is (year, first, last day, tmin, tmax)."""
    wave = 11 - 12 * np.cos(2 * np.pi * DAY / 365.25)
    coldest, warmest = np.tile(wave - 6.0, (COUNT, 1)), np.tile(wave + 6.0, (COUNT, 1))
    for year, first, last, low, high in spells:
        days = (first <= DAY) & (last >= DAY)
        coldest[year - YEARS[0], days], warmest[year - YEARS[0], days] = low, high
    light = np.full(coldest.shape, np.nan) if sun is None else sun
    return SpringWeather(DAY, coldest, warmest, light, np.full(COUNT, 90.0))


def by_year(weather: SpringWeather, bloom: float = 115.0) -> dict[int, SugarYear]:
    found = sugar_years(weather, YEARS, np.full(COUNT, bloom), latitude=39.2)
    return {line.year: line for line in found}


def test_like_years_are_ordinary() -> None:
    for line in by_year(spring()).values():
        assert (line.made, line.wanted) == pytest.approx((1.0, 1.0))


def test_a_warm_dim_spell_in_the_window_is_the_shortest_year() -> None:
    plain = by_year(spring())[1992]
    # A narrow swing of temperature is a dim day.
    found = by_year(spring((1992, int(plain.first_day), int(plain.last_day) + 4, 19.0, 23.0)))
    assert found[1992].shorter == 0
    assert found[1992].stands is SugarYearIs.SHORT
    assert found[1992].made < 1 < found[1992].wanted


def test_cool_and_bright_is_the_richest() -> None:
    found = by_year(spring((1993, 132, 146, 3.0, 21.0)))
    assert found[1993].shorter == 1
    assert found[1993].stands is SugarYearIs.AMPLE


def test_the_scale_is_the_places_own() -> None:
    """The same spring is short among bright ones and ample among dim ones."""
    bright, dim = np.full((COUNT, DAY.size), 24.0), np.full((COUNT, DAY.size), 8.0)
    bright[3] = dim[3] = 15.0
    assert by_year(spring(sun=bright))[1993].stands is SugarYearIs.SHORT
    assert by_year(spring(sun=dim))[1993].stands is SugarYearIs.AMPLE


def test_window_falls_two_to_four_weeks_after_bloom() -> None:
    for line in by_year(spring()).values():
        assert 115 + 12 <= line.first_day <= line.last_day <= 115 + 30


def test_years_with_gaps_are_left_out() -> None:
    assert set(by_year(spring((1991, 120, 121, np.nan, np.nan)))) == set(YEARS.tolist()) - {1991}


def test_measured_sun_counts_where_there_is_some() -> None:
    dim = np.full((COUNT, DAY.size), np.nan)
    dim[3] = 4.0  # measured in 1993 only
    found = by_year(spring(sun=dim))
    assert min(found, key=lambda year: found[year].made) == 1993


def test_no_bloom_no_window() -> None:
    assert by_year(spring(), np.nan) == {}


@pytest.mark.parametrize("given", [True, False])
def test_comes_with_the_forecast_when_the_record_does(given: bool) -> None:
    weather = record() if given else NO_WEATHER
    crop = forecast(weather=weather)
    assert (len(crop.sugar) == 10) is given
    assert any(notice.code == "years.sugar" for notice in crop.notices) is given
    assert np.isfinite(asked(weather=weather).spring.coldest).any() is np.bool_(given)
