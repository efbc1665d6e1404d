"""Branching networks: continuity, energy, and trees that are none."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from topwire.checks.pipes import comb, hazen_williams
from topwire.water.emitter import Emitter
from topwire.water.friction import blasius
from topwire.water.network import Tree, solve

PLAIN = Emitter(2.0 / 3.6e6 / 10**0.5, 0.5)
STEADY = Emitter(2.0 / 3.6e6 / 10**0.05, 0.05, regulates_from=6.0)


@settings(max_examples=40, deadline=None)
@given(seed=some.integers(0, 10_000), nodes=some.integers(2, 80), emitter=some.sampled_from([PLAIN, STEADY]))
def test_random_trees_keep_water_and_energy(seed: int, nodes: int, emitter: Emitter) -> None:
    random = np.random.default_rng(seed)
    parent = np.concatenate([[-1], [random.integers(0, node) for node in range(1, nodes)]]).astype(np.int64)
    tree = Tree(
        parent,
        random.uniform(0.3, 10, nodes),
        random.uniform(0.013, 0.06, nodes),
        random.uniform(-3, 3, nodes),
        random.integers(0, 4, nodes).astype(float),
    )
    found = solve(tree, emitter, 20.0)
    # what flows in at a node flows on or out
    onward = np.zeros(nodes)
    np.add.at(onward, parent[1:], found.flow[1:])
    assert found.flow[1:] == pytest.approx((onward + found.outlet)[1:], abs=1e-11)
    assert found.total == pytest.approx(found.flow[0], abs=1e-12)
    # the head lost in each pipe is the law's
    grade = found.head + tree.height
    lost = grade[parent[1:]] - grade[1:]
    law = blasius(found.flow[1:], tree.diameter[1:])[0] * tree.length[1:]
    assert lost == pytest.approx(law, abs=2e-5)
    assert found.outlet == pytest.approx(tree.outlets * emitter.flow(found.head), abs=1e-15)


def test_numbering_does_not_matter() -> None:
    """The same small tree with its branches named in another order."""
    one = Tree(
        np.array([-1, 0, 1, 0]),
        np.array([0.0, 5, 5, 3]),
        np.full(4, 0.02),
        np.zeros(4),
        np.array([0.0, 1, 2, 1]),
    )
    other = Tree(
        np.array([-1, 0, 0, 2]),
        np.array([0.0, 3, 5, 5]),
        np.full(4, 0.02),
        np.zeros(4),
        np.array([0.0, 1, 1, 2]),
    )
    first, second = solve(one, PLAIN, 10.0), solve(other, PLAIN, 10.0)
    assert first.head[[0, 1, 2, 3]] == pytest.approx(second.head[[0, 2, 3, 1]], abs=1e-9)


def test_a_child_before_its_parent_is_refused() -> None:
    with pytest.raises(ValueError, match="parent"):
        solve(Tree(np.array([-1, 2, 0]), np.ones(3), np.ones(3), np.zeros(3), np.ones(3)), PLAIN, 10.0)


def test_nothing_flows_uphill_of_the_pressure() -> None:
    tree = Tree(
        np.array([-1, 0, 0]),
        np.array([0.0, 10, 10]),
        np.full(3, 0.0136),
        np.array([0.0, 50, 0]),
        np.array([0.0, 1, 1]),
    )
    found = solve(tree, PLAIN, 10.0)
    assert found.outlet[1] == 0.0
    assert found.outlet[2] > 0


def test_sixty_rows_settle_in_few_steps() -> None:
    tree = comb(
        supply=(30.0, 0.0766),
        manifold_lengths=[3.5] * 59,
        manifold_diameters=[0.066] * 59,
        row_emitters=[150] * 60,
        spacing=0.5,
        diameter=0.0176,
    )
    for law in (blasius, hazen_williams(150)):
        found = solve(tree, PLAIN, 25.0, law=law)
        assert found.steps <= 8
        assert found.head.size == 60 * 150 + 61
