"""Friction: signs, slopes, joints between the branches."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from topwire.checks.pipes import hazen_williams
from topwire.water import friction


@given(flow=some.floats(1e-8, 0.02), inside=some.floats(0.01, 0.15))
def test_loss_is_odd_and_grows(flow: float, inside: float) -> None:
    for law in (friction.blasius, hazen_williams(140)):
        there, slope = law(np.asarray(flow), np.asarray(inside))
        back, same = law(np.asarray(-flow), np.asarray(inside))
        more, _ = law(np.asarray(1.01 * flow), np.asarray(inside))
        assert there > 0
        assert back == -there
        assert slope == same > 0
        assert more > there


@pytest.mark.parametrize("number", [500.0, 1999.0, 2025.0, 3000.0, 9e4, 2e5])
def test_slope_is_the_derivative(number: float) -> None:
    inside = 0.0136
    flow = number * np.pi * inside * friction.VISCOSITY / 4
    step = 1e-6 * flow
    low, high = (float(friction.blasius(flow + sign * step, inside)[0]) for sign in (-1, 1))
    assert friction.blasius(flow, inside)[1] == pytest.approx((high - low) / (2 * step), rel=1e-5)


@pytest.mark.parametrize("number", [friction.LAMINAR_TO, 2050.0])
def test_branches_meet(number: float) -> None:
    inside = 0.0136
    flow = number * np.pi * inside * friction.VISCOSITY / 4
    low, high = (float(friction.blasius(flow * (1 + sign * 1e-9), inside)[0]) for sign in (-1, 1))
    assert low == pytest.approx(high, rel=1e-6)


def test_laminar_loss_is_hagen_poiseuille() -> None:
    flow, inside = 1e-6, 0.0136
    exact = 128 * friction.VISCOSITY * flow / (np.pi * friction.GRAVITY * inside**4)
    assert friction.blasius(flow, inside)[0] == pytest.approx(exact, rel=1e-12)


def test_head_of_a_bar() -> None:
    assert friction.head_of(1e5) == pytest.approx(10.197, abs=1e-3)
    assert friction.pressure_of(friction.head_of(2.3e5)) == pytest.approx(2.3e5)
