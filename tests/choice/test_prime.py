"""Eating quality: how long the table's fruit has lain, and what it changes where it counts."""

from dataclasses import replace

import numpy as np
import pytest
from choice.conftest import need
from choice.test_brute_force import kitchen, plantings

from topwire.choice.planting import Limits
from topwire.choice.prime import table_age
from topwire.choice.search import find
from topwire.choice.service import LATE_COST
from topwire.choice.serving import serve
from topwire.choice.supply import Supply

FRESH = (need("fresh", 40, 6, weekly=6.0, weight=2.0),)


def test_age_and_prime_by_hand(supply: Supply) -> None:
    """The keeper is picked in weeks 42 and 43 and is good at table for 20 weeks: past its prime after 13.3."""
    late = supply.past_its_prime()[0, 1]
    assert supply.age()[0, 1, 41:45] == pytest.approx([0.0, 0.5, 1.5, 2.5])
    assert not late[51]  # week 52: nine and a half
    assert not late[2]  # week 3: 12.5
    assert late[3]  # week 4: 13.5
    fresh = np.zeros((2, 3, 52))
    fresh[:, 1, 2], fresh[:, 1, 3] = 4.0, 6.0
    found = table_age(supply, fresh)
    assert found is not None
    assert found.served[[2, 3]] == pytest.approx([4.0, 6.0])
    assert found.weeks[[2, 3]] == pytest.approx([12.5, 13.5])
    assert found.late[[2, 3]] == pytest.approx([0.0, 1.0])
    assert table_age(supply, np.zeros((2, 3, 52))) is None


def test_late_fruit_falls_short_by_its_part(supply: Supply, limits: Limits) -> None:
    late = (need("fresh", 4, 4, weekly=10.0, weight=2.0),)
    trees = np.array([0, 10, 0])
    plain, _ = serve(supply, late, limits, trees)
    counted, service = serve(supply, late, replace(limits, prime=True), trees)
    assert service.served.sum(axis=(1, 2)).mean() == pytest.approx(10.0)
    assert counted - plain == pytest.approx(LATE_COST * 2.0 * 10.0)


@pytest.mark.parametrize("seed", [2, 6])
def test_it_is_the_best_of_all_plantings_where_it_counts(seed: int) -> None:
    supply, limits, useful = kitchen(seed)
    held = replace(limits, prime=True)
    every = [np.array(trees) for trees in plantings(supply, limits, useful, (4,))]
    best = min(serve(supply, FRESH, held, trees)[0] for trees in every)
    found = find(supply, FRESH, held, useful)
    assert found.objective == pytest.approx(best, abs=1e-5)
    late = {}
    for prime in (False, True):
        own = find(supply, FRESH, replace(limits, prime=prime), useful).trees
        age = table_age(supply, serve(supply, FRESH, replace(limits, prime=prime), own)[1].fresh)
        assert age is not None
        late[prime] = float((age.served * age.late).sum())
    assert late[True] <= late[False] + 1e-6
