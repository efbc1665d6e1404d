"""What-ifs on small kitchens drawn at random: the gap is true, the change is kept, nothing moves that need not."""

from dataclasses import replace

import numpy as np
import pytest
from choice.conftest import need
from choice.test_brute_force import kitchen

from topwire.choice.at_once import build, solve_whole
from topwire.choice.nearest import Near, nearest_known
from topwire.choice.planting import Donors, Limits
from topwire.choice.search import Found, find
from topwire.choice.serving import serve
from topwire.choice.supply import Supply
from topwire.choice.years import Years

NEEDS = (
    need("fresh", 30, 8, weekly=30.0, weight=2.0),
    need("sauce", 28, 45, total=300.0),
    need("juice", 30, 50, total=400.0),
)
NOBODY = np.zeros(0, dtype=np.int64)


def drawn(seed: int) -> tuple[Supply, Limits, Donors, Found]:
    supply, limits, useful = kitchen(seed)
    limits = replace(limits, places=90, fewest_trees=9, most_trees=40, press_week=30.0, cellar=250.0)
    return supply, limits, useful, find(supply, NEEDS, limits, useful)


def asked(
    supply: Supply,
    limits: Limits,
    useful: Donors,
    found: Found,
    out: np.ndarray = NOBODY,
    bound: float = -np.inf,
) -> Near:
    years = Years(supply, NEEDS, limits)
    years.cuts = found.cuts
    return nearest_known(years, limits, useful, found.trees, out, bound)


@pytest.mark.parametrize("seed", [41, 43, 44])
def test_no_planting_is_better_than_the_gap_says(seed: int) -> None:
    """Beside the whole programme of all years, solved at once by branch and bound (HiGHS)."""
    supply, limits, useful, found = drawn(seed)
    for changed in (
        replace(limits, places=70, at_least=70),
        replace(limits, places=60),
        replace(limits, most_trees=30),
        replace(limits, fewest_trees=14),
        replace(limits, heritage_share=min(0.5, limits.heritage_share + 0.2)),
    ):
        best = solve_whole(build(supply, NEEDS, changed, useful), supply, changed, gap=1e-4)
        if best.values is None:
            continue
        near = asked(supply, changed, useful, found)
        cost, _ = serve(supply, NEEDS, changed, near.trees)
        assert near.cost == pytest.approx(cost, rel=1e-6, abs=1e-6)
        assert near.bound <= best.objective + 1e-6
        assert best.bound <= near.cost + 1e-6
        planted = near.trees[near.trees > 0]
        assert changed.at_least <= planted.sum() <= changed.places
        assert planted.min() >= changed.fewest_trees
        assert planted.max() <= changed.most_trees
        old = np.array([row.heritage for row in supply.cultivars])
        assert near.trees[old].sum() >= changed.heritage_share * planted.sum() - 1e-9


@pytest.mark.parametrize("seed", range(40, 46))
def test_a_cultivar_that_has_to_go_goes(seed: int) -> None:
    supply, limits, useful, found = drawn(seed)
    gone = np.flatnonzero(found.trees)[:1]
    keep = np.setdiff1d(np.arange(found.trees.size), gone)
    some = supply.chosen(keep), limits.some(keep), useful[np.ix_(keep, keep)]
    best = solve_whole(build(some[0], NEEDS, *some[1:]), some[0], some[1], gap=1e-4)
    if best.values is None:
        return
    near = asked(supply, limits, useful, found, gone)
    assert near.trees[gone] == 0
    assert near.bound <= best.objective + 1e-6
    assert best.bound <= near.cost + 1e-6


@pytest.mark.parametrize("seed", range(40, 46))
def test_a_cultivar_that_has_to_come_comes(seed: int) -> None:
    supply, limits, useful, found = drawn(seed)
    for new in np.flatnonzero(found.trees == 0)[:3]:
        wanted = replace(limits, must_have=(supply.cultivars[new].name,), most_cultivars=8)
        near = asked(supply, wanted, useful, found, bound=found.bound)
        assert near.trees[new] >= limits.fewest_trees


@pytest.mark.parametrize("seed", range(40, 46))
def test_where_nothing_changes_nothing_moves(seed: int) -> None:
    supply, limits, useful, found = drawn(seed)
    near = asked(supply, limits, useful, found, bound=found.bound)
    assert near.trees.tolist() == found.trees.tolist()


def test_what_is_asked_of_all_is_not_lost_by_rounding() -> None:
    """A heritage share just above what rounding gives: the numbers are sought in whole trees then."""
    for seed in (41, 43, 45):
        supply, limits, useful, found = drawn(seed)
        old = np.array([row.heritage for row in supply.cultivars])
        share = float(found.trees[old].sum() / found.trees.sum())
        tight = replace(limits, heritage_share=min(0.95, share + 1e-3))
        if solve_whole(build(supply, NEEDS, tight, useful), supply, tight, gap=0.05).values is None:
            continue
        near = asked(supply, tight, useful, found)
        assert near.trees[old].sum() >= tight.heritage_share * near.trees.sum() - 1e-9
