"""Ranges hold what they promise."""

import numpy as np
import pytest

from topwire.phenology.ranges import range_of


def test_no_error_leaves_the_weathers_spread() -> None:
    dates = np.random.default_rng(3).normal(120, 6, 400)
    found = range_of(dates, 0.0)
    assert found is not None
    expected = np.percentile(np.repeat(dates, 25), [10, 50, 90])
    assert [found.low, found.middle, found.high] == pytest.approx(expected.tolist())


@pytest.mark.parametrize("error", [2.0, 4.0, 8.0])
def test_four_dates_of_five_lie_within(error: float) -> None:
    """Dates that follow the forecast with the error stated."""
    random = np.random.default_rng(5)
    forecast = random.normal(120, 5, 4000)
    found = range_of(forecast, error)
    assert found is not None
    seen = random.normal(120, 5, 4000) + random.normal(0, error, 4000)
    assert np.mean((seen >= found.low) & (seen <= found.high)) == pytest.approx(0.8, abs=0.02)


def test_years_without_a_date_do_not_count() -> None:
    found = range_of([np.nan, 100.0, 110.0], 1.0)
    assert found is not None
    assert 98 < found.low < 110
    assert range_of([np.nan], 3.0) is None
