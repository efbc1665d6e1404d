"""Blight weather in bloom, by the published worked days, and by hand."""

import numpy as np

from topwire.phenology.disease_weather import blight_heat, blight_years, wetted

# Five days of a worked example: degree-hours above 18.3 deg C 6.6, 38.8, 72.4, 101, 122.
LOW = np.array([8.0, 10.0, 12.0, 14.0, 16.0])
HIGH = np.array([20.0, 24.0, 27.0, 29.0, 30.0])


def test_the_threshold_is_crossed_on_the_third_day() -> None:
    hot = blight_heat(LOW, HIGH, np.array([1.0]), np.array([5.0]))
    assert hot[0].tolist() == [False, False, True, True, True]


def test_only_flowers_that_are_open_count() -> None:
    late = blight_heat(LOW, HIGH, np.array([3.0, np.nan, 1.0]), np.array([5.0, np.nan, 2.0]))
    assert late[0].tolist() == [False, False, False, True, True]  # heat from the third day on: 72, 173
    assert not late[1].any()
    assert not late[2].any()  # petals fell before the heat


def test_old_flowers_leave_the_sum() -> None:
    """A warm day long ago counts no more when its flowers have lived 44.4 degree-days."""
    low, high = np.array([18.0, *[10.0] * 6]), np.array([32.0, *[17.0] * 6])
    assert not blight_heat(low, high, np.array([1.0]), np.array([7.0]))[0, 1:].any()


def test_rain_today_or_much_yesterday() -> None:
    assert wetted(np.array([0.0, 0.3, 0.0, 3.0, 0.0, np.nan])).tolist() == [
        False,
        True,
        False,
        True,
        True,
        False,
    ]


def test_dry_years_have_the_heat_but_not_the_water() -> None:
    def dry(year: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        return np.resize(LOW, 365), np.resize(HIGH, 365), np.zeros(365)

    wet, warm, spring = blight_years(dry, np.array([2001]), np.array([[100.0]]), np.array([[110.0]]))
    assert warm[0, 0] > 0
    assert (wet[0, 0], spring[0]) == (0, 0)
