"""Learning: the posterior is right, and a few dates help without harm."""

import numpy as np
import pytest

from topwire.phenology.calibration import (
    BLOOM_SPREAD,
    DOUBLING,
    FROM_YEARS,
    HARVEST_SPREAD,
    DateSpread,
    Departures,
    Teaching,
    best_stage,
    bloom_spread,
    learn_shift,
    left_out,
    step_in,
)


def dates(
    days: object, cultivar: object, year: object, *, pace: object = 1.0, early: object = 0.0
) -> Departures:
    seen = np.asarray(days, dtype=float)
    return Departures(
        seen,
        np.asarray(cultivar, dtype=np.int64),
        np.asarray(year, dtype=np.int64),
        np.broadcast_to(np.asarray(pace, dtype=float), seen.shape),
        np.broadcast_to(np.asarray(early, dtype=float), seen.shape),
    )


def test_no_date_teaches_nothing() -> None:
    shift = learn_shift(dates([np.nan], [0], [0]), cultivars=2, spread=BLOOM_SPREAD)
    assert shift.place == 0
    np.testing.assert_array_equal(shift.cultivar, [0, 0])


def test_many_dates_overrule_the_prior() -> None:
    zero = np.zeros(400, dtype=np.int64)
    shift = learn_shift(
        dates(np.full(400, 9.0), zero, np.arange(400) // 20), cultivars=1, spread=BLOOM_SPREAD
    )
    assert shift.place + shift.cultivar[0] == pytest.approx(9.0, abs=0.5)


def test_twenty_cultivars_in_one_spring_are_not_twenty_springs() -> None:
    spread = DateSpread(place=2.5, cultivar=2.5, year=3.5, single=1.5)
    many, one = np.arange(20), np.zeros(20, dtype=np.int64)
    spring = learn_shift(dates(np.full(20, 6.0), many, one), cultivars=20, spread=spread)
    springs = learn_shift(dates(np.full(20, 6.0), many, many), cultivars=20, spread=spread)
    assert spring.place < springs.place
    assert spring.place_sd > springs.place_sd


def test_what_is_shared_goes_to_the_place_and_what_is_not_to_the_cultivar() -> None:
    years = np.repeat(np.arange(10), 2)
    cultivar = np.tile([0, 1], 10)
    shift = learn_shift(
        dates(np.where(cultivar == 0, 8.0, 2.0), cultivar, years), cultivars=3, spread=BLOOM_SPREAD
    )
    assert shift.place > 1
    assert shift.cultivar[0] > 1
    assert shift.cultivar[1] < 0
    assert shift.cultivar[2] == pytest.approx(0, abs=1e-9)


def test_recent_years_weigh_more() -> None:
    year = np.arange(1980, 2020)
    days = np.where(year < 2000, -4.0, 4.0)
    shift = learn_shift(dates(days, 0 * year, year), cultivars=1, spread=BLOOM_SPREAD)
    assert shift.place + shift.cultivar[0] > 1.0


def test_a_drifting_cultivar_is_followed_as_by_a_filter_that_steps_from_year_to_year() -> None:
    spread = DateSpread(place=0.0, cultivar=1e4, year=0.0, single=3.0, drift=1.5)
    random = np.random.default_rng(4)
    year = np.delete(np.arange(2000, 2016), [3, 4, 9])
    days = np.cumsum(random.normal(0.0, 1.5, year.size)) + random.normal(0.0, 3.0, year.size)
    shift = learn_shift(dates(days, 0 * year, year), cultivars=1, spread=spread)
    # the recursion of a level that walks at random (Durbin & Koopman 2012, section 2.2), older dates noisier
    level, variance, before = 0.0, spread.cultivar**2, year[0]
    for seen, when in zip(days, year, strict=True):
        variance += spread.drift**2 * (when - before)
        gain = variance / (variance + spread.single**2 * 2.0 ** ((year[-1] - when) / DOUBLING))
        level, variance, before = level + gain * (seen - level), (1 - gain) * variance, when
    assert shift.cultivar[0] == pytest.approx(level, abs=1e-3)
    assert shift.cultivar_sd[0] == pytest.approx(variance**0.5, abs=1e-3)


def test_a_year_left_out_hears_the_years_on_both_sides_of_it() -> None:
    year = np.arange(1990, 2021)
    seen = dates(0.5 * (year - 2005.0), 0 * year, year)
    rest = left_out(seen, cultivars=1, spread=HARVEST_SPREAD, reference=None, stage=Teaching.OFFSET)
    inner = np.abs(rest[5:-5])  # half a day a year is followed, where one mean would miss by five there
    assert inner.max() < 1.5, inner


def test_a_later_stage_needs_years_and_has_to_earn_its_place() -> None:
    random = np.random.default_rng(6)
    year = np.arange(2000, 2030)
    early = random.normal(0.0, 8.0, year.size)
    plain = 3.0 + random.normal(0.0, 2.0, year.size)
    for days, stage in ((plain, Teaching.OFFSET), (plain - 0.4 * early, Teaching.RESPONSE)):
        seen = dates(days, 0 * year, year, early=early)
        found, rest = best_stage(seen, cultivars=1, spread=BLOOM_SPREAD, reference=None)
        assert found is stage
        assert np.sqrt(np.mean(rest**2)) < 3.0
    few = dates((plain - 0.4 * early)[:8], 0 * year[:8], year[:8], early=early[:8])
    assert best_stage(few, cultivars=1, spread=BLOOM_SPREAD, reference=None)[0] is not Teaching.RESPONSE
    assert FROM_YEARS[Teaching.OFFSET] < FROM_YEARS[Teaching.NEED] < FROM_YEARS[Teaching.RESPONSE]


def test_heat_is_learnt_where_slow_springs_are_later_still() -> None:
    random = np.random.default_rng(7)
    year = np.arange(2000, 2020)
    pace = random.uniform(0.4, 1.8, year.size)
    seen = dates(8.0 * pace + random.normal(0, 1.0, year.size), 0 * year, year, pace=pace)
    found, _ = best_stage(seen, cultivars=1, spread=BLOOM_SPREAD, reference=None)
    assert found is Teaching.NEED


def test_a_jump_in_a_record_is_found_and_a_plain_one_has_none() -> None:
    random = np.random.default_rng(8)
    year = np.repeat(np.arange(1990, 2014), 2)
    cultivar = np.tile([0, 1], 24)
    noise = np.repeat(random.normal(0, 2.0, 24), 2) + random.normal(0, 1.0, 48)
    step = step_in(dates(noise + np.where(year >= 2003, 6.0, 0.0), cultivar, year))
    assert step is not None
    assert abs(step.year - 2003) <= 1
    assert step.days == pytest.approx(6.0, abs=2.0)
    assert step_in(dates(noise, cultivar, year)) is None


def test_warm_winters_are_less_sure() -> None:
    assert bloom_spread(90.0) == BLOOM_SPREAD
    assert bloom_spread(60.0).year == 6.0
    assert BLOOM_SPREAD.place < bloom_spread(72.0).place < bloom_spread(60.0).place
