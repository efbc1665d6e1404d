"""A first stage that is asked of sets alone, beside the one that decides what is planted."""

from dataclasses import replace

import numpy as np
import pytest
from choice.test_brute_force import kitchen
from choice.test_nearest import NEEDS

from topwire.choice.master import Master
from topwire.choice.search import find


@pytest.mark.parametrize("seed", range(50, 56))
def test_of_a_set_both_tell_the_same(seed: int) -> None:
    supply, limits, useful = kitchen(seed)
    limits = replace(limits, places=90, fewest_trees=9, most_trees=40, press_week=30.0, cellar=None)
    found = find(supply, NEEDS, limits, useful)
    cuts, years = found.cuts, np.arange(supply.years.size)
    half = np.arange(cuts.year.size // 2)
    plain, of_sets = (Master(supply, limits, useful, years, of_sets=sets) for sets in (False, True))
    for master in (plain, of_sets):
        master.add(cuts.some(half))
    every = np.arange(found.trees.size)
    planted = np.flatnonzero(found.trees)
    others = np.flatnonzero(found.trees == 0)
    told = []
    for inside in (planted, planted[1:], np.union1d(planted[:-1], others[:1])):
        answers = []
        for master in (plain, of_sets):
            master.restrict(inside, np.setdiff1d(every, inside))
            master.know(cuts, [])
            answers.append(master.solve())
        one, other = answers
        assert (one is None) == (other is None)
        if one is not None and other is not None:
            assert other.cost == pytest.approx(one.cost, rel=1e-7)
            told.append(one.cost)
    assert told
