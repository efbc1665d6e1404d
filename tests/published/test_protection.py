"""Wettings and mildew days that a station told by its own hours (VT-NOTES), found in the daily record of its town."""

from datetime import date
from functools import cache

import pytest
from phenology_support import EXAMPLES

from topwire.protection import rusts, summer
from topwire.protection.wetness import Spell, spells
from topwire.protection.year import YearSoFar, year_so_far
from topwire.weather.read import read_weather
from topwire.weather.record import Weather


@cache
def record() -> Weather:
    return read_weather([EXAMPLES / "valley-inn/weather/daily.csv"])


def year(number: int) -> YearSoFar:
    whole = record().since(date(number, 1, 1)).before(date(number + 1, 1, 1))
    return year_so_far(whole, None, date(number, 12, 31), 39.18)


@pytest.mark.parametrize(
    ("day", "hours", "fahrenheit"),
    [(date(2019, 4, 12), 22, 60), (date(2019, 4, 14), 14, 62), (date(2010, 5, 22), 17, 65)],
)
def test_a_wetting_the_station_called_an_infection_is_one(day: date, hours: int, fahrenheit: int) -> None:
    """The gauge is read in the morning, so the rain stands a day late."""
    made = year(day.year)
    at = made.index(day) + 1
    found = [spell for spell in spells(made.wet, made.temperature, made.rain_hour) if spell.first_day == at]
    worst: Spell = max(found, key=lambda spell: spell.hours)
    assert worst.rain_hours
    assert worst.hours >= rusts.leaf_hours(worst.mean)[0]
    assert worst.hours == pytest.approx(hours, abs=12)  # two of the errors stated
    assert worst.mean * 1.8 + 32 == pytest.approx(fahrenheit, abs=8)


def test_mildew_days_of_a_spring_are_counted_as_the_station_did() -> None:
    made = year(2015)
    span = slice(made.index(date(2015, 4, 6)), made.index(date(2015, 5, 19)) + 1)
    assert summer.mildew_days(made.mean, made.rain)[span].sum() == pytest.approx(22, abs=4)
