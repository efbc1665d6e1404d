"""Learning: the posterior is right, and a few dates help without harm."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from phenology_support import EXAMPLES

from topwire.checks.phenology import MEDIUM_START, bloom_records
from topwire.phenology.calibration import (
    BLOOM_SPREAD,
    HARVEST_SPREAD,
    DateSpread,
    fit_need,
    learn_shift,
    leave_one_out_mean,
    root_mean_square,
    update_bloom_offset,
    update_harvest_offset,
)


@given(st.lists(st.floats(-20, 20), min_size=1, max_size=8))
def test_one_cultivar_agrees_with_the_general_posterior(departure: list[float]) -> None:
    index = np.zeros(len(departure), dtype=np.int64)
    years = np.arange(len(departure))
    shift = learn_shift(departure, index, years, cultivars=1, spread=BLOOM_SPREAD)
    mean, _ = update_bloom_offset(departure)
    assert shift.place + shift.cultivar[0] == pytest.approx(mean, abs=1e-9)


@given(st.lists(st.floats(-30, 30), max_size=8))
def test_a_shift_is_never_larger_than_what_was_seen(departure: list[float]) -> None:
    for update in (update_bloom_offset, update_harvest_offset):
        mean, deviation = update(departure)
        assert abs(mean) <= abs(float(np.mean(departure or [0.0]))) + 1e-9
        assert deviation > 0


def test_no_date_teaches_nothing() -> None:
    mean, deviation = update_harvest_offset([])
    assert mean == 0
    assert deviation == pytest.approx(np.hypot(HARVEST_SPREAD.place, HARVEST_SPREAD.cultivar))
    shift = learn_shift([np.nan], np.array([0]), np.array([0]), cultivars=2, spread=BLOOM_SPREAD)
    assert shift.place == 0
    np.testing.assert_array_equal(shift.cultivar, [0, 0])


def test_many_dates_overrule_the_prior() -> None:
    mean, deviation = update_bloom_offset(np.full(400, 9.0))
    assert mean == pytest.approx(9.0, abs=0.2)
    assert deviation < 0.3


def test_twenty_cultivars_in_one_spring_are_not_twenty_springs() -> None:
    spread = DateSpread(place=2.5, cultivar=2.5, year=3.5, single=1.5)
    many, one = np.arange(20), np.zeros(20, dtype=np.int64)
    spring = learn_shift(np.full(20, 6.0), many, one, cultivars=20, spread=spread)
    springs = learn_shift(np.full(20, 6.0), many, many, cultivars=20, spread=spread)
    assert spring.place < springs.place
    assert spring.place_sd > springs.place_sd


def test_what_is_shared_goes_to_the_place_and_what_is_not_to_the_cultivar() -> None:
    years = np.repeat(np.arange(10), 2)
    cultivar = np.tile([0, 1], 10)
    shift = learn_shift(np.where(cultivar == 0, 8.0, 2.0), cultivar, years, cultivars=3, spread=BLOOM_SPREAD)
    assert shift.place > 1
    assert shift.cultivar[0] > 1
    assert shift.cultivar[1] < 0
    assert shift.cultivar[2] == pytest.approx(0, abs=1e-9)


def test_three_observed_years_help_and_do_no_harm() -> None:
    """Each place with the figures of the other, then any three years of its own: the mean error of the others falls."""
    records = bloom_records(EXAMPLES)
    reference = replace(BLOOM_SPREAD, cultivar=0.0)
    draw = np.random.default_rng(7)
    without, having = [], []
    for place, record in records.items():
        others = [other for name, other in records.items() if name != place]
        error = record.forecast(fit_need(others, MEDIUM_START)) - record.observed
        for _ in range(400):
            seen = np.zeros(error.size, dtype=bool)
            seen[draw.choice(error.size, 3, replace=False)] = True
            shift, _sd = update_bloom_offset(-error[seen], reference)
            without.append(root_mean_square(error[~seen]))
            having.append(root_mean_square(error[~seen] + shift))
    cost = np.array(having) - np.array(without)
    assert cost.mean() < -0.05
    assert np.percentile(cost, 95) < 0.7
    assert cost.max() < 2.0  # the unluckiest three years


def test_the_naive_forecast_leaves_the_year_out() -> None:
    np.testing.assert_allclose(leave_one_out_mean([1.0, 2.0, 6.0]), [3.0, 1.5, -4.5])


def test_root_mean_square_leaves_out_what_is_missing() -> None:
    assert root_mean_square([3.0, np.nan, -4.0]) == pytest.approx(np.sqrt(12.5))
