"""The best plan for one mean year: near enough wherever it begins."""

from dataclasses import replace

import numpy as np
import pytest
from choice.test_brute_force import NEEDS, kitchen

from topwire.choice.at_once import best_in_fractions
from topwire.choice.planting import Array, Limits
from topwire.choice.rivals import for_the_mean_year
from topwire.choice.search import ROUGH_GAP
from topwire.choice.serving import serve
from topwire.choice.supply import Supply

OF_ONE_TREE = 0.02  # of the cost: what rounding to whole trees may add in these small kitchens


def of(seed: int) -> tuple[Supply, Limits, np.ndarray]:
    supply, limits, useful = kitchen(seed)
    wider = replace(limits, places=90, fewest_trees=9, most_trees=40, press_week=30.0, cellar=250.0)
    return supply, wider, useful


def cost(supply: Supply, limits: Limits, trees: Array) -> float:
    return serve(supply.mean_year(), NEEDS, limits, trees)[0]


@pytest.mark.parametrize("seed", range(31, 37))
def test_begun_with_an_earlier_set_it_is_as_good_as_from_nothing(seed: int) -> None:
    supply, limits, useful = of(seed)
    anew = for_the_mean_year(supply, NEEDS, limits, useful)
    begun = for_the_mean_year(supply, NEEDS, limits, useful, anew.astype(float))
    least = cost(supply, limits, anew)
    assert cost(supply, limits, begun) <= (1 + ROUGH_GAP + OF_ONE_TREE) * least
    assert set(np.flatnonzero(begun)) <= set(np.flatnonzero(anew))


@pytest.mark.parametrize("seed", range(31, 37))
def test_a_set_that_will_not_do_is_not_taken(seed: int) -> None:
    supply, limits, useful = of(seed)
    anew = for_the_mean_year(supply, NEEDS, limits, useful)
    strangers, alone = np.zeros(8), np.zeros(8)
    strangers[[0, 7]] = 40.0  # no pollen for each other
    alone[[1, 2, 3]] = 9.0
    for before in (strangers, alone, np.zeros(8)):
        begun = for_the_mean_year(supply, NEEDS, limits, useful, before)
        near = best_in_fractions(supply.mean_year(), NEEDS, limits, useful)
        assert near is not None
        if set(np.flatnonzero(begun)) != set(np.flatnonzero(anew)):  # then it is near enough, and allowed
            assert set(np.flatnonzero(begun)) == {1, 2, 3}
            assert cost(supply, limits, begun) <= (near.cost + ROUGH_GAP * near.cost) * (1 + OF_ONE_TREE)


def test_all_planted_is_what_the_set_can_do_at_best() -> None:
    supply, limits, useful = of(31)
    year, keep = supply.mean_year(), np.array([1, 2, 4])
    few = year.chosen(keep), NEEDS, limits.some(keep), useful[np.ix_(keep, keep)]
    best, free = best_in_fractions(*few, all_planted=True), best_in_fractions(*few)
    assert best is not None
    assert free is not None
    assert (best.planted == 1.0).all()
    assert (best.trees >= limits.fewest_trees - 1e-9).all()
    assert free.cost <= best.cost + 1e-9
    for trees in ((30, 30, 30), (9, 40, 40), (20, 9, 40)):
        whole = np.zeros(8)
        whole[keep] = trees
        assert best.cost <= cost(supply, limits, whole) + 1e-6
