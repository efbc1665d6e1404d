"""Gaps and doubtful days: found, told, filled by rule where short, left open where long."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from weather_support import invented_days, write_daily

from topwire.values.fault import Faults
from topwire.values.notice import Severity
from topwire.weather.quality import take_out_beyond, take_out_impossible
from topwire.weather.read import read_weather
from topwire.weather.reading import hourly_reading
from topwire.weather.repair import LONGEST_FILLED, fill_rain, fill_temperature

DAY, TMIN, TMAX, RAIN = invented_days("2015-01-01", "2019-01-01")
OF_YEAR = (DAY - DAY.astype("datetime64[Y]")).astype(np.int64) + 1


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(st.sampled_from(["tmin", "tmax", "rain"]), st.integers(0, 1400), st.integers(1, 20)),
        max_size=30,
    )
)
def test_a_filled_day_is_whole(gaps: list[tuple[str, int, int]]) -> None:
    held = {"tmin": TMIN.copy(), "tmax": TMAX.copy(), "rain": RAIN.copy()}
    for name, start, length in gaps:
        held[name][start : start + length] = np.nan
    tmin, tmax, filled = fill_temperature(held["tmin"], held["tmax"], OF_YEAR)
    known = np.isfinite(tmin) & np.isfinite(tmax)
    rain, rain_filled = fill_rain(held["rain"], OF_YEAR, where=known)
    assert known[filled].all()
    assert known[rain_filled].all()
    assert np.isfinite(rain[rain_filled]).all()
    assert (tmin[known] <= tmax[known]).all()
    # what was measured stays as it was
    for before, after in ((held["tmin"], tmin), (held["tmax"], tmax), (held["rain"], rain)):
        measured = np.isfinite(before)
        np.testing.assert_array_equal(after[measured], before[measured])


@pytest.mark.parametrize(
    ("length", "filled"), [(1, True), (LONGEST_FILLED, True), (LONGEST_FILLED + 1, False)]
)
def test_seven_days_are_filled_and_eight_are_not(length: int, filled: bool) -> None:
    low = TMIN.copy()
    low[500 : 500 + length] = np.nan
    made, _, mask = fill_temperature(low, TMAX, OF_YEAR)
    assert mask.sum() == (length if filled else 0)
    assert np.isfinite(made).all() == filled


def test_a_gap_is_bridged_by_its_departure() -> None:
    """Days 6 K above the ordinary on both sides of a gap: the days in it are made 6 K above the ordinary too."""
    course = 10 - 10 * np.cos(2 * np.pi * OF_YEAR / 365.25)
    low, high = course.copy(), course + 10
    low[700:720] += 6.0
    low[705:710] = np.nan
    made, _, _ = fill_temperature(low, high, OF_YEAR)
    np.testing.assert_allclose(made[705:710], course[705:710] + 6.0, atol=0.6)


def test_rain_is_filled_with_what_falls_at_that_time() -> None:
    wet = np.where((OF_YEAR > 150) & (OF_YEAR < 240), 4.0, 0.0)
    wet[200 : 200 + 3] = np.nan
    made, mask = fill_rain(wet, OF_YEAR, where=np.ones(wet.size, dtype=bool))
    np.testing.assert_allclose(made[mask], 4.0)


def test_edges_stay_open() -> None:
    low = TMIN.copy()
    low[:3] = np.nan
    low[-2:] = np.nan
    made, _, mask = fill_temperature(low, TMAX, OF_YEAR)
    assert not mask.any()
    assert np.isnan(made[:3]).all()


def test_every_repair_is_told(tmp_path: Path) -> None:
    low, wet = TMIN.copy(), RAIN.copy()
    low[100:103] = np.nan
    low[600:640] = np.nan
    wet[900:904] = np.nan
    weather = read_weather([write_daily(tmp_path / "daily.csv", DAY, low, TMAX, wet)])
    told = {notice.severity: notice for notice in weather.notices}
    assert weather.filled.sum() == 7
    assert weather.rain_filled is not None
    assert weather.rain_filled.sum() == 4
    assumptions = [str(one) for one in weather.notices if one.severity is Severity.ASSUMPTION]
    assert any("temperature was missing on 3 of 1,461 days" in one for one in assumptions)
    assert any("rain was missing on 4 of 1,461 days" in one for one in assumptions)
    assert "missing on 40 days in longer gaps (1; the longest 2016-08-23 to 2016-10-01)" in str(
        told[Severity.WARNING]
    )
    assert "not used" in told[Severity.WARNING].remedy


def spoiled(where: slice, low: float, high: float) -> tuple[np.ndarray, np.ndarray, np.ndarray, str]:
    tmin, tmax = TMIN.copy(), TMAX.copy()
    tmin[where], tmax[where] = low, high
    tmin, tmax, rain, notices = take_out_impossible(DAY, tmin, tmax, RAIN, "daily.csv")
    return tmin, tmax, rain, " ".join(str(notice) for notice in notices)


def test_a_sound_record_is_left_alone() -> None:
    tmin, tmax, rain, notices = take_out_impossible(DAY, TMIN, TMAX, RAIN, "daily.csv")
    np.testing.assert_array_equal(tmin, TMIN)
    np.testing.assert_array_equal(tmax, TMAX)
    np.testing.assert_array_equal(rain, RAIN)
    assert not notices


def test_minimum_over_maximum() -> None:
    tmin, tmax, _, told = spoiled(slice(50, 52), 20.0, 3.0)
    assert np.isnan(tmin[50:52]).all()
    assert np.isnan(tmax[50:52]).all()
    assert "a lowest temperature above the highest on 2 days (2015-02-20, 2015-02-21)" in told


def test_a_hanging_sensor() -> None:
    tmin, _, _, told = spoiled(slice(300, 310), 5.0, 12.0)
    assert np.isnan(tmin[300:310]).all()
    assert np.isfinite(tmin[299])
    assert "the same two temperatures on 6 or more days running (the sensor hung), on 10 days" in told
    assert "(2015-10-28, 2015-10-29, 2015-10-30 …)" in told


def test_the_same_two_numbers_on_five_days_may_be() -> None:
    assert spoiled(slice(300, 305), 5.0, 12.0)[3] == ""


def test_a_spike() -> None:
    tmin, tmax, _, told = spoiled(slice(400, 401), -38.0, 20.0)
    assert np.isnan(tmin[400])
    assert np.isfinite(tmax[400])
    assert "a lowest temperature far from those of the days around it on 1 day (" in told


def test_beyond_all_thermometers() -> None:
    tmin, _, _, told = spoiled(slice(400, 401), -80.0, 20.0)
    assert np.isnan(tmin[400])
    assert "no thermometer has shown" in told


def test_impossible_rain() -> None:
    wet = RAIN.copy()
    wet[7], wet[8] = -3.0, 900.0
    _, _, rain, notices = take_out_impossible(DAY, TMIN, TMAX, wet, "daily.csv")
    assert np.isnan(rain[7:9]).all()
    assert "impossible rain on 2 days" in str(notices[0])


@pytest.mark.parametrize(
    ("name", "stray"), [("wind", -9.9), ("wind", 999.0), ("sun", -5.0), ("humidity", 300.0)]
)
def test_a_few_values_that_cannot_be_are_left_out(name: str, stray: float) -> None:
    values = np.full(DAY.size, 3.0)
    values[::50] = stray
    kept, (told,) = take_out_beyond(DAY, {name: values}, "daily.csv")
    assert np.isnan(kept[name][::50]).all()
    assert np.isfinite(kept[name]).sum() == DAY.size - values[::50].size
    assert f"impossible {name} on {values[::50].size} days (2015-01-01, 2015-02-20, " in told.says


@pytest.mark.parametrize(
    ("column", "value"), [("wind_m_s", -2.5), ("humidity_pct", 300.0), ("sun_mj_m2", -1.0)]
)
def test_a_column_that_cannot_be_is_refused(tmp_path: Path, column: str, value: float) -> None:
    """A wind below nothing would make the trees thirst for a sixth of what they do."""
    path = write_daily(tmp_path / "daily.csv", DAY, TMIN, TMAX, RAIN)
    head, *lines = path.read_text(encoding="utf-8").splitlines()
    path.write_text("\n".join([f"{head},{column}", *(f"{line},{value}" for line in lines)]), encoding="utf-8")
    with pytest.raises(Faults, match="most of which cannot be"):
        read_weather([path])


def test_the_dark_is_no_sun() -> None:
    stamp = np.arange(np.datetime64("2020-01-01T00"), np.datetime64("2020-01-02T00"))
    sun = np.where(np.arange(24) < 8, -0.01, 1.0)
    made = hourly_reading("hours.csv", stamp, {"temperature": np.zeros(24), "sun": sun})
    assert not made.notices
    assert made.columns["sun"][0] == pytest.approx(16.0)
