from typing import Any

import numpy as np
import pytest
from nursery.invented import blank, catalogue, choice, ground, layout, plan, seasons

from topwire.growth.crop import foresee_crop
from topwire.growth.sugar import sugar_years
from topwire.weather.record import Weather

FIRST, COUNT = 1990, 6
YEARS = np.arange(FIRST, FIRST + COUNT)


def record(**changes: Any) -> Weather:
    """Six years with a plain yearly wave of temperature; days in `changes` are (tmin, tmax) by (year, day of year)."""
    days = np.arange(np.datetime64(f"{FIRST}-01-01"), np.datetime64(f"{FIRST + COUNT}-01-01"))
    wave = 11 - 12 * np.cos(2 * np.pi * np.arange(len(days)) / 365.25)
    tmin, tmax = wave - 6.0, wave + 6.0
    for year, first, last, low, high in changes.get("spells", ()):
        start = (np.datetime64(f"{year}-01-01") - days[0]).astype(int)
        tmin[start + first - 1 : start + last] = low
        tmax[start + first - 1 : start + last] = high
    return blank(Weather, day=days, tmin=tmin, tmax=tmax, sun=changes.get("sun"))


def index_by_year(weather: Weather) -> dict[int, float]:
    tip, bloom = np.full(COUNT, 90.0), np.full(COUNT, 115.0)
    return {line.year: line.index for line in sugar_years(weather, YEARS, tip, bloom, latitude=39.2)}


def test_a_warm_dim_spell_in_the_window_is_the_poorest_year() -> None:
    # A narrow swing of temperature is a dim day.
    plain = sugar_years(record(), YEARS, np.full(COUNT, 90.0), np.full(COUNT, 115.0), latitude=39.2)
    first, last = plain[2].first_day, plain[2].last_day
    found = index_by_year(record(spells=[(1992, first, last + 4, 19.0, 23.0)]))
    assert min(found, key=found.__getitem__) == 1992
    assert found[1992] < 0


def test_cool_and_bright_is_a_surplus() -> None:
    found = index_by_year(record(spells=[(1993, 132, 146, 3.0, 21.0)]))
    assert max(found, key=found.__getitem__) == 1993


def test_window_falls_two_to_four_weeks_after_bloom() -> None:
    for line in sugar_years(record(), YEARS, np.full(COUNT, 90.0), np.full(COUNT, 115.0), latitude=39.2):
        assert 115 + 12 <= line.first_day <= line.last_day <= 115 + 30


def test_years_with_gaps_are_left_out() -> None:
    found = index_by_year(record(spells=[(1991, 120, 121, np.nan, np.nan)]))
    assert 1991 not in found
    assert len(found) == COUNT - 1
    assert all(np.isfinite(list(found.values())))


def test_measured_sun_counts_where_there_is_some() -> None:
    days = len(record().day)
    dim = np.full(days, np.nan)
    dim[365 * 3 : 365 * 4] = 4.0  # measured in 1993 only
    found = index_by_year(record(sun=dim))
    assert min(found, key=found.__getitem__) == 1993


def test_no_bloom_no_window() -> None:
    nothing = np.full(COUNT, np.nan)
    assert sugar_years(record(), YEARS, nothing, nothing, latitude=39.2) == ()


@pytest.mark.parametrize("given", [True, False])
def test_comes_with_the_forecast_when_the_record_does(given: bool) -> None:
    crop = foresee_crop(
        plan(), catalogue(), seasons(0.9), ground(), choice(), layout(), weather=record() if given else None
    )
    assert (len(crop.sugar) == COUNT) is given
