from dataclasses import replace

import numpy as np
import pytest

from topwire.nursery.spares import (
    Rates,
    SparePlan,
    _august_tables,
    _Nurseries,
    _share_out,
    cheapest_spare_plan,
    outcome,
    without_pool,
)
from topwire.nursery.starts import Integers, chance_of_enough, least_cost_joint_start

WANTED = np.array([12, 20, 35, 8, 16])
RATES = Rates(
    take=np.full(5, 0.9),
    bud_take=0.9,
    rest=0.8366,
    stock_lives=0.85,
    correlation=0.02,
    graft_cost=np.full(5, 5.3),
    spare_cost=4.0,
    bud_cost=0.9,
)


def drawn(
    started: Integers, spares: int, rates: Rates, *, chance: float, nurseries: int, seed: int
) -> SparePlan:
    """What an order comes to over so many nurseries."""
    tables = _august_tables(WANTED, rates, chance)
    return _Nurseries(WANTED, started, rates, tables, seed, (nurseries, WANTED.size)).with_spares(spares)


def test_pool_is_cheaper_than_grafting_for_all() -> None:
    pool = cheapest_spare_plan(WANTED, RATES, chance=0.95)
    joint = least_cost_joint_start(
        WANTED, RATES.take * RATES.rest, RATES.graft_cost, chance=0.95, correlation=0.02
    )
    assert pool is not None
    assert pool.chance >= 0.945
    assert pool.cost < joint.cost


def test_without_a_pool_it_is_the_plain_chance() -> None:
    """With stocks that all die, no spares and no lots the policy is the binomial, cultivar by cultivar."""
    rates = replace(RATES, stock_lives=0.0, correlation=0.0)
    started = np.array([18, 28, 50, 13, 24])
    plan = without_pool(WANTED, started, rates)
    exact = np.prod(
        [chance_of_enough(int(n), int(s), 0.9 * 0.8366) for n, s in zip(WANTED, started, strict=True)]
    )
    assert plan.buds == 0
    assert plan.late_trees == 0
    assert plan.chance == pytest.approx(float(exact), abs=1e-12)
    met = drawn(started, 0, rates, chance=0.95, nurseries=40_000, seed=2).chance
    assert met == pytest.approx(float(exact), abs=3 * (exact * (1 - exact) / 40_000) ** 0.5)


@pytest.mark.parametrize("hit", [1.0, 0.9, "lots"])
def test_what_is_worked_out_is_what_nurseries_simulated_come_to(hit: float | str) -> None:
    """Chance, trees missing, late trees and buds beside 60,000 nurseries drawn to the last tree, in plain loops over
    the steps; three standard errors of these."""
    started, spares, draws = np.array([15, 25, 43, 10, 20]), 12, 60_000
    random = np.random.default_rng(17)
    struck = (
        np.full((draws, 5), hit)
        if isinstance(hit, float)
        else np.where(random.random((draws, 5)) < 0.1, 0.5, 1.0)
    )
    found = outcome(WANTED, started, spares, RATES, 0.95, 4, struck[:20_000])
    needed, buds_for = _august_tables(WANTED, RATES, 0.95)
    weight = 1 / RATES.correlation - 1
    take = RATES.take * struck
    live = random.binomial(started, random.beta(take * weight, (1 - take) * weight))
    stocks = spares + random.binomial((started - live).sum(axis=1), RATES.stock_lives)
    buds = _share_out(buds_for[np.maximum(needed - live, 0)], stocks)
    lots = random.beta(RATES.bud_take * weight, (1 - RATES.bud_take) * weight, size=buds.shape)
    early, late = random.binomial(live, RATES.rest), random.binomial(random.binomial(buds, lots), RATES.rest)
    missing = np.maximum(WANTED - early - late, 0).sum(axis=1)
    used = np.minimum(np.maximum(WANTED - early, 0), late).sum(axis=1)

    def error(values: np.ndarray) -> float:
        return 3 * float(values.std()) * (1 / len(values) + 1 / 20_000) ** 0.5

    assert found.chance == pytest.approx((missing == 0).mean(), abs=error(missing == 0))
    assert found.missing == pytest.approx(missing[missing > 0].mean(), abs=error(missing[missing > 0]))
    assert found.late_trees == pytest.approx(used.mean(), abs=error(used))
    assert found.buds == pytest.approx(buds.sum(axis=1).mean(), abs=error(buds.sum(axis=1)))
    assert found.each == pytest.approx((early + late >= WANTED).mean(axis=0), abs=0.006)


def test_more_spares_never_hurt() -> None:
    started = np.array([15, 25, 43, 10, 20])
    chances = [
        drawn(started, spares, RATES, chance=0.95, nurseries=4000, seed=2).chance
        for spares in range(0, 60, 5)
    ]
    assert chances == sorted(chances)
    assert chances[0] < chances[1] < chances[-1]


def test_short_stocks_are_shared_and_none_is_used_twice() -> None:
    wish = np.array([[10, 0, 5], [1, 1, 1]])
    stocks = np.array([6, 9])
    buds = _share_out(wish, stocks)
    assert (buds <= wish).all()
    assert buds.sum(axis=1).tolist() == [6, 3]


def test_out_of_reach_gives_no_plan() -> None:
    hopeless = replace(RATES, rest=0.05, bud_take=0.05, stock_lives=0.0, take=np.full(5, 0.05))
    assert cheapest_spare_plan(np.array([30, 30, 30, 30, 30]), hopeless, chance=0.999, nurseries=200) is None
