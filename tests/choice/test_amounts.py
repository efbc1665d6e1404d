"""What was learnt for some amounts holds for others: a cut in new proportions lies below every year of theirs."""

from dataclasses import replace

import numpy as np
import pytest
from choice.conftest import need
from choice.test_brute_force import NEEDS, PRESERVES, kitchen

from topwire.choice.amounts import amounts_of, years_key
from topwire.choice.at_once import build, solve_whole
from topwire.choice.learnt import lasting
from topwire.choice.master import Cuts
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Limits
from topwire.choice.search import find, find_among
from topwire.choice.years import GAP, Years

# A shelf life shorter than the weeks of use, and pressing with pans: every kind of row and bound a year has.
SHORT_LIVED = need("sauce", 28, 45, total=60.0, used=(*range(40, 53), *range(1, 20)), keeps=6.0,
                   more={"weekly_capacity": "8 kg"})  # fmt: skip
KITCHENS = {"plain": NEEDS, "shelf and blend": PRESERVES, "short-lived": (*PRESERVES, SHORT_LIVED)}


def other(
    rng: np.random.Generator, needs: tuple[WeeklyNeed, ...], limits: Limits
) -> tuple[tuple[WeeklyNeed, ...], Limits]:
    """The same kitchen with other amounts, and other room in cellar and press."""
    factors = rng.uniform(0.4, 2.5, len(needs))
    changed = tuple(
        replace(need, weekly=None if need.weekly is None else factor * need.weekly, total=factor * need.total)
        for need, factor in zip(needs, factors, strict=True)
    )
    assert limits.cellar is not None
    assert limits.press_week is not None
    return changed, replace(
        limits,
        cellar=rng.uniform(0.3, 2.0) * limits.cellar,
        press_week=rng.uniform(0.5, 2.0) * limits.press_week,
    )


@pytest.mark.parametrize("named", KITCHENS)
@pytest.mark.parametrize("seed", [3, 4, 5])
def test_a_cut_for_other_amounts_lies_below_every_year_of_theirs(named: str, seed: int) -> None:
    rng = np.random.default_rng(seed)
    supply, limits, useful = kitchen(seed)
    needs = KITCHENS[named]
    cuts = find(supply, needs, limits, useful).cuts
    for _ in range(4):
        to_needs, to_limits = other(rng, needs, limits)
        assert years_key(supply, needs, limits) == years_key(supply, to_needs, to_limits)
        told = cuts.for_amounts(amounts_of(needs, limits), amounts_of(to_needs, to_limits))
        years = Years(supply, to_needs, to_limits)
        for _ in range(10):
            trees = rng.uniform(0, 9, 8) * (rng.uniform(size=8) < 0.6)
            planted = np.clip(rng.uniform(0, 1.5, 8), 0, 1) * (trees > 0)
            costs, _ = years.ask(trees, planted)
            assert (told.values(trees, planted) <= costs[told.year] + 1e-5).all()


def test_for_the_same_amounts_a_cut_is_the_same_and_touches_its_year() -> None:
    supply, limits, _ = kitchen(6)
    years = Years(supply, PRESERVES, limits)
    trees = np.array([4.0, 4, 0, 4, 0, 0, 4, 0])
    costs, cuts = years.ask(trees, (trees > 0).astype(float))
    amounts = amounts_of(PRESERVES, limits)
    for one in (cuts, cuts.for_amounts(amounts, amounts)):
        assert one.values(trees, (trees > 0).astype(float)) == pytest.approx(costs, abs=1e-9)


def test_more_of_everything_in_proportion_says_more_in_proportion() -> None:
    # A kitchen twice as large, with twice the room and trees twice as good, costs twice as much; there is no pan here.
    supply, limits, useful = kitchen(7)
    cuts = find(supply, NEEDS, limits, useful).cuts
    assert limits.cellar is not None
    assert limits.press_week is not None
    double = tuple(
        replace(need, weekly=None if need.weekly is None else 2 * need.weekly, total=2 * need.total)
        for need in NEEDS
    )
    roomier = replace(limits, cellar=2 * limits.cellar, press_week=2 * limits.press_week)
    told = cuts.for_amounts(amounts_of(NEEDS, limits), amounts_of(double, roomier))
    assert told.at_nothing == pytest.approx(2 * cuts.at_nothing, abs=1e-7)
    assert told.of_planted == pytest.approx(2 * cuts.of_planted, abs=1e-9)
    assert told.of_trees == pytest.approx(cuts.of_trees)


def test_other_weeks_weights_or_pans_are_other_years() -> None:
    supply, limits, _ = kitchen(8)
    key = years_key(supply, PRESERVES, limits)
    for changed in (
        replace(PRESERVES[0], weight=3.0),
        replace(PRESERVES[0], weeks=PRESERVES[0].weeks[1:]),
        replace(PRESERVES[0], weekly=0.0, total=0.0),
    ):
        assert years_key(supply, (changed, *PRESERVES[1:]), limits) != key
    pan = replace(PRESERVES[1], weekly_capacity=9.0)
    assert years_key(supply, (PRESERVES[0], pan, PRESERVES[2]), limits) != key
    for room in ({"cellar": None}, {"press_week": None}, {"board": 1}):
        assert years_key(supply, PRESERVES, replace(limits, **room)) != key


@pytest.mark.parametrize("seed", [11, 12, 13, 14])
def test_a_search_begun_with_what_another_kitchen_taught_is_as_good_and_its_bound_true(seed: int) -> None:
    rng = np.random.default_rng(seed)
    supply, limits, useful = kitchen(seed)
    limits = replace(limits, places=90, fewest_trees=9, most_trees=40, press_week=30.0, cellar=250.0)
    first = find(supply, NEEDS, limits, useful)
    to_needs, to_limits = other(rng, NEEDS, limits)
    years = Years(supply, to_needs, to_limits)
    kept = first.cuts.some(lasting(first.cuts, first.trees, first.relaxed))
    assert kept.year.size < first.cuts.year.size
    years.cuts = kept.for_amounts(amounts_of(NEEDS, limits), amounts_of(to_needs, to_limits))
    points = [(part, (part > 0).astype(float)) for part in (first.trees.astype(float), first.relaxed)]
    found = find_among(years, to_limits, useful, like=points)
    best = solve_whole(build(supply, to_needs, to_limits, useful), supply, to_limits, gap=1e-6).objective
    assert found.bound <= best + 1e-6
    assert best <= found.objective + 1e-6
    assert found.objective <= find(supply, to_needs, to_limits, useful).objective * (1 + GAP)


def test_what_cuts_say_of_planting_goes_with_them() -> None:
    supply, limits, useful = kitchen(7)
    cuts = find(supply, NEEDS, limits, useful).cuts
    amounts = amounts_of(NEEDS, limits)
    every = np.unique(cuts.year)
    for one in (
        cuts.some(np.arange(0, cuts.year.size, 3)),
        cuts.of(np.array([1, 4, 6])),
        cuts.of_years(every[:2]),
        cuts.for_amounts(amounts, amounts),
        Cuts.of_all([cuts.some(np.arange(2)), cuts]),
    ):
        count = one.of_trees.shape[1]
        by_need = one.by_need.toarray().reshape(one.year.size, len(NEEDS), count)
        assert one.of_planted == pytest.approx(by_need.sum(axis=1))
    assert cuts.of_years(every) is cuts
    assert set(cuts.of_years(every[:2]).year) == set(every[:2])
