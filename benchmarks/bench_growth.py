"""Speed of the orchards simulated, and of the orders worked out.

Ratios are against the bar of each line (seconds allowed over seconds taken). Run with one thread for steady figures.
"""

import time
from collections.abc import Callable

import numpy as np

from topwire.checks.nursery import simulated_joint_chance
from topwire.growth.bearing import HABITS
from topwire.growth.orchard import CropRule, Stand, simulate
from topwire.nursery.spares import Rates, cheapest_spare_plan
from topwire.nursery.starts import least_cost_joint_start
from topwire.values.traits import Grade

ORCHARDS, LEAVES, CULTIVARS, YEARS = 10_000, 15, 40, 35


def stand() -> Stand:
    habit, one = HABITS[Grade.MEDIUM], np.ones(CULTIVARS)
    return Stand(
        vigour=np.linspace(0.5, 1.6, CULTIVARS),
        vigour_spread=0.2 * one,
        stock=np.arange(CULTIVARS) % 3,
        start=0.46 * one,
        wire=3.0,
        load=habit.load * one,
        turning=habit.turning * one,
        late_share=habit.late_share * one,
        small=one,
        mass=165.0 * one,
        first_leaf=2.0 * one,
        full_crop=9.0 * one,
        full_crop_spread=0.2,
        curve=np.array([0.1, 0.3, 0.6, 0.8, 0.9] + [1.0] * 10),
    )


def seconds(work: Callable[[], object], times: int = 3) -> float:
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def main() -> None:
    random = np.random.default_rng(1)
    trees, frost = stand(), random.uniform(0, 1, (YEARS, CULTIVARS))
    season = random.normal(1, 0.05, YEARS)
    wanted, success = random.integers(10, 90, CULTIVARS), np.full(CULTIVARS, 0.753)
    rates = Rates(np.full(CULTIVARS, 0.9), 0.9, 0.837, 0.85, 0.02, np.full(CULTIVARS, 5.3), 4.2, 0.9)
    grown = lambda: simulate(trees, frost, season, CropRule(True), orchards=ORCHARDS, seed=1)  # noqa: E731
    run = grown()
    start = least_cost_joint_start(wanted, success, np.ones(CULTIVARS), chance=0.95, correlation=0.02)
    lines = [
        (f"{ORCHARDS:,} orchards x {LEAVES} leaves x {CULTIVARS} cultivars", 3.0, grown),
        ("low, middle, high of all of them", 3.0, lambda: np.percentile(run.crop, [10, 50, 90], axis=0)),
        (
            f"least-cost joint start of {CULTIVARS} cultivars, exact",
            1.0,
            lambda: least_cost_joint_start(
                wanted, success, np.ones(CULTIVARS), chance=0.95, correlation=0.02
            ),
        ),
        (
            "its joint chance simulated, 20,000 nurseries",
            1.0,
            lambda: simulated_joint_chance(
                wanted, np.array(start.started), success, correlation=0.02, orchards=20_000, seed=1
            ),
        ),
        ("cheapest pool of spares", 3.0, lambda: cheapest_spare_plan(wanted, rates, chance=0.95)),
    ]
    print(f"{'work':62s} {'taken [s]':>10s} {'allowed [s]':>12s} {'ratio':>7s}")
    for name, allowed, work in lines:
        taken = seconds(work)
        print(f"{name:62s} {taken:10.3f} {allowed:12.1f} {allowed / taken:7.1f}")


if __name__ == "__main__":
    main()
