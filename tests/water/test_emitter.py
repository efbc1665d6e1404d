"""Emitters: the law, its slope, and how unevenness is counted."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from topwire.water import emitter

PLAIN = emitter.Emitter(2.0 / 3.6e6 / 10**0.5, 0.5)
STEADY = emitter.Emitter(1.6 / 3.6e6 / 10**0.05, 0.05, regulates_from=5.0)


@pytest.mark.parametrize("kind", [PLAIN, STEADY])
@given(head=some.floats(0.0, 40.0))
def test_slope_is_the_derivative(kind: emitter.Emitter, head: float) -> None:
    step = 1e-6
    if abs(head - 5.0) < 1e-3 or abs(head - 0.02) < 1e-3 or head < 1e-3:
        return  # the law has corners here
    around = kind.flow(np.array([head - step, head + step]))
    _, slope = kind.flow_and_slope(head)
    assert slope == pytest.approx((around[1] - around[0]) / (2 * step), rel=1e-4)


def test_more_head_never_gives_less() -> None:
    for kind in (PLAIN, STEADY):
        flow = kind.flow(np.linspace(-1, 40, 4000))
        assert np.all(np.diff(flow) >= 0)
        assert np.all(flow[:90] == 0)


def test_compensating_emitter_holds_its_flow_and_falls_off_below() -> None:
    assert STEADY.flow(20.0) / STEADY.flow(10.0) == pytest.approx(2**0.05)
    assert STEADY.flow(4.0) / STEADY.flow(5.0) == pytest.approx(0.8**0.5)
    below, above = STEADY.flow(np.array([5 - 1e-9, 5 + 1e-9]))
    assert below == pytest.approx(above, rel=1e-6)


def test_even_emitters_lose_uniformity_only_to_their_make() -> None:
    assert emitter.emission_uniformity(1.0, 1.0, variation=0.05, per_tree=1) == pytest.approx(1 - 0.0635)
    assert emitter.emission_uniformity(1.0, 1.0, variation=0.05, per_tree=0.5) == pytest.approx(1 - 0.0635)
    assert emitter.emission_uniformity(0.0, 0.0, variation=0.05, per_tree=1) == 0.0


def test_lowest_quarter() -> None:
    assert emitter.lowest_quarter([4, 1, 4, 4]) == pytest.approx(1 / 3.25)
    assert emitter.lowest_quarter(np.ones(100)) == 1.0


@pytest.mark.parametrize(
    ("variation", "line", "name"),
    [
        (0.04, False, "excellent"),
        (0.06, False, "average"),
        (0.2, False, "unacceptable"),
        (0.09, True, "good"),
    ],
)
def test_classes_of_make(variation: float, line: bool, name: str) -> None:
    assert emitter.manufacturing_class(variation, line=line) == name
