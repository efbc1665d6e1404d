"""Keeping and shrink."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from topwire.cellar.keeping import share_kept, storage_life


def test_ten_degrees_age_two_and_a_half_times_as_fast() -> None:
    cold = storage_life(20.0, 1.0, eating=False)
    assert cold == 20
    assert storage_life(20.0, 11.0, eating=False) == pytest.approx(8)
    assert storage_life(20.0, 1.0, eating=True) == pytest.approx(14)


def test_a_month_costs_three_in_a_hundred_until_late_in_life() -> None:
    month = 365.25 / 12 / 7
    assert share_kept(month, 30.0) == pytest.approx(0.97)
    assert share_kept(20.0, 20.0) < 0.97 ** (20 / month)


def test_nothing_before_picking_and_nothing_after_its_life() -> None:
    assert share_kept([-1.0, 0.0, 10.0, 10.1], 10.0).tolist()[0] == 0
    assert share_kept(0.0, 10.0) == 1
    assert share_kept(10.1, 10.0) == 0


@given(st.floats(0, 40), st.floats(0, 40), st.floats(1, 40))
def test_older_fruit_is_never_more(one: float, other: float, life: float) -> None:
    young, old = sorted((one, other))
    assert share_kept(old, life) <= share_kept(young, life) + 1e-12
    assert 0 <= float(share_kept(young, life)) <= 1


def test_unknown_life_keeps_nothing() -> None:
    assert share_kept(1.0, np.nan) == 0
