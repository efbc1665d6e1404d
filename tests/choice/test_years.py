"""The years shared out over threads: the same to the last bit, however many there are."""

from dataclasses import replace

import numpy as np
import pytest
from choice.test_brute_force import NEEDS, kitchen

from topwire.choice import solver, years
from topwire.choice.search import Found, find
from topwire.choice.years import Years


def test_as_many_threads_as_there_are_find_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    one, many = (found_on(cores, monkeypatch) for cores in (1, 4))
    assert (one.trees == many.trees).all()
    assert (one.objective, one.bound) == (many.objective, many.bound)
    for name in ("year", "parts", "of_trees"):
        assert np.array_equal(getattr(one.cuts, name), getattr(many.cuts, name))
    assert np.array_equal(one.cuts.by_need.toarray(), many.cuts.by_need.toarray())


def found_on(cores: int, monkeypatch: pytest.MonkeyPatch) -> Found:
    monkeypatch.setattr(years, "cpu_count", lambda: cores)
    supply, limits, useful = kitchen(21)
    limits = replace(limits, places=90, fewest_trees=9, most_trees=40, press_week=30.0, cellar=250.0)
    return find(supply, NEEDS, limits, useful)


def test_given_a_little_else_it_answers_as_if_given_all_of_it_anew() -> None:
    """Trees and shares change for some cultivars, come, go, and come back, with a cellar that is full."""
    supply, limits, _ = kitchen(22)
    limits = replace(limits, places=90, press_week=30.0, cellar=60.0)
    rng, on = np.random.default_rng(5), Years(supply, NEEDS, limits)
    trees, planted = np.full(8, 10.0), np.ones(8)
    for _ in range(25):
        at = rng.choice(8, 2, replace=False)
        trees[at] = rng.choice([0.0, 4.0, 9.5, 30.0], 2)
        planted[at] = np.where(trees[at] > 0, rng.choice([0.3, 1.0], 2), 0.0)
        costs, cuts = on.ask(trees, planted)
        anew, _ = Years(supply, NEEDS, limits).ask(trees, planted)
        assert costs == pytest.approx(anew, rel=1e-9)
        assert cuts.values(trees, planted) == pytest.approx(costs, rel=1e-9)


def test_a_year_that_goes_in_circles_is_solved_another_way(monkeypatch: pytest.MonkeyPatch) -> None:
    supply, limits, _ = kitchen(22)
    limits = replace(limits, places=90, press_week=30.0, cellar=60.0)
    rng = np.random.default_rng(6)
    points = [np.where(rng.random(8) < 0.6, rng.uniform(1, 30, 8), 0.0) for _ in range(6)]
    asked = [Years(supply, NEEDS, limits).ask(trees, (trees > 0).astype(float))[0] for trees in points]
    monkeypatch.setattr(solver, "IN_CIRCLES", 2)
    stuck = Years(supply, NEEDS, limits)
    for trees, costs in zip(points, asked, strict=True):
        assert stuck.ask(trees, (trees > 0).astype(float))[0] == pytest.approx(costs, rel=1e-9)
