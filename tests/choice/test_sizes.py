"""The smallest orchard: a small kitchen by hand, the ladder against every planting, and what it takes in proportion."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from choice.conftest import need
from choice.test_brute_force import NEEDS, kitchen, plantings

from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Limits
from topwire.choice.scarce import SizeStep
from topwire.choice.search import Found, find
from topwire.choice.serving import serve
from topwire.choice.sizes import sizes, smallest
from topwire.choice.supply import Supply
from topwire.choice.years import Years
from topwire.ledger.findings import Spent
from topwire.ledger.sizes import OwnSize, sized, targets


def knowing(supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, found: Found) -> Years:
    years = Years(supply, needs, limits)
    years.cuts = found.cuts
    return years


def test_a_ladder_reckoned_by_hand(supply: Supply, limits: Limits) -> None:
    """Sauce of one keeper of 10 kg a tree in both years: service is as trees, until all is served."""
    few = supply.chosen(np.array([1]))
    sauce = need("sauce", 42, 45, total=485.0)
    one = replace(limits, tree_cost=np.ones(1), most_cultivars=1, places=50, most_trees=100)
    found = find(few, (sauce,), one, np.ones((1, 1), dtype=bool))
    assert found.trees.tolist() == [50]
    useful = np.ones((1, 1), dtype=bool)
    served = serve(few, (sauce,), one, found.trees)[1].served.sum(axis=(1, 2))
    steps = sizes(knowing(few, (sauce,), one, found), one, useful, found.trees, served)
    by_trees = {step.trees: step for step in steps}
    whole = by_trees[50].served
    for trees in (10, 20, 30, 40):
        assert by_trees[trees].served == pytest.approx(whole * trees / 50, abs=0.01)
        assert by_trees[trees].worst_fifth == pytest.approx(by_trees[trees].served)
    assert smallest(steps, whole / 2).trees == 25  # type: ignore[union-attr]
    assert smallest(steps, 2.0) is None


@pytest.mark.parametrize("seed", [8, 9])
def test_no_planting_of_as_many_trees_serves_much_more(seed: int) -> None:
    supply, limits, useful = kitchen(seed)
    found = find(supply, NEEDS, limits, useful)
    served = serve(supply, NEEDS, limits, found.trees)[1].served.sum(axis=(1, 2))
    steps = sizes(knowing(supply, NEEDS, limits, found), limits, useful, found.trees, served)
    assert [step.trees for step in steps] == sorted({step.trees for step in steps})
    assert all(after.served > before.served for before, after in pairwise(steps))
    years, wanted = Years(supply, NEEDS, limits), sum(one.total for one in NEEDS)
    for step in steps:
        held = replace(limits, places=step.trees, fewest_cultivars=1)
        served = [
            1 - float(years.missing(np.array(trees, dtype=float), np.arange(3)).mean()) / wanted
            for trees in plantings(supply, held, useful, (4,))
            if sum(trees) == step.trees and not np.any(np.array(trees)[found.trees == 0])
        ]
        if served and step.trees <= found.trees.sum():
            assert step.served >= max(served) - 0.02


def test_what_a_size_takes_goes_with_its_trees_its_ground_and_its_fence() -> None:
    own = OwnSize(trees=100, standing=0, rows=10, ground=1000.0, fence=120.0)
    spent = {Spent.TREES: 1000.0, Spent.FENCE: 600.0, Spent.CAPITAL: 300.0}
    steps = (SizeStep(25, 0.5, 0.4), SizeStep(100, 0.9, 0.8))
    quarter, whole = sized(steps, own, spent)
    assert (whole.rows, whole.ground, whole.fence, whole.cost) == (10, 1000.0, 120.0, 1900.0)
    assert whole.own
    assert (quarter.rows, quarter.ground, quarter.fence, quarter.cost) == (
        5,
        250.0,
        60.0,
        250.0 + 300.0 + 300.0,
    )
    found = dict(targets(steps, own, spent))
    assert found[0.5].trees == 25  # type: ignore[union-attr]
    assert found[0.75].trees == 72  # type: ignore[union-attr]  # 25 + 75 x 0.25 / 0.4, rounded up
    assert found[0.95] is None
    assert sized(steps, replace(own, standing=100), spent) == ()
