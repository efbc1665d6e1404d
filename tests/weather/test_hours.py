"""The hour from the day: properties of the curve."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from topwire.weather.hours import hourly_temperature

DAYS = 12
LOWS = arrays(float, DAYS, elements=st.floats(-30, 25))
SWINGS = arrays(float, DAYS, elements=st.floats(0, 25))


@given(LOWS, SWINGS, st.floats(0, 60), st.integers(1, 355))
@settings(max_examples=40, deadline=None)
def test_stays_within_the_ends(low: np.ndarray, swing: np.ndarray, latitude: float, first: int) -> None:
    hours = hourly_temperature(np.arange(first, first + DAYS), low, low + swing, latitude)
    assert (hours <= (low + swing).max() + 1e-9).all()
    assert (hours >= low.min() - 1e-9).all()


@given(LOWS, SWINGS, st.floats(-20, 20))
@settings(max_examples=30, deadline=None)
def test_a_warmer_day_is_warmer_by_as_much_at_every_hour(
    low: np.ndarray, swing: np.ndarray, step: float
) -> None:
    day = np.arange(100, 100 + DAYS)
    there, here = (
        hourly_temperature(day, low + step, low + swing + step, 45.0),
        hourly_temperature(day, low, low + swing, 45.0),
    )
    np.testing.assert_allclose(there - here, step, atol=1e-9)


def test_reaches_the_maximum_two_hours_after_noon() -> None:
    """Day length plus four hours is the wave: its top lies two hours after solar noon, at any latitude."""
    for latitude in (30.0, 45.0, 60.0):
        hours = hourly_temperature([100, 101, 102], [0.0] * 3, [10.0] * 3, latitude)
        assert hours[1].argmax() == 14
        assert hours[1].max() == pytest.approx(10.0)


def test_one_day_and_many_agree() -> None:
    low, high = np.array([3.0, 5.0, 1.0, 4.0]), np.array([12.0, 16.0, 15.0, 11.0])
    many = hourly_temperature([10, 11, 12, 13], low, high, 48.0)
    three = hourly_temperature([11, 12, 13], low[1:], high[1:], 48.0)
    np.testing.assert_array_equal(many[2], three[1])


def test_a_missing_day_spoils_only_what_hangs_on_it() -> None:
    low, high = np.full(5, 2.0), np.full(5, 12.0)
    low[2] = np.nan
    hours = hourly_temperature(np.arange(80, 85), low, high, 45.0)
    assert np.isnan(hours[2]).all()
    assert np.isfinite(hours[[0, 4]]).all()
    assert np.isfinite(hours[1, :18]).all()
    assert np.isnan(hours[1, 20:]).all()
    assert np.isnan(hours[3, :5]).all()
    assert np.isfinite(hours[3, 7:]).all()


def test_the_turn_of_a_leap_year() -> None:
    hours = hourly_temperature([365, 366, 1, 2], [0.0] * 4, [10.0] * 4, 45.0)
    assert np.isfinite(hours).all()
    np.testing.assert_allclose(hours[1], hours[2], atol=0.05)


def test_the_polar_day_and_night_have_hours() -> None:
    for day in (172, 355):
        assert np.isfinite(hourly_temperature([day, day + 1], [0.0] * 2, [10.0] * 2, 75.0)).all()


def test_no_days() -> None:
    assert hourly_temperature([], [], [], 45.0).shape == (0, 24)
