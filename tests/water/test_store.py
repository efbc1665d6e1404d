"""Pond and tank: the books close, larger is never worse, months add up."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from topwire.water.store import SEEPAGE, StoreWeather, least_size, run, store_of

DAYS = 365


def weather(
    seed: int = 1, years: int = 6, *, full_on: int | None = None, inflow: float = 2.0
) -> StoreWeather:
    random = np.random.default_rng(seed)
    rain = random.exponential(8.0, (DAYS, years)) * (random.random((DAYS, years)) < 0.3)
    season = np.clip(np.sin((np.arange(DAYS) - 90) / 180 * np.pi), 0, None)[:, np.newaxis]
    return StoreWeather(
        rain, 1 + 4 * season * np.ones(years), inflow * rain / 8, 9 * season * np.ones(years), full_on
    )


@settings(max_examples=20, deadline=None)
@given(seed=some.integers(0, 999), full_on=some.sampled_from([None, 1, 100]), depth=some.floats(0.6, 5.0))
def test_the_books_close_on_every_day(seed: int, full_on: int | None, depth: float) -> None:
    given_weather = weather(seed, 3, full_on=full_on)
    size = np.array([50.0, 800.0])
    found = run(given_weather, size, depth)
    change = found.rained + given_weather.runoff[:, :, np.newaxis] - found.spilled - found.lost - found.served
    begins = slice(100, None) if full_on else slice(1, None)
    before = found.level[begins.start - 1 : -1]
    assert found.level[begins] == pytest.approx(before + change[begins], abs=1e-9)
    assert (found.level >= 0).all()
    assert (found.level <= size + 1e-9).all()
    assert (found.served <= given_weather.draw[:, :, np.newaxis] + 1e-12).all()


def test_years_follow_one_another_where_it_carries_over() -> None:
    found = run(weather(3), np.array([400.0]), 2.0)
    change = found.rained + weather(3).runoff[:, :, np.newaxis] - found.spilled - found.lost - found.served
    assert found.level[0, 1:, 0] == pytest.approx(found.level[-1, :-1, 0] + change[0, 1:, 0])


def test_a_larger_store_runs_dry_in_no_more_years() -> None:
    sizes = np.geomspace(20, 5000, 30)
    dry = run(weather(4, 10), sizes, 2.0).dry_years(weather(4, 10).draw)
    assert (np.diff(dry) <= 0).all()
    assert dry[0] == 10


def test_least_size_is_enough_and_the_next_smaller_is_not() -> None:
    asked = weather(5, 20, full_on=90, inflow=0.3)
    size = least_size(asked, 2.0)
    assert size is not None
    enough, short = (
        run(asked, np.array([share * size]), 2.0).dry_years(asked.draw)[0] for share in (1.0, 0.92)
    )
    assert enough <= 2 < short


def test_a_tank_meets_the_worst_run_of_short_days() -> None:
    """By hand: 5, 12, 13, 2, 11 m3 wanted with 10 m3 a day; the store must hold 2 + 3."""
    draw = np.zeros((DAYS, 1))
    draw[:5, 0] = [5, 12, 13, 2, 11]
    nothing = np.zeros_like(draw)
    tank = StoreWeather(nothing, nothing, nothing + 10.0, draw, 1)
    found = run(tank, np.array([4.9, 5.0]), 2.0)
    assert found.dry_years(draw).tolist() == [1, 0]


def test_a_covered_tank_loses_nothing_and_a_pond_seeps() -> None:
    dry = np.zeros((DAYS, 1))
    tank = StoreWeather(dry, dry, dry, dry, 1)
    pond = StoreWeather(dry, dry + 3.0, dry, dry, 1)
    size = np.array([1000.0])
    assert run(tank, size, 2.0).lost.sum() == 0
    assert run(pond, size, 2.0).lost[0, 0, 0] == pytest.approx((3.0 + SEEPAGE) / 1000 * 500)


def test_months_tell_the_days() -> None:
    found = store_of(weather(7, 1), 600.0, 2.0)
    assert sum(month.draw for month in found.months) == pytest.approx(float(weather(7, 1).draw.sum()))
    assert all(month.dry_level <= month.level + 1e-9 for month in found.months)
    assert found.surface == 300.0
