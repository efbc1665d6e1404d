"""Chill: properties of the four counts."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from topwire.phenology import chill

HOURS = arrays(float, st.integers(24, 240), elements=st.floats(-25, 40))


@given(HOURS)
@settings(max_examples=60, deadline=None)
def test_portions_never_fall(temperature: np.ndarray) -> None:
    added = chill.portions(temperature)
    assert (added >= 0).all()
    assert np.isfinite(added).all()


@given(arrays(float, (3, 2, 96), elements=st.floats(-10, 25)))
@settings(max_examples=30, deadline=None)
def test_many_seasons_are_as_one_by_one(temperature: np.ndarray) -> None:
    together = chill.portions(temperature)
    assert together.shape == temperature.shape
    for first in range(3):
        for second in range(2):
            np.testing.assert_array_equal(together[first, second], chill.portions(temperature[first, second]))


def test_portions_are_as_the_plain_recursion() -> None:
    """The published recursion written out hour by hour, in plain Python."""
    from math import exp

    temperature = 6.0 + 7.0 * np.sin(2 * np.pi * np.arange(2000) / 24) + np.linspace(-3, 4, 2000)
    intermediate, total, expected = 0.0, 0.0, []
    before = 0.0
    for hour, air in enumerate(temperature):
        kelvin = air + 273.0
        steady = 139_500.0 / 2.567e18 * exp((12_888.8 - 4_153.5) / kelvin)
        rate = 2.567e18 * exp(-12_888.8 / kelvin)
        fixed = 1.0 / (1.0 + exp(-1.6 * 277.0 * (kelvin - 277.0) / kelvin))
        if hour > 0:
            start = intermediate if intermediate < 1.0 else intermediate * (1.0 - before)
            intermediate = steady - (steady - start) * exp(-rate)
            if intermediate >= 1.0:
                total += intermediate * fixed
        before = fixed
        expected.append(total)
    np.testing.assert_allclose(np.cumsum(chill.portions(temperature)), expected, atol=1e-9)


def test_a_warm_spell_wipes_out_what_is_not_yet_fixed() -> None:
    """Source: EREZ1990, the reason for the model: 8 h at 4 and 16 h at 20 deg C give nothing at all."""
    day = np.r_[np.full(8, 4.0), np.full(16, 20.0)]
    assert chill.portions(np.tile(day, 60)).sum() == 0.0


@pytest.mark.parametrize(("air", "weight"), [(1.4, 0.0), (1.41, 0.5), (9.1, 1.0), (9.11, 0.5), (18.01, -1.0)])
def test_utah_classes_include_their_upper_end(air: float, weight: float) -> None:
    assert chill.utah_units([air])[0] == weight
