from dataclasses import replace

import numpy as np
import pytest

from topwire.nursery.spares import (
    Rates,
    SparePlan,
    _august_tables,
    _share_out,
    _simulate,
    cheapest_spare_plan,
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


def simulate_policy(
    wanted: Integers,
    started: Integers,
    spares: int,
    rates: Rates,
    *,
    chance: float,
    nurseries: int,
    seed: int,
) -> SparePlan:
    return _simulate(wanted, started, spares, rates, _august_tables(wanted, rates, chance), nurseries, seed)


def test_pool_is_cheaper_than_grafting_for_all() -> None:
    pool = cheapest_spare_plan(WANTED, RATES, chance=0.95)
    joint = least_cost_joint_start(
        WANTED, RATES.take * RATES.rest, RATES.graft_cost, chance=0.95, correlation=0.02
    )
    assert pool is not None
    assert pool.chance >= 0.945
    assert pool.cost < joint.cost


def test_policy_without_august_is_the_plain_chance() -> None:
    """With stocks that all die and no spares the policy is the binomial, cultivar by cultivar."""
    rates = replace(RATES, stock_lives=0.0, correlation=0.0)
    started = np.array([18, 28, 50, 13, 24])
    plan = simulate_policy(WANTED, started, 0, rates, chance=0.95, nurseries=40_000, seed=2)
    exact = np.prod(
        [chance_of_enough(int(n), int(s), 0.9 * 0.8366) for n, s in zip(WANTED, started, strict=True)]
    )
    assert plan.buds == 0
    assert plan.late_trees == 0
    assert plan.chance == pytest.approx(float(exact), abs=3 * (exact * (1 - exact) / 40_000) ** 0.5)


def test_more_spares_never_hurt() -> None:
    started = np.array([15, 25, 43, 10, 20])
    chances = [
        simulate_policy(WANTED, started, spares, RATES, chance=0.95, nurseries=4000, seed=2).chance
        for spares in (0, 10, 40)
    ]
    assert chances[0] < chances[1] <= chances[2] + 0.01


def test_short_stocks_are_shared_and_none_is_used_twice() -> None:
    wish = np.array([[10, 0, 5], [1, 1, 1]])
    stocks = np.array([6, 9])
    buds = _share_out(wish, stocks)
    assert (buds <= wish).all()
    assert buds.sum(axis=1).tolist() == [6, 3]


def test_out_of_reach_gives_no_plan() -> None:
    hopeless = replace(RATES, rest=0.05, bud_take=0.05, stock_lives=0.0, take=np.full(5, 0.05))
    assert cheapest_spare_plan(np.array([30, 30, 30, 30, 30]), hopeless, chance=0.999, nurseries=200) is None
