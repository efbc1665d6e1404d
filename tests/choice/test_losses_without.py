"""Loss of a cultivar that is never planted, beside the whole programme of all years solved for the set that is left."""

from dataclasses import replace

import numpy as np
import pytest
from choice.test_brute_force import kitchen
from choice.test_nearest import NEEDS

from topwire.choice import reasons
from topwire.choice.at_once import build
from topwire.choice.losses import losses_after
from topwire.choice.planting import Array, Donors, Limits
from topwire.choice.reasons import Nearby, alternatives, losses_without
from topwire.choice.search import find
from topwire.choice.solver import Live
from topwire.choice.supply import Supply


def best_of_set(supply: Supply, limits: Limits, useful: Donors, members: Array) -> float:
    """Least cost of a set in parts of trees (linear programme of all years at once, HiGHS)."""
    programme = build(supply, NEEDS, limits, useful)
    live, there = Live(programme.model), members.astype(float)
    live.bound(programme.planting.planted, there, there)
    return live.solve().objective


@pytest.mark.parametrize("seed", range(50, 56))
@pytest.mark.parametrize(("asked", "part"), [(3, 0.95), (1, 0.8)], ids=["every year", "the dearest"])
def test_a_loss_told_is_proven_and_near(
    seed: int, asked: int, part: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reasons, "DEAREST", asked)
    supply, limits, useful = kitchen(seed)
    limits = replace(limits, places=90, fewest_trees=9, most_trees=40, press_week=30.0, cellar=None)
    found = find(supply, NEEDS, limits, useful)
    near = Nearby(supply, NEEDS, limits, useful, np.arange(len(supply.cultivars)), found.cuts, found.trees)
    losses_after(near.years, found.trees.astype(float))
    told = losses_without(near, found.trees)
    assert set(told) == set(np.flatnonzero(found.trees)) - set(
        np.flatnonzero([row.name in limits.standing for row in supply.cultivars])
    )
    free = replace(limits, must_have=(), fewest_cultivars=1, most_cultivars=found.trees.size)
    everyone = found.trees > 0
    whole = best_of_set(supply, free, np.ones_like(useful), everyone)
    for at, loss in told.items():
        left = everyone & (np.arange(everyone.size) != at)
        true = best_of_set(supply, free, np.ones_like(useful), left) - whole
        assert loss <= max(true, 0.0) + 1e-6 * whole
        assert loss >= part * true - 0.003 * whole


@pytest.mark.parametrize("seed", range(50, 56))
def test_no_other_plan_goes_without_what_has_to_be_there(seed: int) -> None:
    supply, limits, useful = kitchen(seed)
    limits = replace(limits, places=90, fewest_trees=9, most_trees=40, press_week=30.0, cellar=None)
    plain = find(supply, NEEDS, limits, useful)
    least = int(np.flatnonzero(plain.trees == 0)[0])
    must = supply.cultivars[least].name  # one that the plan would rather do without
    limits = replace(limits, must_have=(must,))
    found = find(supply, NEEDS, limits, useful)
    near = Nearby(supply, NEEDS, limits, useful, np.arange(len(supply.cultivars)), found.cuts, found.trees)
    losses = losses_without(near, found.trees)
    assert losses[least] == pytest.approx(min(losses.values()), abs=1e-6)
    others = alternatives(near, found.trees, losses)
    assert others
    assert all(must not in other.out for other in others)
