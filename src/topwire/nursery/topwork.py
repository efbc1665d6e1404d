"""Grafting a standing tree over to another cultivar, and whether it beats planting a new one."""

from dataclasses import dataclass
from math import ceil, pi

import numpy as np

from topwire.nursery.starts import Floats


@dataclass(frozen=True)
class TopworkPlan:
    """What grafting standing trees over takes, and what comes of it."""

    stubs: int
    scions: int
    buds: int
    hours: float
    chance_per_tree: float  # at least half of its stubs take


def scions_for_stub(diameter: float, *, least: int = 2) -> int:
    """Bark grafts on a stub: one for about every 5 cm of its circumference, two at least (common practice).

    Parameters
    ----------
    diameter : float
        Of the stub. [m]
    """
    if diameter <= 0:
        raise ValueError("a stub has a diameter above 0")
    return max(least, round(pi * diameter / 0.05))


def stub_chance(scions: int, take: float) -> float:
    """Chance that at least one of a stub's scions takes. [-]"""
    return 1 - (1 - take) ** scions


def topwork(
    trees: int,
    *,
    stubs_per_tree: int,
    stub_diameter: float,
    take: float,
    buds_per_scion: int = 3,
    minutes_per_scion: float = 6.0,
) -> TopworkPlan:
    """Scions, hours and success of grafting `trees` over.

    A tree counts as turned when at least half of its stubs carry a living scion. A nurse limb is left for a season.

    Parameters
    ----------
    trees, stubs_per_tree : int
    stub_diameter : float
        [m]
    take : float
        Share of bark grafts that take. [-]
    buds_per_scion : int
    minutes_per_scion : float
        [min] with cutting the stub, tying and sealing
    """
    if trees < 0 or stubs_per_tree < 1:
        raise ValueError("topworking needs at least one stub on each tree")
    scions = scions_for_stub(stub_diameter)
    good = stub_chance(scions, take)
    needed = ceil(stubs_per_tree / 2)
    counts = np.arange(needed, stubs_per_tree + 1)
    chance = float(sum(_binomial(stubs_per_tree, int(k), good) for k in counts))
    total = trees * stubs_per_tree * scions
    return TopworkPlan(
        trees * stubs_per_tree,
        total,
        total * buds_per_scion,
        total * minutes_per_scion / 60,
        chance,
    )


def crop_lost(curve: Floats, full: float, *, delay: int, years: int) -> float:
    """Crop given up over `years` by a start delayed by `delay` seasons, against full crop all along. [kg]

    Parameters
    ----------
    curve : ndarray
        Share of a full crop by season after the change (leaf for a new tree), shape (seasons,).
    full : float
        Full crop of a tree. [kg]
    """
    padded = np.concatenate([np.zeros(delay), curve, np.ones(years)])[:years]
    return float(full * (years - padded.sum()))


def _binomial(trials: int, successes: int, chance: float) -> float:
    from math import comb

    return comb(trials, successes) * chance**successes * (1 - chance) ** (trials - successes)
