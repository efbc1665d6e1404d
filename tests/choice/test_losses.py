"""Loss of a cultivar after planting, and a limit on it: every planting tried."""

from dataclasses import replace

import numpy as np
import pytest
from choice.conftest import loosened, need
from choice.test_brute_force import NEEDS, kitchen, plantings

from topwire.choice.losses import find_within, keeps_its_limit, losses_after, wanted_in_all
from topwire.choice.master import cost_of
from topwire.choice.planting import Limits
from topwire.choice.search import find
from topwire.choice.serving import serve
from topwire.choice.supply import Supply
from topwire.choice.years import Years
from topwire.values.notice import CannotAnswer


def test_a_loss_reckoned_by_hand(supply: Supply, limits: Limits) -> None:
    """150 kg of sauce wanted; 10 trees of the early one bear 100 and 50 kg, 10 of the presser 100 and none, and what
    nobody lacks is waste at 0.02 a kilogram. 3 % is trimmed off and more shrinks; so only the order is exact here."""
    sauce = need("sauce", 28, 45, total=150.0)
    years = Years(supply, (sauce,), limits)
    lost = losses_after(years, np.array([10.0, 0.0, 10.0]))
    served = [
        serve(supply, (sauce,), limits, np.array(trees))[1].served.sum(axis=(1, 2)).mean()
        for trees in ([10, 0, 10], [0, 0, 10], [10, 0, 0])
    ]
    assert lost[0] == pytest.approx((served[0] - served[1]), rel=0.1)
    assert lost[2] == pytest.approx((served[0] - served[2]), rel=0.1)
    assert lost.keys() == {0, 2}
    assert lost[0] > lost[2]


def _costs(years: Years, trees: np.ndarray) -> tuple[float, float]:
    """Mean cost of the years, and the most it is without one cultivar."""
    every = np.arange(3)
    whole = float(years.short(trees, every)[0].mean())
    without = [
        float(years.short(np.where(np.arange(trees.size) == at, 0.0, trees), every)[0].mean())
        for at in np.flatnonzero(trees)
    ]
    return whole, max(without)


@pytest.mark.parametrize(("seed", "share"), [(9, 0.129), (5, 0.1065)])
def test_the_limited_plan_is_the_best_of_all_that_keep_the_limit(seed: int, share: float) -> None:
    supply, limits, useful = kitchen(seed)
    limits = replace(limits, most_cultivars=5, most_trees=4, fewest_trees=4, places=20)
    held = replace(limits, most_lost=share)
    free = find(supply, NEEDS, limits, useful)
    years = Years(supply, NEEDS, limits)
    most = _costs(years, free.trees.astype(float))[0] + share * wanted_in_all(NEEDS)
    assert _costs(years, free.trees.astype(float))[1] > most  # it matters
    allowed = []
    for trees in plantings(supply, limits, useful, (4,)):
        numbers = np.array(trees, dtype=float)
        if _costs(years, numbers)[1] <= most + 1e-6:
            allowed.append(cost_of(years.short(numbers, np.arange(3))[0], limits, numbers))
    assert allowed
    limited = find_within(Years(supply, NEEDS, held), NEEDS, held, useful)
    assert _costs(years, limited.found.trees.astype(float))[1] <= most + 1e-4
    assert keeps_its_limit(years, limited, limited.found.trees.astype(float))
    assert limited.found.bound <= min(allowed) + 1e-5
    assert limited.found.objective == pytest.approx(min(allowed), abs=1e-4)
    assert limited.found.objective > free.objective


def test_a_limit_nobody_can_keep_says_how_near_one_comes(supply: Supply, limits: Limits) -> None:
    sauce = need("sauce", 28, 29, weekly=100.0)  # the early one alone
    held = loosened(limits, most_lost=0.01)
    with pytest.raises(CannotAnswer) as none:
        find_within(Years(supply, (sauce,), held), (sauce,), held, np.ones((3, 3), dtype=bool))
    (notice,) = none.value.notices
    assert notice.code == "choice.loss_limit"
    assert notice.facts["least"] > 0.01


def test_the_refusal_tells_how_steady_a_planting_can_be() -> None:
    supply, limits, useful = kitchen(9)
    limits = replace(limits, most_cultivars=5, most_trees=4, fewest_trees=4, places=20, most_lost=0.05)
    years = Years(supply, NEEDS, limits)
    own = find(supply, NEEDS, limits, useful).trees.astype(float)
    least = min(
        _costs(years, np.array(trees, dtype=float))[1] for trees in plantings(supply, limits, useful, (4,))
    )
    least = (least - _costs(years, own)[0]) / wanted_in_all(NEEDS)
    with pytest.raises(CannotAnswer) as none:
        find_within(Years(supply, NEEDS, limits), NEEDS, limits, useful)
    assert none.value.notices[0].facts["least"] == pytest.approx(least, abs=0.004)


def test_many_trees_keep_the_limit_too() -> None:
    supply, limits, useful = kitchen(11)
    many = tuple(
        replace(one, total=10 * one.total, weekly=None if one.weekly is None else 10 * one.weekly)
        for one in NEEDS
    )
    limits = replace(
        limits, places=200, fewest_trees=5, most_trees=120, most_cultivars=8, press_week=60.0, cellar=500.0
    )
    years = Years(supply, many, limits)
    free = find(supply, many, limits, useful)
    worst = max(losses_after(years, free.trees.astype(float)).values()) / wanted_in_all(many)
    held = replace(limits, most_lost=0.7 * worst)
    limited = find_within(Years(supply, many, held), many, held, useful)
    after = max(losses_after(years, limited.found.trees.astype(float)).values()) / wanted_in_all(many)
    assert after <= 0.72 * worst
    assert limited.found.gap < 0.005
