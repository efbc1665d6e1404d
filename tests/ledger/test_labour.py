import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.ledger.findings import ShortWeek
from topwire.ledger.labour import crop_hours, per_tree_hours, short_weeks, spread_over_weeks


@given(st.floats(1, 365), st.floats(0, 120))
@settings(deadline=None)
def test_spreading_loses_nothing(first: float, length: float) -> None:
    share = spread_over_weeks(first, first + length)
    assert share.shape == (52,)
    assert share.sum() == pytest.approx(1)
    assert (share >= 0).all()


def test_one_day_falls_in_one_week_and_the_year_wraps() -> None:
    assert spread_over_weeks(1, 1)[0] == 1
    wrapped = spread_over_weeks(360, 372)
    assert wrapped[51] > 0
    assert wrapped[0] > 0
    with pytest.raises(ValueError, match="without a date"):
        spread_over_weeks(float("nan"), 10)


def test_hours_of_trees_and_crops() -> None:
    assert float(per_tree_hours(2.5, 1200)) == pytest.approx(50)
    assert crop_hours(np.array([1100.0, 0.0]), 110).tolist() == [10, 0]
    with pytest.raises(ValueError, match="above 0"):
        crop_hours(10, 0)


def test_short_weeks_are_told_with_the_hours_missing() -> None:
    hours = np.zeros((2, 52))
    hours[1, 39] = 130.0
    assert short_weeks(hours, 120) == (ShortWeek(1, 40, pytest.approx(10.0)),)
    assert short_weeks(hours, 130) == ()
