"""Eight cultivars, every set of them tried: the programme finds the same least cost."""

from itertools import product

import numpy as np
import pytest
from choice.conftest import CATALOGUE, need

from topwire.choice.planting import Limits
from topwire.choice.pollination import donors_wanted
from topwire.choice.programme import build, solve_whole
from topwire.choice.search import find
from topwire.choice.serving import serve
from topwire.choice.supply import Supply

NAMES = (
    "Yellow Transparent", "GoldRush", "Brown's Apple", "Golden Delicious", "Wealthy", "Idared", "Winesap", "Gala",
)  # fmt: skip
NEEDS = (
    need("fresh", 30, 8, weekly=6.0, weight=2.0),
    need("sauce", 28, 45, total=60.0),
    need("juice", 30, 50, total=80.0),
)


def kitchen(seed: int) -> tuple[Supply, Limits, np.ndarray]:
    """Invented crops; four trees or none; pairs whose places add up to seven are strangers."""
    rng = np.random.default_rng(seed)
    first = np.array([28, 42, 38, 39, 34, 40, 41, 33])
    supply = Supply(
        cultivars=tuple(CATALOGUE.cultivar[name] for name in NAMES),
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


@pytest.mark.parametrize("seed", [8, 9])
def test_every_set_of_eight(seed: int) -> None:
    supply, limits, useful = kitchen(seed)
    costs = {}
    for chosen in product((0, 1), repeat=8):
        inside = np.array(chosen, dtype=bool)
        if (
            3 <= inside.sum() <= 4
            and (useful[np.ix_(inside, inside)].sum(axis=0) >= donors_wanted(useful)[inside]).all()
        ):
            costs[chosen] = serve(supply, NEEDS, limits, 4 * np.array(chosen))[0]
    best = min(costs.values())
    programme = build(supply, NEEDS, limits, useful)
    exact = solve_whole(programme, supply, limits, gap=0.0)
    assert exact.objective == pytest.approx(best, abs=1e-6)
    assert exact.values is not None
    trees = np.round(exact.values[programme.planting.trees]).astype(int)
    assert serve(supply, NEEDS, limits, trees)[0] == pytest.approx(best, abs=1e-6)
    found = find(supply, NEEDS, limits, useful)
    assert found.bound <= best + 1e-6
    assert found.objective <= best * 1.005 + 1e-6
