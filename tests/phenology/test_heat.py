"""Heat: limits and order of the degree-day methods."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from topwire.phenology import heat

LOW = st.floats(-20, 30)
SWING = st.floats(0, 30)
BASE = st.floats(-5, 15)


@given(LOW, SWING, BASE)
def test_sine_lies_between_mean_and_maximum(low: float, swing: float, base: float) -> None:
    high = low + swing
    sine = float(heat.sine_above(low, high, base))
    assert sine >= float(heat.mean_above(low, high, base)) - 1e-9
    assert sine <= max(high - base, 0.0) + 1e-9


@given(LOW, SWING, BASE, st.floats(0, 8))
def test_a_warmer_day_never_gives_less(low: float, swing: float, base: float, warmer: float) -> None:
    for wave in (heat.mean_above, heat.sine_above):
        assert (
            float(wave(low + warmer, low + swing + warmer, base))
            >= float(wave(low, low + swing, base)) - 1e-9
        )


@given(LOW, SWING, BASE)
def test_fahrenheit_gives_the_same_in_its_own_degrees(low: float, swing: float, base: float) -> None:
    def f(celsius: float) -> float:
        return celsius * 1.8 + 32.0

    celsius = float(heat.sine_above(low, low + swing, base))
    fahrenheit = float(heat.sine_above(f(low), f(low + swing), f(base)))
    assert fahrenheit == pytest.approx(celsius * 1.8, abs=1e-6)


def test_sine_is_the_area_under_the_curve() -> None:
    hours = (np.arange(200_000) + 0.5) / 200_000
    for low, high, base in [(2, 14, 4.5), (-3, 12, 6), (10, 30, 10)]:
        wave = (low + high) / 2 - (high - low) / 2 * np.cos(2 * np.pi * hours)
        area = np.maximum(wave - base, 0).mean()
        assert float(heat.sine_above(low, high, base)) == pytest.approx(area, abs=1e-6)


def test_growing_degree_hours_by_their_shape() -> None:
    air = np.linspace(-10, 45, 1101)
    hours = heat.growing_degree_hours(air)
    assert hours.max() == pytest.approx(21.0)
    assert air[np.argmax(hours)] == pytest.approx(25.0)
    assert not hours[(air <= 4.0) | (air >= 36.0)].any()
    rising = (air > 4) & (air < 25)
    assert (np.diff(hours[rising]) > 0).all()
