"""The years shared out over threads: the same to the last bit, however many there are."""

from dataclasses import replace

import numpy as np
import pytest
from choice.test_brute_force import NEEDS, kitchen

from topwire.choice import years
from topwire.choice.search import Found, find


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
