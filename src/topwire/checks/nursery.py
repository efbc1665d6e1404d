"""Orders of grafts held against published take counts and the distributions' own tables."""

from functools import partial

import numpy as np

from topwire.catalogue.model import Catalogue, Mark
from topwire.catalogue.propagation import PropagationRow
from topwire.catalogue.tables import read_tables
from topwire.checks import Check
from topwire.nursery.learning import Lot, learned, rate_before
from topwire.nursery.rows import nursery_ground
from topwire.nursery.starts import (
    Floats,
    Integers,
    chain_success,
    chance_of_enough,
    least_cost_joint_start,
    lot_shares,
    smallest_start,
)
from topwire.nursery.wood import scion_sticks

_BINOMIAL = "BETABINOM, binomial"
_BETA = "BETABINOM, beta-binomial with correlation 0.02"
# Good trees wanted, success, then starts for 95 % and 99 % (binomial) and for 95 % with correlation 0.02; worked out
# apart from this program with the distributions' own sums.
_ORDERS = (
    (1, 0.95, 1, 2, 1),
    (5, 0.60, 13, 15, 13),
    (10, 0.75, 17, 19, 18),
    (20, 0.80, 29, 32, 31),
    (50, 0.90, 60, 62, 63),
    (100, 0.80, 135, 139, 146),
    (300, 0.50, 641, 659, 789),
)


def _figure(item: str) -> float:
    return {row.item: row.middle for row in Catalogue(read_tables()).rows("propagation", PropagationRow)}[
        item
    ]


def simulated_joint_chance(
    wanted: Integers, started: Integers, success: Floats, *, correlation: float, orchards: int, seed: int
) -> float:
    """Share of simulated nurseries in which every cultivar reaches its number: a check on the exact figure.

    Parameters
    ----------
    wanted, started, success : ndarray
        Per cultivar, shape (cultivars,).
    correlation : float
        Between two grafts of one scion lot. [-]
    orchards : int
        Nurseries simulated.
    seed : int
        Of the random numbers.
    """
    random = np.random.default_rng(seed)
    shape = (orchards, len(wanted))
    share = lot_shares(random, success, correlation, shape)
    good = random.binomial(np.broadcast_to(started, shape), share)
    return float((good >= wanted).all(axis=1).mean())


def _joint() -> tuple[float, float]:
    wanted = np.array([12, 20, 35, 50, 80] * 6)
    success = np.full(30, 0.753)
    start = least_cost_joint_start(wanted, success, np.ones(30), chance=0.95, correlation=0.02)
    met = simulated_joint_chance(
        wanted, np.array(start.started), success, correlation=0.02, orchards=20_000, seed=3
    )
    return start.chance, met


def checks() -> list[Check]:
    """All checks of the Nursery."""
    found = []
    for wanted, success, at_95, at_99, in_lots in _ORDERS:
        for chance, correlation, published, source in (
            (0.95, 0.0, at_95, _BINOMIAL),
            (0.99, 0.0, at_99, _BINOMIAL),
            (0.95, 0.02, in_lots, _BETA),
        ):
            found.append(
                Check(
                    "Nursery",
                    f"Grafts for {wanted} good trees, success {success:.0%}, chance {chance:.0%}, "
                    f"lots {correlation:g}",
                    source,
                    published,
                    partial(_start, wanted, success, chance, correlation),
                    0,
                    Mark.MEMORY,
                )
            )
    found += [
        Check("Nursery", "Chance of 50 good trees from 60 grafts at 90 %", _BINOMIAL, 0.9658,
              lambda: chance_of_enough(50, 60, 0.9), 5e-5, Mark.MEMORY),
        Check("Nursery", "Chance of 50 good trees from 59 grafts at 90 %", _BINOMIAL, 0.9334,
              lambda: chance_of_enough(50, 59, 0.9), 5e-5, Mark.MEMORY),
        Check("Nursery", "Whole chain 0.90 x 0.97 x 0.88 x 0.98", "common practice, no source", 0.7529,
              lambda: chain_success(0.90, 0.97, 0.88, 0.98), 5e-5, Mark.MEMORY),
        Check("Nursery", "Grafts for 100 trees at that chain", _BINOMIAL, 144,
              lambda: smallest_start(100, chain_success(0.90, 0.97, 0.88, 0.98), 0.95), 0, Mark.MEMORY),
        Check("Nursery", "Grafts for 20 trees at 75 %, when all of 30 such cultivars shall succeed at 95 %", _BINOMIAL,
              37, _thirty_alike, 1, Mark.MEMORY),
        Check("Nursery", "Least-cost joint start: its simulated chance less its exact one",
              "BETABINOM, 20,000 nurseries simulated, three standard errors", 0.0,
              lambda: _joint()[1] - _joint()[0], 3 * (0.95 * 0.05 / 20_000) ** 0.5, Mark.MEMORY),
        Check("Nursery", "Take of first-time grafters [share]", "NMFRUIT2011, 18 of 25 alive at 90 days", 18 / 25,
              lambda: _figure("take bench graft beginner"), 0.05, Mark.READ),
        Check("Nursery", "Take of a practised grafter [share]", "GRAFT-COUNT-MM111, lots outside three poor ones", 0.90,
              lambda: _figure("take bench graft practised"), 0.02, Mark.READ),
        Check("Nursery", "Take after counting 89 of 121, from a practised grafter’s [share]",
              "GRAFT-COUNT-MM111, 89 of 121", 89 / 121,
              lambda: learned(rate_before(0.90, 1e-6), (Lot(121, 89),)).mean, 1e-6, Mark.READ),
        Check("Nursery", "Nursery ground of 300 trees at 0.30 x 1.0 m [m2]", "common practice, no source", 90.0,
              lambda: nursery_ground(300, tree_spacing=0.30, row_spacing=1.0).area, 1e-9, Mark.MEMORY),
        Check("Nursery", "Grafts from one 30 cm stick used bud by bud (11), without margin", "GRAFT-ONE-BUD", 1.0,
              lambda: scion_sticks(11, buds_per_graft=1, usable_buds_per_stick=11, margin=1.0), 0, Mark.READ),
    ]  # fmt: skip
    return found


def _start(wanted: int, success: float, chance: float, correlation: float) -> float:
    return smallest_start(wanted, success, chance, correlation)


def _thirty_alike() -> float:
    """Mean start of thirty like cultivars; equal shares of the chance give 37 each, the least total is no larger."""
    start = least_cost_joint_start(np.full(30, 20), np.full(30, 0.75), np.ones(30), chance=0.95)
    return max(start.started)
