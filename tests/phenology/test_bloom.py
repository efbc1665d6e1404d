"""Bloom: what must hold whatever the parameters."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from phenology_support import invented, seasons_of

from topwire.phenology.bloom import (
    BloomNeed,
    bloom_hours,
    chill_with_frost,
    day_of_year,
    hours_from_october,
    hours_of_chill,
    weighted_heat,
)
from topwire.phenology.chill import portions
from topwire.phenology.seasons import Seasons, cut

NEED = BloomNeed(begin=60.0, required=70.0, least=5990.0, extra=11570.0, fading=0.04)
LATITUDE = 45.0
HOURS = 24 * 273


@pytest.fixture(scope="module")
def seasons() -> Seasons:
    return cut(invented("2000-09-01", "2006-12-31"), LATITUDE)


def totals(seasons: Seasons, step: float = 0.0) -> tuple[np.ndarray, np.ndarray]:
    air = seasons.temperature + step
    return (
        np.cumsum(portions(air), axis=1),
        np.cumsum(weighted_heat(air, seasons.day_length), axis=1),
    )


def by_hand(chill: np.ndarray, heat: np.ndarray, need: BloomNeed) -> float:
    """One season, hour by hour, in plain Python."""
    begun, used = False, 0.0
    for hour in range(chill.size):
        if not begun and chill[hour] >= need.begin:
            begun, used = True, heat[hour]
            continue
        if begun and heat[hour] - used >= need.heat(chill[hour]):
            return float(hour + 1) if chill[hour] >= need.required else float("nan")
    return float("nan")


@pytest.mark.parametrize(
    "need",
    [NEED, replace(NEED, extra=0.0, begin=70.0), replace(NEED, required=300.0), replace(NEED, least=1e6)],
)
def test_bisection_finds_the_hour_a_plain_loop_finds(seasons: Seasons, need: BloomNeed) -> None:
    chill, heat = totals(seasons)
    found = bloom_hours(chill, heat, need)[:, 0]
    expected = [by_hand(chill[year], heat[year], need) for year in range(chill.shape[0])]
    np.testing.assert_array_equal(np.ceil(found), expected)


def test_many_cultivars_are_as_one_by_one(seasons: Seasons) -> None:
    chill, heat = totals(seasons)
    least = np.array([4000.0, 5330.0, 7000.0])
    together = bloom_hours(chill, heat, replace(NEED, least=least))
    for column, value in enumerate(least):
        alone = bloom_hours(chill, heat, replace(NEED, least=float(value)))
        np.testing.assert_array_equal(together[:, [column]], alone)


@given(step=st.floats(0.1, 4.0), from_day=st.integers(150, 215))
@settings(max_examples=25, deadline=None)
def test_a_colder_spring_never_brings_bloom_earlier_once_chill_is_met(
    seasons: Seasons, step: float, from_day: int
) -> None:
    """Chill held as it was from the day the spring turns colder: less heat alone cannot hasten bloom."""
    chill, _ = totals(seasons)
    colder = seasons.temperature.copy()
    colder[:, from_day * 24 :] = np.minimum(colder[:, from_day * 24 :] - step, 25.0)
    warm = np.minimum(seasons.temperature, 25.0)  # above the optimum cold would help: leave that out
    usual = np.cumsum(weighted_heat(warm, seasons.day_length), axis=1)
    less = np.cumsum(weighted_heat(colder, seasons.day_length), axis=1)
    before, after = bloom_hours(chill, usual, NEED), bloom_hours(chill, less, NEED)
    assert (np.where(np.isnan(after), np.inf, after) >= before).all()


@given(step=st.floats(0.1, 8.0), from_day=st.integers(130, 200))
@settings(max_examples=15, deadline=None)
def test_a_colder_spring_never_brings_bloom_earlier_on_real_weather(step: float, from_day: int) -> None:
    """All worked out again, chill too, on a real record (AQUACROP, Brussels), in years with the overlap behind them."""
    real = seasons_of("brussels")
    warm = np.minimum(real.temperature, 25.0)
    cold = warm.copy()
    cold[:, from_day * 24 :] -= step
    before, after = (
        bloom_hours(
            np.cumsum(portions(air), axis=1), np.cumsum(weighted_heat(air, real.day_length), axis=1), NEED
        )[:, 0]
        for air in (warm, cold)
    )
    satisfied = np.cumsum(portions(warm), axis=1)[:, from_day * 24] >= NEED.required
    assert (np.where(np.isnan(after), np.inf, after)[satisfied] >= before[satisfied]).all()


@given(least=st.floats(1000, 9000), more=st.floats(0, 4000))
@settings(max_examples=40, deadline=None)
def test_more_heat_needed_never_means_earlier(seasons: Seasons, least: float, more: float) -> None:
    chill, heat = totals(seasons)
    early = bloom_hours(chill, heat, replace(NEED, least=least))
    late = bloom_hours(chill, heat, replace(NEED, least=least + more))
    assert (np.where(np.isnan(late), np.inf, late) >= np.where(np.isnan(early), np.inf, early)).all()


def test_more_chill_lowers_the_heat_needed() -> None:
    chill = np.linspace(0, 200, 101)
    needed = NEED.heat(chill)
    assert (np.diff(needed) <= 0).all()
    assert needed[0] == pytest.approx(5990 + 11570)
    assert needed[-1] == pytest.approx(5990, rel=0.05)


def test_chill_not_met_is_no_date() -> None:
    """A winter too warm gives NaN, never a late date."""
    warm = cut(invented("2000-09-01", "2003-12-31", warmer=13.0), LATITUDE)
    chill, heat = totals(warm)
    assert (chill[:, -1] < NEED.required).all()
    assert np.isnan(bloom_hours(chill, heat, NEED)).all()
    assert np.isfinite(bloom_hours(chill, heat, replace(NEED, begin=5.0, required=6.0))).all()


def test_a_frozen_winter_is_not_a_warm_one() -> None:
    """Far north portions are few because of frost, and trees bloom: the made-up chill counts from 1 April on."""
    cold = cut(invented("2000-09-01", "2003-12-31", warmer=-9.0), LATITUDE)
    chill, heat = totals(cold)
    made_up = chill_with_frost(chill, cold.tmin, cold.tmax)
    april = (92 + 90) * 24
    np.testing.assert_array_equal(made_up[:, :april], chill[:, :april])
    assert (made_up[:, april:] >= 90).all()
    assert np.isfinite(bloom_hours(made_up, heat, NEED)).all()
    usual = cut(invented("2000-09-01", "2003-12-31"), LATITUDE)
    chill, _ = totals(usual)
    np.testing.assert_array_equal(chill_with_frost(chill, usual.tmin, usual.tmax), chill)


def test_no_season_is_no_answer() -> None:
    assert bloom_hours(np.empty((0, 48)), np.empty((0, 48)), NEED).shape == (0, 1)


def test_hours_of_chill_counts_hours_passed() -> None:
    chill = np.cumsum(np.ones((1, 10)), axis=1)
    np.testing.assert_array_equal(hours_of_chill(chill, [1.0, 4.5, 11.0]), [[1.0, 5.0, np.nan]])


def test_noon_of_new_year_is_day_one() -> None:
    assert day_of_year(92 * 24 + 12) == 1.0
    assert hours_from_october(1.0) == 92 * 24 + 12


def test_warmth_hastens_bloom_where_chill_is_plenty(seasons: Seasons) -> None:
    usual, warm = (bloom_hours(*totals(seasons, step), NEED) for step in (0.0, 2.0))
    assert (warm < usual).all()
