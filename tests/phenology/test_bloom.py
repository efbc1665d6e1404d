"""Bloom: what must hold whatever the parameters."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from phenology_support import invented, seasons_of

from topwire.phenology.bloom import (
    CHILL_FLOOR,
    BloomNeed,
    BloomShape,
    bloom_hours,
    chill_with_frost,
    day_of_year,
    heat_after_chill,
    warmth,
)
from topwire.phenology.chill import portions
from topwire.phenology.seasons import Seasons, cut

SHAPE = BloomShape(midpoint=18.9, width=5.5, gate_day=45.0, gate_width=4.0, extra=1.4, fading=0.019)
NEED = BloomNeed(heat=206.0, required=40.0)
LATITUDE = 45.0


@pytest.fixture(scope="module")
def seasons() -> Seasons:
    return cut(invented("2000-09-01", "2006-12-31"), LATITUDE)


def bloom(air: np.ndarray, need: BloomNeed = NEED, shape: BloomShape = SHAPE) -> np.ndarray:
    chill = np.cumsum(portions(air), axis=1)
    return bloom_hours(heat_after_chill(air, chill, shape), chill, need)


def by_hand(air: np.ndarray, chill: np.ndarray, need: BloomNeed) -> float:
    """One season, hour by hour, in plain Python."""
    total = 0.0
    for hour in range(chill.size):
        day = hour // 24 - 91
        total += (
            1
            / (1 + np.exp(-(air[hour] - SHAPE.midpoint) / SHAPE.width))
            / (1 + np.exp(-(day - SHAPE.gate_day) / SHAPE.gate_width))
        )
        asked = 1 + SHAPE.extra * np.exp(-SHAPE.fading * max(chill[hour] - CHILL_FLOOR, 0.0))
        if total >= need.heat * asked:
            return float(hour + 1) if chill[hour] >= need.required else float("nan")
    return float("nan")


@pytest.mark.parametrize("need", [NEED, replace(NEED, required=300.0), replace(NEED, heat=1e5)])
def test_the_hour_is_that_of_a_plain_loop(seasons: Seasons, need: BloomNeed) -> None:
    chill = np.cumsum(portions(seasons.temperature), axis=1)
    found = bloom(seasons.temperature, need)[:, 0]
    expected = [by_hand(seasons.temperature[year], chill[year], need) for year in range(chill.shape[0])]
    np.testing.assert_array_equal(np.ceil(found), expected)


def test_many_cultivars_are_as_one_by_one(seasons: Seasons) -> None:
    heat = np.array([150.0, 206.0, 260.0])
    together = bloom(seasons.temperature, replace(NEED, heat=heat))
    for column, value in enumerate(heat):
        alone = bloom(seasons.temperature, replace(NEED, heat=float(value)))
        np.testing.assert_array_equal(together[:, [column]], alone)


@given(step=st.floats(0.1, 4.0), from_day=st.integers(140, 215))
@settings(max_examples=20, deadline=None)
def test_a_colder_spring_never_brings_bloom_earlier_once_chill_is_had(step: float, from_day: int) -> None:
    """Chill held as it was: less warmth alone cannot hasten bloom."""
    real = seasons_of("brussels").temperature
    chill = np.cumsum(portions(real), axis=1)
    colder = real.copy()
    colder[:, from_day * 24 :] -= step
    before, after = (bloom_hours(heat_after_chill(air, chill, SHAPE), chill, NEED) for air in (real, colder))
    assert (np.where(np.isnan(after), np.inf, after) >= before).all()


@given(heat=st.floats(50, 300), more=st.floats(0, 150))
@settings(max_examples=40, deadline=None)
def test_more_heat_needed_never_means_earlier(seasons: Seasons, heat: float, more: float) -> None:
    early = bloom(seasons.temperature, replace(NEED, heat=heat))
    late = bloom(seasons.temperature, replace(NEED, heat=heat + more))
    assert (np.where(np.isnan(late), np.inf, late) >= np.where(np.isnan(early), np.inf, early)).all()


def test_less_chill_asks_for_more_heat(seasons: Seasons) -> None:
    chill = np.cumsum(portions(seasons.temperature), axis=1)
    full = heat_after_chill(seasons.temperature, chill, SHAPE)
    less = heat_after_chill(seasons.temperature, 0.6 * chill, SHAPE)
    assert (less <= full).all()
    assert (np.diff(full, axis=1) >= 0).all()


def test_the_gate_opens_once_and_warmth_is_a_share() -> None:
    counted = warmth(np.full((1, 24 * 273), SHAPE.midpoint), SHAPE)[0]
    assert (np.diff(counted) >= 0).all()
    assert counted[0] < 1e-6
    assert counted[-1] == pytest.approx(0.5, abs=1e-6)


def test_chill_not_met_is_no_date() -> None:
    """A winter too warm gives NaN, never a late date."""
    warm = cut(invented("2000-09-01", "2003-12-31", warmer=15.0), LATITUDE)
    chill = np.cumsum(portions(warm.temperature), axis=1)
    assert (chill[:, -1] < NEED.required).all()
    assert np.isnan(bloom(warm.temperature)).all()
    assert np.isfinite(bloom(warm.temperature, replace(NEED, required=0.0))).all()


def test_a_frozen_winter_is_not_a_warm_one() -> None:
    """Far north portions are few because of frost, and trees bloom: the made-up chill counts from 1 April on."""
    cold = cut(invented("2000-09-01", "2003-12-31", warmer=-9.0), LATITUDE)
    chill = np.cumsum(portions(cold.temperature), axis=1)
    made_up = chill_with_frost(chill, cold.tmin, cold.tmax)
    april = (92 + 90) * 24
    np.testing.assert_array_equal(made_up[:, :april], chill[:, :april])
    assert (made_up[:, april:] >= 90).all()
    usual = cut(invented("2000-09-01", "2003-12-31"), LATITUDE)
    chill = np.cumsum(portions(usual.temperature), axis=1)
    np.testing.assert_array_equal(chill_with_frost(chill, usual.tmin, usual.tmax), chill)


def test_no_season_is_no_answer() -> None:
    assert bloom_hours(np.empty((0, 48)), np.empty((0, 48)), NEED).shape == (0, 1)


def test_noon_of_new_year_is_day_one() -> None:
    assert day_of_year(92 * 24 + 12) == 1.0


def test_warmth_hastens_bloom_where_chill_is_plenty(seasons: Seasons) -> None:
    assert (bloom(seasons.temperature + 2.0) < bloom(seasons.temperature)).all()
