"""Learning: the posterior is right, and a few dates help without harm."""

import numpy as np
import pytest

from topwire.phenology.calibration import BLOOM_SPREAD, DateSpread, learn_shift


def test_no_date_teaches_nothing() -> None:
    shift = learn_shift([np.nan], np.array([0]), np.array([0]), cultivars=2, spread=BLOOM_SPREAD)
    assert shift.place == 0
    np.testing.assert_array_equal(shift.cultivar, [0, 0])


def test_many_dates_overrule_the_prior() -> None:
    zero = np.zeros(400, dtype=np.int64)
    shift = learn_shift(np.full(400, 9.0), zero, np.arange(400), cultivars=1, spread=BLOOM_SPREAD)
    assert shift.place + shift.cultivar[0] == pytest.approx(9.0, abs=0.2)


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
