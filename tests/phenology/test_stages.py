"""Bud stages: in order, on the day of bloom, and the worked days of a constant spring."""

import numpy as np
import pytest
from phenology_support import invented

from topwire.phenology import stages
from topwire.phenology.seasons import cut

ORDER = [
    stages.SILVER_TIP,
    stages.GREEN_TIP,
    stages.HALF_INCH_GREEN,
    stages.TIGHT_CLUSTER,
    stages.PINK,
    stages.FIRST_BLOOM,
    stages.FULL_BLOOM,
    stages.PETAL_FALL,
]


def test_stages_come_in_order_and_full_bloom_on_its_day() -> None:
    seasons = cut(invented("2000-09-01", "2006-12-31"), 45.0)
    running = stages.stage_heat(seasons.tmin, seasons.tmax)
    bloom = np.full((seasons.years.size, 2), 120.0) + np.array([0.0, 9.0])
    begin = np.full_like(bloom, 60.0)
    days = np.stack([stages.stage_day(running, begin, bloom, stage) for stage in ORDER])
    assert (np.diff(days, axis=0) >= 0).all()
    np.testing.assert_allclose(days[ORDER.index(1.0)], bloom, atol=0.51)
    share = stages.progress(running, begin, bloom)
    assert (np.diff(share, axis=1) >= 0).all()


def test_no_bloom_no_stage() -> None:
    running = np.cumsum(np.ones((1, 300)), axis=1)
    bloom, begin = np.array([[np.nan, 120.0]]), np.full((1, 2), 60.0)
    assert np.isnan(stages.stage_day(running, begin, bloom, stages.PINK)[0, 0])
    share = stages.progress(running, begin, bloom)
    assert np.isnan(share[0, :, 0]).all()
    assert np.isfinite(share[0, :, 1]).all()


@pytest.mark.parametrize(("fahrenheit_days", "day"), [(100, 15), (150, 22), (206, 30), (267, 39), (439, 64)])
def test_days_of_a_constant_spring(fahrenheit_days: float, day: int) -> None:
    """35 to 61 F every day is 6.948 F-days above 43 F; low ends of the bands (UMASS-STAGES) fall on these days."""
    tmin, tmax = np.full((1, 80), (35 - 32) / 1.8), np.full((1, 80), (61 - 32) / 1.8)
    running = stages.stage_heat(tmin, tmax)
    assert running[0, 0] * 1.8 == pytest.approx(6.948, abs=5e-4)
    reached = stages.day_of_sum(running, np.array([[fahrenheit_days / 1.8]]))[0, 0]
    assert np.ceil(reached + 91.5) == day
