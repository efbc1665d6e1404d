"""Every year alike, or the worst fifth more: each the least by its own measure, every planting tried."""

from dataclasses import replace

import numpy as np
import pytest
from choice.test_brute_force import NEEDS, kitchen, plantings

from topwire.choice.findings import Proof, Rival, Rivalry
from topwire.choice.planting import TREE_COST
from topwire.choice.search import find
from topwire.choice.service import WASTE_COST
from topwire.choice.serving import serve
from topwire.show.choice_sheets import proof
from topwire.values.terms import Risk


@pytest.mark.parametrize("seed", [3, 4])
def test_each_risk_is_best_by_its_own_measure(seed: int) -> None:
    supply, limits, useful = kitchen(seed)
    supply = replace(supply, crop=supply.crop * np.array([[1.0], [0.8], [0.1]]))  # one bad year
    every = [np.array(trees) for trees in plantings(supply, limits, useful, (4,))]
    costs = {}
    for risk in Risk:
        held = replace(limits, risk=risk)
        best = min(serve(supply, NEEDS, held, trees)[0] for trees in every)
        found = find(supply, NEEDS, held, useful)
        assert found.bound - 1e-6 <= best
        assert found.objective == pytest.approx(best, abs=1e-5)
        costs[risk] = {
            other: serve(supply, NEEDS, replace(limits, risk=other), found.trees)[0] for other in Risk
        }
    assert costs[Risk.EVEN][Risk.EVEN] <= costs[Risk.CAREFUL][Risk.EVEN] + 1e-6
    assert costs[Risk.CAREFUL][Risk.CAREFUL] <= costs[Risk.EVEN][Risk.CAREFUL] + 1e-6


def test_even_is_the_mean_of_the_years_and_nothing_else() -> None:
    supply, limits, _ = kitchen(5)
    trees = np.array([4, 4, 4, 0, 0, 0, 0, 0])
    even = replace(limits, risk=Risk.EVEN, board=1)  # on a mixed board sameness counts too
    cost, service = serve(supply, NEEDS, even, trees)
    lost = (supply.crop @ trees) - service.served.sum(axis=(1, 2))
    assert cost == pytest.approx(
        service.short.mean() + WASTE_COST * lost.mean() + TREE_COST * float(limits.tree_cost @ trees),
        abs=1e-4,
    )


def test_where_the_mean_year_does_better_the_other_risk_is_offered() -> None:
    found = Proof(
        10,
        2,
        (
            Rival(Rivalry.OURS, 8, 12.0, (11.0, 13.0), 14.0, 30.0),
            Rival(Rivalry.MEAN_YEAR, 8, 10.0, (9.0, 11.0), 20.0, 31.0),
        ),
    )
    assert "risk: even under kitchen" in proof(found, Risk.CAREFUL).notes[0]
    assert not proof(found, Risk.EVEN).notes
