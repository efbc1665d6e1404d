"""The order's chance against 400,000 batches simulated apart, step by step, with nothing of the program in it."""

import numpy as np

from topwire.nursery.spares import Rates, cheapest_spare_plan
from topwire.nursery.starts import least_cost_joint_start

_BATCHES, _ROUND = 400_000, 50_000
_WANTED = np.array([12, 20, 35, 8, 16, 60])
_TAKE, _BUD, _REST, _LIVES, _RHO = 0.9, 0.88, 0.84, 0.85, 0.02


def _lots(random: np.random.Generator, mean: float) -> np.ndarray:
    """Share that takes in each lot: a beta distribution with that mean and correlation."""
    weight = 1 / _RHO - 1
    return random.beta(mean * weight, (1 - mean) * weight, size=(_ROUND, len(_WANTED)))


def _batches() -> list[np.random.Generator]:
    return [np.random.default_rng([2024, number]) for number in range(_BATCHES // _ROUND)]


def test_grafts_alone() -> None:
    """Grafts only: each becomes a tree or not, with its lot's luck."""
    success = _TAKE * _REST
    order = least_cost_joint_start(_WANTED, np.full(6, success), np.ones(6), chance=0.95, correlation=_RHO)
    met = np.mean(
        [
            (random.binomial(order.started, _lots(random, success)) >= _WANTED).all(axis=1).mean()
            for random in _batches()
        ]
    )
    assert abs(met - order.chance) < 0.002
    assert order.chance >= 0.95


def test_spares_and_august_buds() -> None:
    """Take in June, buds in August on what lives and on the spares, winter and lifting, then count."""
    rates = Rates(np.full(6, _TAKE), _BUD, _REST, _LIVES, _RHO, np.full(6, 5.3), 4.0, 0.9)
    order = cheapest_spare_plan(_WANTED, rates, chance=0.95)
    assert order is not None
    assert order.chance >= 0.95
    from topwire.nursery.spares import _august_tables  # how many buds the grower is told to set

    needed, buds_for = _august_tables(_WANTED, rates, 0.95)
    met = []
    for random in _batches():
        live = random.binomial(order.started, _lots(random, _TAKE))
        stocks = order.spares + random.binomial((np.array(order.started) - live).sum(axis=1), _LIVES)
        wish = buds_for[np.maximum(needed - live, 0)]
        total = wish.sum(axis=1)
        buds = np.floor(wish * np.minimum(1, stocks / np.maximum(total, 1))[:, None]).astype(int)
        left = np.minimum(stocks, total) - buds.sum(axis=1)
        for cultivar in range(len(_WANTED)):  # what is left over goes to the first that still want
            more = np.minimum(left, wish[:, cultivar] - buds[:, cultivar])
            buds[:, cultivar] += more
            left = left - more
        late = random.binomial(random.binomial(buds, _lots(random, _BUD)), _REST)
        met.append((random.binomial(live, _REST) + late >= _WANTED).all(axis=1).mean())
    assert abs(np.mean(met) - order.chance) < 0.002
