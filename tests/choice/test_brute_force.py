"""Eight cultivars, every planting tried: the programme, and the search, find the same least cost."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from choice.conftest import CATALOGUE, candidate_of, need

from topwire.choice.at_once import build, solve_whole
from topwire.choice.master import cost_of
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Limits
from topwire.choice.pollination import donors_wanted
from topwire.choice.search import SMALL, find
from topwire.choice.serving import serve
from topwire.choice.supply import Supply
from topwire.choice.years import GAP, Infeasible, Years

NAMES = (
    "Yellow Transparent", "GoldRush", "Brown's Apple", "Golden Delicious", "Wealthy", "Idared", "Winesap", "Gala",
)  # fmt: skip
NEEDS = (
    need("fresh", 30, 8, weekly=6.0, weight=2.0),
    need("sauce", 28, 45, total=60.0),
    need("juice", 30, 50, total=80.0),
)
PRESERVES = (
    need("fresh", 30, 8, weekly=6.0, weight=2.0),
    need("sauce", 28, 45, total=60.0, used=(*range(40, 53), *range(1, 20)), keeps=20.0,
         more={"weekly_capacity": "8 kg"}),
    need("juice", 30, 50, total=80.0, more={"blend": {"acid_low": 5.0, "acid_high": 8.0}}),
)  # fmt: skip


def kitchen(seed: int) -> tuple[Supply, Limits, np.ndarray]:
    """Invented crops; four trees or none; pairs whose places add up to seven are strangers."""
    rng = np.random.default_rng(seed)
    first = np.array([28, 42, 38, 39, 34, 40, 41, 33])
    supply = Supply(
        cultivars=tuple(candidate_of(CATALOGUE.cultivar[name]) for name in NAMES),
        years=np.array([2001, 2002, 2003]),
        crop=rng.uniform(2, 12, (3, 8)),
        ordinary=np.full(8, 10.0),
        first=np.tile(first, (3, 1)),
        last=np.tile(first + 1, (3, 1)),
        eating=np.array([2.0, 20, 6, 13, 6, 16, 18, 8]),
        cooking=np.array([3.0, 30, 8, 19, 9, 24, 26, 12]),
        mellow=np.zeros(8),
    )
    useful = np.array([[one != other and one + other != 7 for other in range(8)] for one in range(8)])
    limits = Limits(16, 4, 4, 3, 4, 0.0, (), {}, np.ones(8), board=2, press_week=6.0, cellar=50.0)
    return supply, limits, useful


def plantings(
    supply: Supply, limits: Limits, useful: np.ndarray, sizes: tuple[int, ...]
) -> list[tuple[int, ...]]:
    """Every planting the conditions allow, of each cultivar one of the sizes or none; reckoned apart."""
    there = [limits.standing.get(row.name, 0) for row in supply.cultivars]
    old = np.array([row.heritage for row in supply.cultivars])
    wanted = donors_wanted(useful)
    found = []
    for trees in product((0, *sizes), repeat=len(supply.cultivars)):
        numbers = np.array(trees)
        inside = numbers > 0
        if not limits.fewest_cultivars <= inside.sum() <= limits.most_cultivars:
            continue
        if numbers.sum() > limits.places or (numbers < there).any():
            continue
        if numbers[old].sum() < limits.heritage_share * numbers.sum() - 1e-9:
            continue
        if (useful[np.ix_(inside, inside)].sum(axis=0) >= wanted[inside]).all():
            found.append(trees)
    return found


def least(
    supply: Supply,
    needs: tuple[WeeklyNeed, ...],
    limits: Limits,
    useful: np.ndarray,
    sizes: tuple[int, ...] = (4,),
) -> float:
    every = plantings(supply, limits, useful, sizes)
    assert len(every) > 3
    return min(serve(supply, needs, limits, np.array(trees))[0] for trees in every)


@pytest.mark.parametrize("seed", [8, 9])
def test_every_set_of_eight(seed: int) -> None:
    supply, limits, useful = kitchen(seed)
    best = least(supply, NEEDS, limits, useful)
    programme = build(supply, NEEDS, limits, useful)
    exact = solve_whole(programme, supply, limits, gap=0.0)
    assert exact.objective == pytest.approx(best, abs=1e-6)
    assert exact.values is not None
    trees = np.round(exact.values[programme.planting.trees]).astype(int)
    assert serve(supply, NEEDS, limits, trees)[0] == pytest.approx(best, abs=1e-6)


CASES: dict[str, tuple[tuple[WeeklyNeed, ...], dict[str, object]]] = {
    "plain": (NEEDS, {"cellar": None, "press_week": None}),
    "cellar and press": (NEEDS, {"cellar": 25.0, "press_week": 5.0}),
    "heritage": (NEEDS, {"heritage_share": 0.5}),
    "standing": (NEEDS, {"standing": {"Idared": 4}}),
    "shelf and blend": (PRESERVES, {}),
}


@pytest.mark.parametrize("seed", [1, 2])
@pytest.mark.parametrize("case", CASES)
def test_the_search_finds_the_very_least(case: str, seed: int) -> None:
    needs, changes = CASES[case]
    supply, limits, useful = kitchen(seed)
    limits = replace(limits, **changes)  # type: ignore[arg-type]
    best = least(supply, needs, limits, useful)
    found = find(supply, needs, limits, useful)
    assert found.objective == pytest.approx(best, abs=1e-5)
    assert found.bound == pytest.approx(best, abs=1e-3)
    assert tuple(found.trees.tolist()) in plantings(supply, limits, useful, (4,))


def test_numbers_are_free_between_fewest_and_most() -> None:
    supply, limits, useful = kitchen(5)
    few = np.array([1, 2, 3, 4])
    supply, useful = supply.chosen(few), useful[np.ix_(few, few)]
    limits = replace(
        limits, tree_cost=np.ones(4), places=14, fewest_trees=2, most_trees=6, fewest_cultivars=1, cellar=30.0
    )
    best = least(supply, NEEDS, limits, useful, (2, 3, 4, 5, 6))
    assert find(supply, NEEDS, limits, useful).objective == pytest.approx(best, abs=1e-5)


@pytest.mark.parametrize("seed", [11, 12, 13])
def test_more_trees_are_bracketed_by_the_whole_programme(seed: int) -> None:
    """More than SMALL places: whole numbers come last, and the whole programme lies between bound and plan."""
    supply, limits, useful = kitchen(seed)
    limits = replace(
        limits, places=90, fewest_trees=9, most_trees=40, heritage_share=0.3, press_week=30.0, cellar=250.0
    )
    needs = (
        need("fresh", 30, 8, weekly=30.0, weight=2.0),
        need("sauce", 28, 45, total=300.0, used=(*range(40, 53), *range(1, 20)), keeps=20.0),
        need("juice", 30, 50, total=400.0, more={"blend": {"acid_low": 5.0, "acid_high": 8.0}}),
    )
    assert limits.places > SMALL
    programme = build(supply, needs, limits, useful)
    best = solve_whole(programme, supply, limits, gap=1e-6).objective
    found = find(supply, needs, limits, useful)
    assert found.bound <= best + 1e-4
    assert best <= found.objective + 1e-3
    assert found.gap <= 2 * GAP  # whole numbers of some eighty trees cost a part of it
    assert serve(supply, needs, limits, found.trees)[0] == pytest.approx(found.objective)


@pytest.mark.parametrize("seed", range(100, 160))
def test_random_kitchens_are_bracketed(seed: int) -> None:
    """Bound <= best of every planting <= plan, and equal where the gap is none."""
    supply, limits, useful = random_kitchen(seed)
    every = plantings(supply, limits, useful, (4,))
    bracketed(supply, limits, useful, [serve(supply, NEEDS, limits, np.array(trees))[0] for trees in every])


@pytest.mark.parametrize("seed", range(160, 300))
def test_many_more_random_kitchens_are_bracketed(seed: int) -> None:
    """The same, every planting valued year by year: quicker, and above the two ways come to the same."""
    supply, limits, useful = random_kitchen(seed)
    years, all_years = Years(supply, NEEDS, limits), np.arange(supply.years.size)
    every = [np.array(trees, dtype=float) for trees in plantings(supply, limits, useful, (4,))]
    costs = [cost_of(years.short(trees, all_years)[0], limits, trees) for trees in every]
    bracketed(supply, limits, useful, costs)
    if every:
        assert serve(supply, NEEDS, limits, every[-1])[0] == pytest.approx(costs[-1], abs=1e-4)


def random_kitchen(seed: int) -> tuple[Supply, Limits, np.ndarray]:
    supply, limits, useful = kitchen(seed)
    rng = np.random.default_rng(seed)
    limits = replace(
        limits,
        cellar=rng.choice([None, 20.0, 50.0]),
        press_week=rng.choice([None, 4.0, 8.0]),
        board=int(rng.integers(1, 4)),
        heritage_share=float(rng.choice([0.0, 0.4])),
        most_cultivars=int(rng.integers(4, 6)),
        places=int(rng.integers(12, 24)),
    )
    return supply, limits, useful


def bracketed(supply: Supply, limits: Limits, useful: np.ndarray, every: list[float]) -> None:
    """The search beside what every planting costs."""
    if not every:
        with pytest.raises(Infeasible):
            find(supply, NEEDS, limits, useful)
        return
    best = min(every)
    found = find(supply, NEEDS, limits, useful)
    assert found.bound <= best + 1e-4
    assert found.objective >= best - 1e-4
    assert found.objective == pytest.approx(best, rel=1e-5)


@pytest.mark.parametrize("seed", [3, 4])
def test_cuts_lie_below_every_year_whatever_is_planted(seed: int) -> None:
    supply, limits, useful = kitchen(seed)
    rng = np.random.default_rng(seed)
    cuts = find(supply, PRESERVES, limits, useful).cuts
    years = Years(supply, PRESERVES, limits)
    for _ in range(20):
        trees = rng.uniform(0, 6, 8) * (rng.uniform(size=8) < 0.5)
        planted = np.clip(rng.uniform(0, 1.5, 8), 0, 1) * (trees > 0)
        costs, _ = years.ask(trees, planted)
        assert (cuts.values(trees, planted) <= costs[cuts.year] + 1e-5).all()
