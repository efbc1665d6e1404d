"""Graft orders against the distributions of an independent library, and the joint chance against simulation."""

from math import prod

import numpy as np
import pytest
from scipy import stats

from topwire.checks.nursery import simulated_joint_chance
from topwire.nursery.starts import (
    chance_curve,
    least_cost_joint_start,
    smallest_start,
)

WANTED = (1, 2, 5, 10, 20, 40, 75, 150, 300)
SUCCESS = (0.95, 0.85, 0.75, 0.6, 0.5)


@pytest.mark.parametrize("success", SUCCESS)
@pytest.mark.parametrize("wanted", WANTED)
def test_chances_are_those_of_the_library(wanted: int, success: float) -> None:
    started = np.arange(0, 3 * wanted + 10)
    plain = chance_curve(wanted, success, int(started[-1]))
    assert plain == pytest.approx(stats.binom.sf(wanted - 1, started, success), abs=1e-10)
    lots = chance_curve(wanted, success, int(started[-1]), 0.02)
    weight = 1 / 0.02 - 1
    expected = stats.betabinom.sf(wanted - 1, started, success * weight, (1 - success) * weight)
    assert lots == pytest.approx(expected, abs=1e-8)


@pytest.mark.parametrize("chance", [0.95, 0.99])
@pytest.mark.parametrize("wanted", WANTED)
def test_orders_are_the_librarys_quantiles(wanted: int, chance: float) -> None:
    """The n-th success comes at trial N: N = n + the negative binomial's quantile."""
    for success in SUCCESS:
        assert smallest_start(wanted, success, chance) == wanted + int(
            stats.nbinom.ppf(chance, wanted, success)
        )


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_joint_chance_within_sampling_error(seed: int) -> None:
    random = np.random.default_rng(seed)
    cultivars = int(random.integers(5, 40))
    wanted = random.integers(5, 90, cultivars)
    success = random.uniform(0.5, 0.9, cultivars)
    start = least_cost_joint_start(wanted, success, np.ones(cultivars), chance=0.95, correlation=0.02)
    assert start.chance >= 0.95
    assert start.chance == pytest.approx(prod(start.chance_each))
    met = simulated_joint_chance(
        wanted, np.array(start.started), success, correlation=0.02, orchards=20_000, seed=seed
    )
    assert abs(met - start.chance) < 3.5 * (start.chance * (1 - start.chance) / 20_000) ** 0.5
