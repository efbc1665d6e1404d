"""Of the plans within the gap the one with fewer cultivars."""

from dataclasses import replace

import numpy as np
import pytest
from choice.conftest import need
from choice.test_brute_force import kitchen

from topwire.choice.fewer import with_fewer_cultivars
from topwire.choice.reasons import Nearby
from topwire.choice.search import find
from topwire.choice.serving import serve
from topwire.choice.years import GAP

NEEDS = (
    need("fresh", 30, 8, weekly=30.0, weight=2.0),
    need("sauce", 28, 45, total=300.0, used=(*range(40, 53), *range(1, 20)), keeps=20.0),
)


@pytest.mark.parametrize("seed", [21, 22, 23, 24])
def test_what_costs_nothing_goes_and_the_gap_stays(seed: int) -> None:
    supply, limits, useful = kitchen(seed)
    limits = replace(limits, places=90, fewest_trees=3, most_trees=40, most_cultivars=8, fewest_cultivars=1)
    found = find(supply, NEEDS, limits, useful)
    idle = replace(found, trees=_with_an_idle_one(found.trees, limits.fewest_trees))
    near = Nearby(supply, NEEDS, limits, useful, np.arange(8), found.cuts, found.trees)
    for before in (found, idle):
        fewer = with_fewer_cultivars(near, before)
        assert np.count_nonzero(fewer.trees) <= np.count_nonzero(found.trees)
        assert fewer.objective <= found.bound / (1 - GAP) + 1e-6 or fewer is before
        cost, _ = serve(supply, NEEDS, limits, fewer.trees)
        if fewer is not before:
            assert cost == pytest.approx(fewer.objective, rel=1e-6)
            assert fewer.trees.sum() <= limits.places
            kept = np.flatnonzero(fewer.trees)
            assert (useful[np.ix_(kept, kept)].sum(axis=0) >= 1).all()


def _with_an_idle_one(trees: np.ndarray, fewest: int) -> np.ndarray:
    more = trees.copy()
    out = np.flatnonzero(trees == 0)
    if out.size:
        giver = int(np.argmax(trees))
        more[giver] -= fewest
        more[out[0]] = fewest
    return more


def test_a_handful_of_trees_stays_as_it_is() -> None:
    supply, limits, useful = kitchen(8)
    found = find(supply, NEEDS, limits, useful)
    near = Nearby(supply, NEEDS, limits, useful, np.arange(8), found.cuts, found.trees)
    assert with_fewer_cultivars(near, found) is found


@pytest.mark.parametrize("seed", [21, 22])
def test_standing_trees_and_what_has_to_be_there_stay(seed: int) -> None:
    supply, limits, useful = kitchen(seed)
    names = [row.name for row in supply.cultivars]
    limits = replace(
        limits,
        places=90,
        fewest_trees=3,
        most_trees=40,
        most_cultivars=8,
        fewest_cultivars=1,
        standing={names[0]: 2},
        must_have=(names[1],),
    )
    found = find(supply, NEEDS, limits, useful)
    fewer = with_fewer_cultivars(
        Nearby(supply, NEEDS, limits, useful, np.arange(8), found.cuts, found.trees), found
    )
    assert fewer.trees[0] >= 2
    assert fewer.trees[1] >= 3
