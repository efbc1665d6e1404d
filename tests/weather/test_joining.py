"""Several files of one place: one record, whatever their order, with the source of every day and every disagreement."""

import itertools
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from weather_support import invented_days, write_daily

from topwire.weather.read import read_weather
from topwire.weather.record import Weather

EXAMPLE = Path(__file__).parent / "data"


def same_record(one: Weather, other: Weather) -> None:
    for name in ("tmin", "tmax", "rain", "filled", "hourly", "dew_point", "wind", "sun"):
        np.testing.assert_array_equal(getattr(one, name), getattr(other, name), err_msg=name)
    named = [np.array([*record.files, "none"])[record.source] for record in (one, other)]
    np.testing.assert_array_equal(*named)
    assert [str(notice) for notice in one.notices] == [str(notice) for notice in other.notices]


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.integers(0, 10_000),
    st.lists(st.tuples(st.integers(0, 500), st.integers(50, 700)), min_size=2, max_size=3),
)
def test_the_order_of_files_changes_nothing(tmp_path: Path, seed: int, spans: list[tuple[int, int]]) -> None:
    draws = np.random.default_rng(seed)
    day, tmin, tmax, rain = invented_days("2018-01-01", "2021-12-01", seed=seed)
    paths = []
    for number, (start, length) in enumerate([*spans, (0, 400)]):
        cut = slice(start, start + length)
        holes = draws.random(day[cut].size) < 0.03
        low = np.where(holes, np.nan, tmin[cut] + number)
        paths.append(
            write_daily(tmp_path / f"station{number}.csv", day[cut], low, tmax[cut] + number, rain[cut])
        )
    records = [read_weather(list(order)) for order in itertools.permutations(paths)]
    for other in records[1:]:
        same_record(records[0], other)


def test_a_second_station_fills_what_the_first_missed(tmp_path: Path) -> None:
    day, tmin, tmax, rain = invented_days("2018-01-01", "2021-01-01")
    low = tmin.copy()
    low[100:130] = np.nan
    first = write_daily(tmp_path / "first.csv", day, low, tmax, rain)
    second = write_daily(tmp_path / "second.csv", day[:400], tmin[:400] + 0.5, tmax[:400] + 0.5, rain[:400])
    weather = read_weather([first, second])
    np.testing.assert_allclose(weather.tmin[100:130], tmin[100:130] + 0.5)
    # both ends of a day come from one station
    np.testing.assert_allclose(weather.tmax[100:130], tmax[100:130] + 0.5)
    assert (weather.source[100:130] == 1).all()
    assert (weather.source[:100] == 0).all()
    assert not weather.filled.any()


def test_files_of_a_year_each_make_a_record(tmp_path: Path) -> None:
    day, tmin, tmax, rain = invented_days("2018-01-01", "2021-01-01")
    year = day.astype("datetime64[Y]")
    paths = [
        write_daily(tmp_path / f"{one}.csv", day[here], tmin[here], tmax[here], rain[here])
        for one in np.unique(year)
        for here in [year == one]
    ]
    whole = read_weather([write_daily(tmp_path / "whole.csv", day, tmin, tmax, rain)])
    parts = read_weather(paths)
    np.testing.assert_array_equal(parts.tmin, whole.tmin)
    assert parts.files == ("2018.csv", "2019.csv", "2020.csv")
    assert list(np.unique(parts.source)) == [0, 1, 2]


def test_disagreement_is_told(tmp_path: Path) -> None:
    day, tmin, tmax, rain = invented_days("2018-01-01", "2021-01-01")
    first = write_daily(tmp_path / "hill.csv", day, tmin, tmax, rain)
    second = write_daily(tmp_path / "hollow.csv", day[:500], tmin[:500] - 3.0, tmax[:500], rain[:500])
    told = [str(notice) for notice in read_weather([first, second]).notices]
    assert any("hollow.csv: the days' lowest temperatures lie -3.0 °C (-5.4 °F)" in one for one in told)
    assert not any("highest" in one for one in told)


