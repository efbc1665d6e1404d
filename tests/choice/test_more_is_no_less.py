"""What must hold of any kitchen: more of a thing never serves less, and the order of rows changes nothing."""

from dataclasses import replace

import numpy as np
import pytest
from choice.test_brute_force import NEEDS, kitchen

from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Limits
from topwire.choice.search import Found, find
from topwire.choice.supply import Supply
from topwire.choice.years import Infeasible

SEEDS = range(300, 306)


def least_cost(question: tuple[Supply, Limits, np.ndarray], needs: tuple[WeeklyNeed, ...] = NEEDS) -> float:
    """Of the best planting; infinite where the plan allows none."""
    supply, limits, useful = question
    try:
        return find(supply, needs, limits, useful).objective
    except Infeasible:
        return np.inf


def drawn(seed: int) -> tuple[Supply, Limits, np.ndarray]:
    """A small kitchen with a tight cellar and press."""
    supply, limits, useful = kitchen(seed)
    rng = np.random.default_rng(seed)
    limits = replace(
        limits,
        cellar=float(rng.choice([15.0, 30.0])),
        press_week=float(rng.choice([3.0, 6.0])),
        places=int(rng.integers(12, 18)),
        most_cultivars=5,
    )
    return supply, limits, useful


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(
    "more",
    [
        {"places": 8},
        {"cellar": 20.0},
        {"press_week": 3.0},
        {"most_cultivars": 2},
        {"most_trees": 2},
    ],
    ids=lambda more: next(iter(more)),
)
def test_more_never_serves_less(seed: int, more: dict[str, float]) -> None:
    supply, limits, useful = drawn(seed)
    larger = replace(limits, **{name: getattr(limits, name) + by for name, by in more.items()})  # type: ignore[arg-type]
    assert least_cost((supply, larger, useful)) <= least_cost((supply, limits, useful)) + 1e-4


@pytest.mark.parametrize("seed", SEEDS)
def test_a_longer_season_of_the_press_never_serves_less(seed: int) -> None:
    question = drawn(seed)
    short = tuple(replace(need, weeks=need.weeks[:8]) if need.pressed else need for need in NEEDS)
    assert least_cost(question) <= least_cost(question, short) + 1e-4


@pytest.mark.parametrize("seed", SEEDS)
def test_the_order_of_cultivars_years_and_needs_changes_nothing(seed: int) -> None:
    supply, limits, useful = drawn(seed)
    rng = np.random.default_rng(seed)
    keep, years = rng.permutation(8), rng.permutation(3)
    if not np.isfinite(least_cost((supply, limits, useful))):
        limits = replace(limits, places=20)
    found = find(supply, NEEDS, limits, useful)
    other = find(
        supply.chosen(keep).in_years(years),
        tuple(NEEDS[at] for at in rng.permutation(3)),
        limits.some(keep),
        useful[np.ix_(keep, keep)],
    )
    assert other.objective == pytest.approx(found.objective, abs=1e-4)
    assert planted(supply.chosen(keep), other) == planted(supply, found)


def planted(supply: Supply, found: Found) -> dict[str, int]:
    return {supply.cultivars[at].name: int(found.trees[at]) for at in np.flatnonzero(found.trees)}
