"""A record in another climate: what is stated arrives, the rest stays as it was."""

from pathlib import Path

import aquacrop
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.weather.climate_change import change_between, changed, smooth_months, stated_change
from topwire.weather.read import read_weather
from topwire.weather.record import Weather

EXAMPLES = Path(__file__).parents[2] / "examples"
SCENARIOS = Path(aquacrop.__file__).parent / "data"
RECORD = read_weather([EXAMPLES / "ridge-cider" / "weather" / "daily.csv"])
MONTH = RECORD.day.astype("datetime64[M]").astype(np.int64) % 12
LENGTHS = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]


@given(st.lists(st.floats(-5, 5), min_size=12, max_size=12))
@settings(max_examples=40, deadline=None)
def test_smooth_months_keep_their_means(values: list[float]) -> None:
    course = smooth_months(values)
    means = [part.mean() for part in np.split(course, np.cumsum(LENGTHS)[:-1])]
    np.testing.assert_allclose(means, values, atol=1e-9)
    # no step at the turn of a month, nor of the year: a day moves no further than a month would in a week
    turns = np.abs(np.diff(np.append(course, course[0])))
    assert turns.max() <= np.ptp(course) / 6 + 1e-9


def test_one_number_moves_every_day_alike() -> None:
    warmer = changed(RECORD, stated_change("two degrees", warming=2.0))
    known = np.isfinite(RECORD.tmin) & np.isfinite(RECORD.tmax)
    np.testing.assert_allclose((warmer.tmin - RECORD.tmin)[known], 2.0, atol=1e-9)
    np.testing.assert_allclose((warmer.tmax - RECORD.tmax)[known], 2.0, atol=1e-9)
    np.testing.assert_array_equal(warmer.rain, RECORD.rain)
    np.testing.assert_array_equal(np.isnan(warmer.tmin), np.isnan(RECORD.tmin))


def test_months_arrive_as_stated() -> None:
    steps = np.array([3.0, 2.5, 2.0, 1.5, 1.0, 1.0, 1.5, 2.0, 2.0, 2.0, 2.5, 3.0])
    factors = np.linspace(0.8, 1.2, 12)
    warmer = changed(RECORD, stated_change("by month", warming=steps, nights=steps + 0.5, rain=factors))
    for one in range(12):
        here = one == MONTH
        assert np.nanmean((warmer.tmax - RECORD.tmax)[here]) == pytest.approx(steps[one], abs=0.05)
        assert np.nanmean((warmer.tmin - RECORD.tmin)[here]) == pytest.approx(steps[one] + 0.5, abs=0.05)
        assert np.nansum(warmer.rain[here]) == pytest.approx(factors[one] * np.nansum(RECORD.rain[here]))
    assert ((warmer.rain > 0) == (RECORD.rain > 0)).all()


@given(st.floats(-3, 8), st.floats(-3, 8), st.floats(0.2, 2.5))
@settings(max_examples=15, deadline=None)
def test_the_lowest_never_passes_the_highest(day: float, night: float, spread: float) -> None:
    after = changed(RECORD, stated_change("any", warming=day, nights=night, spread=spread))
    known = np.isfinite(after.tmin) & np.isfinite(after.tmax)
    assert known.sum() == (np.isfinite(RECORD.tmin) & np.isfinite(RECORD.tmax)).sum()
    assert (after.tmin[known] <= after.tmax[known]).all()


def test_a_wider_spread_leaves_the_mean() -> None:
    wider = changed(RECORD, stated_change("wider", warming=0.0, spread=1.3))
    middle, before = (wider.tmin + wider.tmax) / 2, (RECORD.tmin + RECORD.tmax) / 2
    assert np.nanmean(middle) == pytest.approx(np.nanmean(before), abs=0.02)
    july = MONTH == 6
    assert np.nanstd(middle[july]) / np.nanstd(before[july]) == pytest.approx(1.3, abs=0.02)


def test_nothing_changes_by_nothing() -> None:
    same = changed(RECORD, stated_change("none", warming=0.0))
    np.testing.assert_allclose(same.tmin, np.fmin(RECORD.tmin, RECORD.tmax), atol=1e-12)
    assert "the order of warm and cold days" in same.notices[-1].says.lower()


@pytest.mark.parametrize(
    ("given_change", "says"),
    [
        ({"warming": [1.0, 2.0]}, "one number for the year or twelve"),
        ({"warming": 1.0, "rain": -0.5}, "cannot be below zero"),
        ({"warming": 36.0}, "more than 15 degrees"),
    ],
)
def test_nonsense_is_refused(given_change: dict[str, object], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        stated_change("mine", **given_change)  # type: ignore[arg-type]


def scenario(name: str) -> Weather:
    return read_weather([SCENARIOS / name])


def test_the_change_of_a_model_arrives_in_the_record() -> None:
    """Brussels 1976-2005 and 2041-2070, files of the package in AQUACROP: the one becomes the other on average."""
    now, then = scenario("brussels_climate.txt"), scenario("brussels_future.txt")
    change = change_between("Brussels 2041 to 2070", now, then)
    after = changed(now, change)
    month_after = after.day.astype("datetime64[M]").astype(np.int64) % 12
    month_then = then.day.astype("datetime64[M]").astype(np.int64) % 12
    for one in range(12):
        for name in ("tmin", "tmax", "rain"):
            old = getattr(after, name)[month_after == one].mean()
            new = getattr(then, name)[month_then == one].mean()
            assert old == pytest.approx(new, abs=0.1), (name, one)
    assert 0.5 < change.tmin.mean() < 4


def test_the_change_goes_to_another_place() -> None:
    change = change_between("as Brussels", scenario("brussels_climate.txt"), scenario("brussels_future.txt"))
    after = changed(RECORD, change)
    assert np.nanmean(after.tmin - RECORD.tmin) == pytest.approx(change.tmin.mean(), abs=0.1)


def test_a_short_series_gives_no_change() -> None:
    now = scenario("brussels_climate.txt")
    few = slice(0, 3 * 365)
    from dataclasses import replace

    short = replace(now, day=now.day[few], tmin=now.tmin[few], tmax=now.tmax[few], rain=now.rain[few])
    with pytest.raises(ValueError, match="needs eight years"):
        change_between("short", short, now)
