"""Hours of wetness without a sensor, and the spells they make."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from topwire.protection.wetness import laid_rain, spells, tree_value, wet_by_humidity, wet_by_tree


def _days(*wet: tuple[int, int], days: int = 3) -> np.ndarray:
    hours = np.zeros(days * 24, dtype=bool)
    for begin, end in wet:
        hours[begin:end] = True
    return hours.reshape(days, 24)


@pytest.mark.parametrize(("gap", "found"), [(7, 1), (8, 2)])
def test_spells_join_over_less_than_eight_dry_hours(gap: int, found: int) -> None:
    wet = _days((2, 6), (6 + gap, 20 + gap))
    made = spells(wet, np.full(wet.shape, 10.0), wet)
    assert len(made) == found
    assert sum(spell.hours for spell in made) == 18  # dry hours never count


def test_a_spell_tells_its_warmth_and_where_it_lies() -> None:
    wet = _days((20, 30))
    air = np.arange(72.0).reshape(3, 24)
    (spell,) = spells(wet, air, _days((20, 22)))
    assert (spell.first_day, spell.last_day, spell.rain_hours) == (0, 1, 2)
    assert spell.mean == pytest.approx(24.5)
    assert spell.middle == pytest.approx((20 + 29) / 2)


def test_nothing_wet_makes_no_spell() -> None:
    assert spells(_days(), np.zeros((3, 24)), _days()) == []


def test_humidity_that_is_not_known_is_not_wet() -> None:
    assert list(wet_by_humidity([89.9, 90.0, np.nan])) == [False, True, False]
    assert not wet_by_tree(np.nan, 10.0, 95.0, 1.0)


def test_without_its_square_the_windy_branch_could_never_say_wet() -> None:
    air, damp = np.meshgrid(np.arange(0.0, 40.0), np.arange(88.0, 100.0))
    beyond = tree_value(air, air - 1.0, damp, np.full(air.shape, 2.6))
    assert (beyond > 0).any()
    assert (beyond - 0.0046 * damp**2 + 0.0046 * damp <= -20).all()


def test_frost_does_not_break_the_tree() -> None:
    assert np.isfinite(tree_value(-3.0, -3.5, 96.0, 1.0))


@given(st.lists(st.floats(0, 60), min_size=1, max_size=12))
def test_laid_rain_is_eight_to_twenty_hours_and_more_with_more_rain(rain: list[float]) -> None:
    hours = laid_rain(rain).sum(axis=1)
    for fallen, laid in zip(rain, hours, strict=True):
        assert laid == 0 if fallen < 0.2 else 8 <= laid <= 20
    assert (laid_rain(np.array(rain) + 10.0).sum(axis=1) >= hours).all()


def test_rain_that_goes_on_is_laid_across_midnight() -> None:
    laid = laid_rain([0.0, 5.0, 5.0, 0.0, np.nan])
    assert laid[1, -1]
    assert laid[2, 0]
    assert not laid[1, 0]
    assert not laid[4].any()
