"""Cutting a record into seasons."""

from datetime import date

import numpy as np
from phenology_support import invented, record

from topwire.phenology.seasons import DAYS, HOURLY_DAYS, begun_by, cut


def test_only_whole_seasons() -> None:
    seasons = cut(invented("2000-10-01", "2004-10-20"), 45.0)
    np.testing.assert_array_equal(seasons.years, [2001, 2002, 2003])
    assert seasons.unusable == ()
    assert seasons.tmin.shape == (3, DAYS)
    assert seasons.temperature.shape == (3, HOURLY_DAYS * 24)


def test_day_92_is_new_year_in_every_year() -> None:
    weather = invented("2000-09-01", "2005-12-31")
    seasons = cut(weather, 45.0)
    for row, year in enumerate(seasons.years):
        index = int((np.datetime64(f"{year}-01-01") - weather.day[0]).astype(int))
        assert seasons.tmin[row, 92] == weather.tmin[index]


def test_a_gap_makes_its_year_unusable_and_only_that() -> None:
    weather = invented("2000-09-01", "2005-12-31")
    tmin = weather.tmin.copy()
    tmin[(weather.day >= np.datetime64("2003-02-01")) & (weather.day < np.datetime64("2003-02-12"))] = np.nan
    seasons = cut(record(weather.day, tmin, weather.tmax), 45.0)
    np.testing.assert_array_equal(seasons.years, [2001, 2002, 2004, 2005])
    assert seasons.unusable == (2003,)


def test_a_gap_just_before_a_season_leaves_it_whole() -> None:
    weather = invented("2000-08-01", "2002-12-31")
    tmin, tmax = weather.tmin.copy(), weather.tmax.copy()
    before = (weather.day >= np.datetime64("2001-09-01")) & (weather.day < np.datetime64("2001-10-01"))
    tmin[before] = tmax[before] = np.nan
    seasons = cut(record(weather.day, tmin, tmax), 45.0)
    np.testing.assert_array_equal(seasons.years, [2002])
    assert np.isfinite(seasons.temperature).all()


def test_missing_december_carries_the_last_day() -> None:
    seasons = cut(invented("2000-09-01", "2001-11-11"), 45.0)
    assert np.isfinite(seasons.tmin).all()
    assert (seasons.tmin[0, -20:] == seasons.tmin[0, -21]).all()


def test_measured_hours_take_the_place_of_reckoned_ones() -> None:
    weather = invented("2000-09-01", "2001-12-31")
    hourly = np.full((weather.day.size, 24), np.nan)
    inside = np.flatnonzero(weather.day == np.datetime64("2001-03-01"))[0]
    hourly[inside] = 7.0
    from dataclasses import replace

    seasons = cut(replace(weather, hourly=hourly), 45.0)
    at = (92 + 59) * 24
    assert (seasons.temperature[0, at : at + 24] == 7.0).all()
    assert seasons.temperature[0, at + 24] != 7.0


def test_a_typical_year_has_its_own_autumn_before_it() -> None:
    weather = invented("2001-01-01", "2002-01-01")
    seasons = cut(record(weather.day, weather.tmin, weather.tmax, typical=True), 45.0)
    np.testing.assert_array_equal(seasons.years, [2001])
    assert seasons.tmin[0, 0] == weather.tmin[273]
    assert seasons.tmin[0, 92] == weather.tmin[0]


def test_nights_and_days_can_warm_apart() -> None:
    """Held against the record itself so warmed: an hour is off by the course of the evening alone."""
    weather = invented("2000-09-01", "2002-12-31")
    warm = cut(record(weather.day, weather.tmin + 0.5, weather.tmax + 2.5), 45.0)
    stepped = cut(weather, 45.0).warmed(0.5, 2.5)
    np.testing.assert_allclose(stepped.tmin, warm.tmin)
    np.testing.assert_allclose(stepped.tmax, warm.tmax)
    assert np.abs(stepped.temperature - warm.temperature).mean() < 0.15
    assert np.abs((stepped.temperature - warm.temperature).mean()) < 0.05


def test_warming_moves_every_hour_alike() -> None:
    weather = invented("2000-09-01", "2002-12-31")
    warm = cut(record(weather.day, weather.tmin + 2, weather.tmax + 2), 45.0)
    stepped = cut(weather, 45.0).warmed(2.0, 2.0)
    np.testing.assert_allclose(stepped.temperature, warm.temperature, atol=1e-9)
    np.testing.assert_allclose(stepped.tmax, warm.tmax)


def test_of_a_season_before_the_record_nothing_is_known() -> None:
    weather = invented("2000-09-01", "2005-12-31").before(date(1990, 5, 1))
    begun, missing = begun_by(weather, 45.0, 1990, np.datetime64("1990-05-01"))
    assert (begun.tmin.size, begun.temperature.size, missing) == (0, 0, 0)
