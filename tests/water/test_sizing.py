"""Pipe sizes: the programme finds what trying everything finds."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from topwire.water.friction import blasius, velocity
from topwire.water.sizing import cheapest_sizes, spanning_tree

DIAMETERS = np.array([0.021, 0.028, 0.0352, 0.044])
PRICES = np.array([0.95, 1.35, 2.0, 3.0])


@settings(max_examples=20, deadline=None)
@given(seed=some.integers(0, 1000), allowed=some.floats(0.3, 6.0))
def test_as_cheap_as_trying_everything(seed: int, allowed: float) -> None:
    random = np.random.default_rng(seed)
    flow, length = random.uniform(1e-4, 8e-4, 4), random.uniform(5, 60, 4)
    paths = np.array([[True, True, False, False], [True, False, True, True]])
    bounds = np.array([allowed, 1.5 * allowed])
    chosen = cheapest_sizes(flow, length, paths=paths, allowed=bounds, diameters=DIAMETERS, prices=PRICES)
    best = np.inf
    for sizes in product(range(4), repeat=4):
        inside = DIAMETERS[list(sizes)]
        loss = blasius(flow, inside)[0] * length
        if (velocity(flow, inside) <= 1.5).all() and (paths @ loss <= bounds).all():
            best = min(best, float((length * PRICES[list(sizes)]).sum()))
    if chosen is None:
        assert best == np.inf
    else:
        assert float((length * PRICES[chosen]).sum()) == pytest.approx(best, rel=2e-4)


def test_nothing_wide_enough() -> None:
    one = np.array([0.02])
    assert (
        cheapest_sizes(
            one,
            np.array([10.0]),
            paths=np.array([[True]]),
            allowed=np.array([100.0]),
            diameters=DIAMETERS,
            prices=PRICES,
        )
        is None
    )


def test_no_pipe_to_choose() -> None:
    empty = np.empty(0)
    chosen = cheapest_sizes(
        empty,
        empty,
        paths=np.empty((1, 0), dtype=bool),
        allowed=np.ones(1),
        diameters=DIAMETERS,
        prices=PRICES,
    )
    assert chosen is not None
    assert chosen.size == 0


def test_spanning_tree_of_a_line_of_points() -> None:
    x = np.array([0.0, 30.0, 10.0, 20.0])
    assert spanning_tree(x, np.zeros(4)).tolist() == [-1, 3, 0, 2]
