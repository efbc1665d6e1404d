from itertools import product
from math import prod

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.checks.nursery import simulated_joint_chance
from topwire.nursery.starts import (
    chain_success,
    chance_curve,
    chance_of_enough,
    least_cost_joint_start,
    smallest_start,
)

SHARE = st.floats(0.3, 0.99)


@given(st.integers(1, 60), SHARE, st.sampled_from([0.0, 0.02, 0.1]))
@settings(max_examples=60, deadline=None)
def test_smallest_start_is_smallest(wanted: int, success: float, correlation: float) -> None:
    start = smallest_start(wanted, success, 0.9, correlation)
    assert chance_of_enough(wanted, start, success, correlation) >= 0.9
    assert start == wanted or chance_of_enough(wanted, start - 1, success, correlation) < 0.9


@given(st.integers(1, 40), SHARE)
@settings(max_examples=40, deadline=None)
def test_lots_that_fail_together_need_no_fewer_grafts(wanted: int, success: float) -> None:
    # At chances well above the mean; below it lots that succeed together help.
    assert smallest_start(wanted, success, 0.95, 0.05) >= smallest_start(wanted, success, 0.95)


def test_curve_rises_from_nothing_to_certainty() -> None:
    curve = chance_curve(5, 0.7, 60)
    assert (curve[:5] == 0).all()
    assert (np.diff(curve) >= 0).all()
    assert curve[-1] == pytest.approx(1, abs=1e-12)


def test_no_tree_wanted_needs_no_graft() -> None:
    assert smallest_start(0, 0.8, 0.95) == 0
    assert chance_of_enough(0, 0, 0.8) == 1


def test_certain_grafts_need_no_spare() -> None:
    assert smallest_start(12, 1.0, 0.99) == 12


@pytest.mark.parametrize("correlation", [0.0, 0.05])
def test_joint_start_is_the_cheapest_of_all(correlation: float) -> None:
    wanted, success, cost = np.array([4, 9, 6]), np.array([0.8, 0.6, 0.7]), np.array([5.0, 2.5, 3.3])
    found = least_cost_joint_start(wanted, success, cost, chance=0.9, correlation=correlation)
    curves = [chance_curve(int(n), float(p), 60, correlation) for n, p in zip(wanted, success, strict=True)]
    by_hand = min(
        (float(np.dot(trial, cost)), trial)
        for trial in product(range(4, 30), range(9, 60), range(6, 40))
        if prod(curve[n] for curve, n in zip(curves, trial, strict=True)) >= 0.9
    )
    assert found.cost == pytest.approx(by_hand[0])
    assert found.chance >= 0.9


def test_joint_start_costs_no_more_than_equal_shares() -> None:
    wanted, success = np.array([12, 20, 35, 50, 80]), np.full(5, 0.75)
    joint = least_cost_joint_start(wanted, success, np.ones(5), chance=0.95)
    equal = sum(smallest_start(int(n), 0.75, 0.95**0.2) for n in wanted)
    assert joint.cost <= equal
    assert joint.chance == pytest.approx(prod(joint.chance_each))


def test_joint_chance_is_confirmed_by_simulation() -> None:
    wanted, success = np.array([12, 20, 35, 50]), np.array([0.75, 0.55, 0.8, 0.7])
    joint = least_cost_joint_start(wanted, success, np.ones(4), chance=0.9, correlation=0.03)
    met = simulated_joint_chance(
        wanted, np.array(joint.started), success, correlation=0.03, orchards=40_000, seed=8
    )
    assert abs(met - joint.chance) < 3 * (joint.chance * (1 - joint.chance) / 40_000) ** 0.5


def test_nothing_to_graft() -> None:
    none = least_cost_joint_start(np.array([], dtype=int), np.array([]), np.array([]), chance=0.95)
    assert (none.started, none.chance, none.cost) == ((), 1.0, 0.0)


def test_faults_say_what_is_right() -> None:
    with pytest.raises(ValueError, match="share above 0"):
        chain_success(0.9, 0, 0.9, 0.9)
    with pytest.raises(ValueError, match="between 0 and 1"):
        smallest_start(5, 0.8, 95)
    with pytest.raises(ValueError, match="buy these trees"):
        smallest_start(50_000, 0.01, 0.95)
    with pytest.raises(ValueError, match="one entry for each"):
        least_cost_joint_start(np.array([1, 2]), np.array([0.5]), np.ones(2), chance=0.9)
    with pytest.raises(ValueError, match="costs something"):
        least_cost_joint_start(np.array([1]), np.array([0.5]), np.zeros(1), chance=0.9)
    with pytest.raises(ValueError, match="correlation of 0"):
        chance_curve(3, 1.0, 5, 0.1)