@pytest.mark.parametrize(("step", "told"), [(0.0, False), (2.0, True)])
def test_a_step_between_stations_is_told(tmp_path: Path, step: float, told: bool) -> None:
    day, tmin, tmax, rain = invented_days("2010-01-01", "2020-01-01")
    half = 1800
    first = write_daily(tmp_path / "old.csv", day[:half], tmin[:half], tmax[:half], rain[:half])
    second = write_daily(
        tmp_path / "new.csv", day[half:], tmin[half:] + step, tmax[half:] + step, rain[half:]
    )
    notices = [str(notice) for notice in read_weather([first, second]).notices]
    assert any(f"on {day[half]}, where new.csv takes over from old.csv" in one for one in notices) == told


def test_a_typical_year_is_left_out_beside_real_ones(tmp_path: Path) -> None:
    path = write_daily(tmp_path / "daily.csv", *invented_days("2018-01-01", "2020-01-01"))
    weather = read_weather([EXAMPLE / "place.epw", path])
    assert not weather.typical
    assert weather.day[0] == np.datetime64("2018-01-01")
    assert set(np.unique(weather.source)) == {1}
    assert any("left out beside real years" in notice.says for notice in weather.notices)


def test_lines_in_any_order(tmp_path: Path) -> None:
    day, tmin, tmax, rain = invented_days("2018-01-01", "2019-06-01")
    mixed = np.random.default_rng(3).permutation(day.size)
    sound = read_weather([write_daily(tmp_path / "a.csv", day, tmin, tmax, rain)])
    stirred = read_weather(
        [write_daily(tmp_path / "b.csv", day[mixed], tmin[mixed], tmax[mixed], rain[mixed])]
    )
    np.testing.assert_array_equal(sound.tmin, stirred.tmin)
    assert any("put in order" in notice.says for notice in stirred.notices)


@settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.integers(0, 10_000))
def test_units_change_nothing(tmp_path: Path, seed: int) -> None:
    day, tmin, tmax, rain = invented_days("2018-01-01", "2019-06-01", seed=seed)
    metric = read_weather([write_daily(tmp_path / "daily.csv", day, tmin, tmax, rain)])
    rows = [
        f"{wet / 25.4!r},{high * 1.8 + 32!r},{one},{low * 1.8 + 32!r}"
        for one, low, high, wet in zip(day, tmin.tolist(), tmax.tolist(), rain.tolist(), strict=True)
    ]
    (tmp_path / "daily.csv").write_text("\n".join(["rain_in,tmax_f,date,tmin_f", *rows]))
    us = read_weather([tmp_path / "daily.csv"])
    for name in ("tmin", "tmax", "rain"):
        np.testing.assert_allclose(getattr(us, name), getattr(metric, name), atol=1e-9)
    assert us.notices == metric.notices


def test_a_file_that_fills_gaps_takes_nothing_over(tmp_path: Path) -> None:
    """Three degrees apart and two hundred changes of source: told once, as a disagreement, not as steps."""
    day, tmin, tmax, rain = invented_days("2010-01-01", "2020-01-01")
    low = np.where(np.random.default_rng(2).random(day.size) < 0.03, np.nan, tmin)
    first = write_daily(tmp_path / "a.csv", day, low, tmax, rain)
    second = write_daily(tmp_path / "b.csv", day[:3000], tmin[:3000] + 3, tmax[:3000] + 3, rain[:3000])
    told = [str(notice) for notice in read_weather([first, second]).notices]
    assert not any("step" in one for one in told)
    assert sum("lie +3.0" in one for one in told) == 2


def test_a_day_of_two_files_must_fit_together(tmp_path: Path) -> None:
    day, tmin, tmax, rain = invented_days("2018-01-01", "2020-01-01")
    high = tmax.copy()
    high[100] = np.nan
    other = np.where(np.arange(day.size) == 100, tmin[100] - 5, np.nan)
    first = write_daily(tmp_path / "a.csv", day, tmin, high, rain)
    second = write_daily(tmp_path / "b.csv", day[:400], np.full(400, np.nan), other[:400], rain[:400])
    weather = read_weather([first, second])
    assert any(
        "lies above the highest of another on 1 day, first on 2018-04-11" in str(one)
        for one in weather.notices
    )
    assert weather.filled[100]
    assert weather.tmin[100] <= weather.tmax[100]
