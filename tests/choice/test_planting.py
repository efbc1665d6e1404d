"""Each condition on the planting alone, and the rows that every whole planting keeps."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from choice.conftest import loosened, need
from choice.covers import broken_covers
from choice.test_brute_force import NEEDS, kitchen, plantings
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.choice.at_once import build, put_rows, solve_whole
from topwire.choice.model import Model
from topwire.choice.planting import Limits, add_planting, allowed
from topwire.choice.solver import solve
from topwire.choice.supply import Supply

OTHERS = ~np.eye(3, dtype=bool)  # each pollinates the two others


def trees_for(
    supply: Supply, limits: Limits, useful: np.ndarray, worth: tuple[float, float, float]
) -> list[int] | None:
    """Trees of the planting alone, each of them worth so much; None where there is no planting."""
    model = Model()
    planting = add_planting(model, supply, limits, useful)
    model.cost[0] = -np.array(worth)
    found = solve(model, gap=0.0)
    return None if found.values is None else np.round(found.values[planting.trees]).astype(int).tolist()


OUTER = np.zeros((3, 3), dtype=bool)
OUTER[[0, 2]] = True  # the first and the third pollinate all


def test_no_more_trees_than_places(supply: Supply, limits: Limits) -> None:
    trees = trees_for(supply, loosened(limits, places=50), OUTER, (3, 1, 2))
    assert trees == [48, 0, 2]  # the dearest first; its donor has the fewest trees


def test_none_or_enough_and_no_more_than_the_most(supply: Supply, limits: Limits) -> None:
    few = loosened(limits, fewest_trees=25, most_trees=30)
    assert trees_for(supply, few, OUTER, (3, 1, 2)) == [30, 30, 30]
    assert trees_for(supply, loosened(few, places=70), OUTER, (3, 1, 2)) == [30, 0, 30]


def test_no_more_trees_than_their_wood_allows(supply: Supply, limits: Limits) -> None:
    scarce = loosened(limits, wood={supply.cultivars[0].name: 5}, fewest_trees=10)
    assert trees_for(supply, scarce, OUTER, (3, 1, 2)) == [
        5,
        35,
        60,
    ]  # five of it, though ten are the fewest of others
    assert trees_for(supply, replace(scarce, standing={supply.cultivars[0].name: 4}), OUTER, (3, 1, 2)) == [
        9,
        31,
        60,
    ]


def test_most_and_fewest_cultivars(supply: Supply, limits: Limits) -> None:
    assert trees_for(supply, loosened(limits, most_cultivars=2), OUTER, (2, 3, 1)) == [60, 0, 40]
    assert trees_for(supply, loosened(limits, fewest_cultivars=3), OUTER, (3, -9, 2)) == [60, 2, 38]


def test_the_old_have_their_share(supply: Supply, limits: Limits) -> None:
    half = loosened(limits, heritage_share=0.5)
    assert [row.heritage for row in supply.cultivars] == [True, False, False]
    assert trees_for(supply, half, OUTER, (1, 1, 3)) == [50, 0, 50]


def test_standing_trees_stay_and_must_have_comes(supply: Supply, limits: Limits) -> None:
    name = supply.cultivars[1].name
    assert trees_for(supply, loosened(limits, standing={name: 7}), OUTER, (3, -1, 2)) == [60, 7, 33]
    assert trees_for(supply, loosened(limits, must_have=(name,)), OUTER, (3, -1, 2)) == [60, 2, 38]


def test_every_cultivar_has_its_donors(supply: Supply, limits: Limits) -> None:
    """Inside or beyond the orchard; in a plan of two cultivars the other one is all there can be."""
    worth = (3, -1, 2)
    assert trees_for(supply, limits, OTHERS, worth) == [60, 2, 38], (
        "the second comes as a donor, though it costs"
    )
    assert trees_for(supply, loosened(limits, most_cultivars=2), OTHERS, worth) == [60, 0, 40]
    beyond = OTHERS.astype(np.int64)
    beyond[[0, 2], [0, 2]] = 2
    assert trees_for(supply, limits, beyond, worth) == [60, 0, 40], "two neighbours stand in for it"
    lonely = OTHERS.copy()
    lonely[1, 0] = False
    assert trees_for(supply, limits, lonely, (3, 1, 2)) is None, (
        "one donor is too few, and without it the others fail"
    )


@settings(max_examples=12, deadline=None)
@given(seed=st.integers(0, 10_000), cellar=st.sampled_from([None, 30.0]), press=st.sampled_from([None, 6.0]))
def test_covers_cut_off_no_whole_planting(seed: int, cellar: float | None, press: float | None) -> None:
    """With every cover that any fraction breaks, the least cost in whole numbers is the same."""
    supply, limits, useful = kitchen(seed)
    limits = replace(limits, cellar=cellar, press_week=press)
    plain = build(supply, NEEDS, limits, useful)
    without = solve_whole(plain, supply, limits, gap=0.0)
    covered = build(supply, NEEDS, limits, useful)
    values = np.full(covered.model.width, 1e9)
    values[covered.planting.planted] = 0.0  # breaks every cover there is
    rows = broken_covers(covered, values, set())
    assert rows is not None
    put_rows(covered.model, rows)
    assert solve_whole(covered, supply, limits, gap=0.0).objective == pytest.approx(
        without.objective, abs=1e-5
    )
    assert without.values is not None
    again = broken_covers(plain, without.values, set())  # and the best planting breaks none of them
    assert again is None


def test_a_need_no_tree_serves_plants_nothing_more_than_asked(supply: Supply, limits: Limits) -> None:
    needs = (need("fresh", 20, 20, weekly=50.0),)  # before the first and after the last fruit
    programme = build(supply, needs, loosened(limits, fewest_cultivars=2), OUTER)
    found = solve_whole(programme, supply, limits, gap=0.0)
    assert found.values is not None
    assert found.values[programme.planting.trees].sum() == pytest.approx(4)


@pytest.mark.parametrize("seed", [3, 4])
def test_what_the_plan_allows_is_known_without_the_solver(seed: int) -> None:
    """Held against every planting of four trees or none, reckoned apart."""
    supply, limits, useful = kitchen(seed)
    every = set(plantings(supply, limits, useful, (4,)))
    assert 0 < len(every) < 2**8
    for trees in product((0, 4), repeat=8):
        numbers = np.array(trees, dtype=float)
        assert allowed(supply, limits, useful, numbers, (numbers > 0).astype(float)) == (trees in every)
    best = np.array(next(iter(every)), dtype=float)
    there = (best > 0).astype(float)
    assert allowed(supply, limits, useful, best, there)
    assert not allowed(supply, limits, useful, best, 0.5 * there)  # four trees want all of their decision
    assert not allowed(supply, limits, useful, 1.1 * best, there)
    assert not allowed(supply, replace(limits, at_least=17), useful, best, there)
