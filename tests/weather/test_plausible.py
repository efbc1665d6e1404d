"""A record held against its place: what cannot be is a fault, what is odd is told."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from topwire.values.notice import Severity
from topwire.weather.plausible import held_against
from topwire.weather.read import read_file, read_weather
from topwire.weather.record import Weather

EXAMPLES = Path(__file__).parents[2] / "examples"


@cache
def record() -> Weather:
    return read_weather([EXAMPLES / "ridge-cider/weather/daily.csv"])


def told(weather: Weather, *, latitude: float = 40.7, planting: int = 2030) -> list[tuple[Severity, str]]:
    return [
        (one.severity, one.says)
        for one in held_against(weather, latitude=latitude, longitude=-77.9, planting=planting)
    ]


def says(weather: Weather, severity: Severity, words: str, **place: float) -> bool:
    return any(one is severity and words in text for one, text in told(weather, **place))  # type: ignore[arg-type]


def test_a_measured_record_is_taken_without_a_word() -> None:
    for example in (path.parents[1] for path in EXAMPLES.glob("*/weather/daily.csv")):
        weather = read_weather([example / "weather/daily.csv"])
        last = int(str(weather.day[-1])[:4])
        faults = [text for severity, text in told(weather, planting=last + 3) if severity is Severity.FAULT]
        assert not faults


def test_southern_seasons_are_a_fault() -> None:
    moved = replace(record(), tmin=np.roll(record().tmin, 182), tmax=np.roll(record().tmax, 182))
    assert says(moved, Severity.FAULT, "seasons of the southern half")


def test_shuffled_days_are_a_fault() -> None:
    order = np.random.default_rng(3).permutation(record().day.size)
    mixed = replace(record(), tmin=record().tmin[order], tmax=record().tmax[order])
    assert says(mixed, Severity.FAULT, "hardly warmer than January")
    draw, order = np.random.default_rng(3), np.arange(record().day.size)
    month = record().day.astype("datetime64[M]")
    for one in np.unique(month):
        order[month == one] = draw.permutation(order[month == one])
    mixed = replace(record(), tmin=record().tmin[order], tmax=record().tmax[order])
    assert says(mixed, Severity.FAULT, "says nothing of the next")


def test_years_beside_the_planting() -> None:
    last = int(str(record().day[-1])[:4])
    assert says(record(), Severity.FAULT, "years after the planting", planting=last - 20)
    assert says(record(), Severity.WARNING, "beyond the planting", planting=last - 5)
    assert says(record(), Severity.WARNING, "years before the planting", planting=last + 40)
    assert not says(record(), Severity.WARNING, "planting", planting=last + 2)


def test_no_rain_is_told() -> None:
    assert says(replace(record(), rain=np.zeros(record().day.size)), Severity.WARNING, "no rain falls")


def test_days_filled_by_rule_are_told() -> None:
    filled = np.arange(record().day.size) % 2 == 0
    assert says(replace(record(), temperature_filled=filled), Severity.WARNING, "50% of its days")


def test_years_out_of_line_are_told() -> None:
    year = record().day.astype("datetime64[Y]").astype(int) + 1970
    odd = (year >= 2005) & (year <= 2007)
    wider = replace(
        record(), tmax=record().tmax + np.where(odd, 1.5, 0), tmin=record().tmin - np.where(odd, 1.5, 0)
    )
    assert says(wider, Severity.WARNING, "range from night to day steps by +3")


def test_years_read_to_whole_degrees_among_finer_ones_are_told() -> None:
    """A record in tenths of a degree whose first years were read to whole ones."""
    year = record().day.astype("datetime64[Y]").astype(int) + 1970
    fine = np.random.default_rng(5).uniform(-0.5, 0.5, year.size)
    early = year <= year.min() + 4
    tmin, tmax = (np.where(early, np.rint(ends), ends + fine) for ends in (record().tmin, record().tmax))
    rounded = replace(record(), tmin=tmin, tmax=tmax)
    assert says(rounded, Severity.WARNING, "whole degrees in 4 years")
    assert not says(replace(record(), tmin=record().tmin + fine), Severity.WARNING, "whole degrees")


def test_a_station_elsewhere_is_told_and_a_turned_sign_is_a_fault() -> None:
    here = replace(record(), stations=(("a.csv", 41.0, -78.0),))
    assert not says(here, Severity.WARNING, "was measured at")
    assert says(replace(here, stations=(("a.csv", 41.0, 78.0),)), Severity.FAULT, "was measured at")
    assert says(replace(here, stations=(("a.csv", 50.8, 4.4),)), Severity.WARNING, "was measured at")


@pytest.mark.parametrize(
    "name", ["power_daily.csv", "power_daily.json", "ghcn_access.csv", "place.epw", "tmy3.csv"]
)
def test_files_say_where_they_were_measured(name: str) -> None:
    station = read_file(Path(__file__).parent / "data" / name, name).station
    assert station is not None
    assert all(np.isfinite(station))
