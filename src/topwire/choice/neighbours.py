"""Trees beyond the orchard whose pollen reaches it: how many of them each cultivar can count on.

A neighbour's tree flowers as its cultivar does. Of a crab or an apple whose name nobody knows, the mean over all crabs
or all apples of the catalogue stands for its flowers and its alleles.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.choice.pollination import (
    DEPENDABLE,
    REACH,
    Genotype,
    bloom_overlap,
    compatible_fraction,
    useful_chance,
)
from topwire.values.arrays import Floats, Integers
from topwire.values.quantities import Metres, Share

ROW = 4.5  # [m] taken for a row of the orchard in which siring by rows was measured (KRON2001B); proposal
ROWS_ACROSS = 3.6  # [rows] mean siring distance across, 3.6 +- 0.7 (KRON2001B)


@dataclass(frozen=True)
class Neighbour:
    """A tree beyond the orchard.

    Attributes
    ----------
    tree : its cultivar, “crab” or “apple”
    distance : from the nearest tree of the orchard
    sure : that it stands there, and will go on standing
    reaches : it stands near enough to be counted on
    """

    tree: str
    distance: Metres
    sure: Share
    reaches: bool


@dataclass(frozen=True)
class Outside:
    """What reaches an orchard from beyond: `match` (years, neighbours, parents) overlap times compatible share times
    how sure; `mass` (neighbours,) pollen beside that of the next tree; `donors` (parents,) to be counted on."""

    match: Floats
    mass: Floats
    donors: Integers


def neighbour(tree: str, distance: float, sure: float) -> Neighbour:
    """`distance` [m]; `sure` 0 to 1."""
    return Neighbour(tree, distance, sure, distance <= REACH)


def mass_at(distance: npt.ArrayLike) -> Floats:
    """Pollen of a tree at a distance [m] across open ground, as a share of that of a tree alongside (KRON2001B)."""
    return np.exp(-np.asarray(distance, dtype=float) / ROW / ROWS_ACROSS)


def counted_on(chance: Floats) -> Integers:
    """Neighbours of which so many at least are useful in a dependable share of springs, (parents,).

    Parameters
    ----------
    chance : (neighbours, parents) that one is useful in a spring; neighbours are independent of each other
    """
    exactly = np.zeros((chance.shape[0] + 1, chance.shape[1]))
    exactly[0] = 1.0
    for each in chance:
        exactly[1:] = exactly[1:] * (1 - each) + exactly[:-1] * each
        exactly[0] *= 1 - each
    at_least = np.cumsum(exactly[::-1], axis=0)[::-1]  # (0 .. neighbours, parents)
    return np.asarray((at_least[1:] >= DEPENDABLE - 1e-9).sum(axis=0), dtype=np.int64)


def outside_pollen(
    neighbours: Sequence[Neighbour],
    stands_for: Sequence[Sequence[int]],
    cultivars: Sequence[Genotype],
    parents: Sequence[int],
    first_bloom: Floats,
    petal_fall: Floats,
    error: Floats,
    single: float,
) -> Outside:
    """Pollen of the neighbours that stand within reach.

    Parameters
    ----------
    stands_for : of each neighbour, the cultivars it may be
    cultivars, first_bloom, petal_fall, error : of all; (years, cultivars) [day of year], (cultivars,) [d]
    parents : cultivars of the orchard
    single : [d] what a cultivar departs by in one year
    """
    own = list(parents)
    reaching = [at for at, one in enumerate(neighbours) if one.reaches]
    match = np.zeros((first_bloom.shape[0], len(reaching), len(own)))
    chance = np.zeros((len(reaching), len(own)))
    for row, at in enumerate(reaching):
        among = [*stands_for[at], *own]
        donors = len(stands_for[at])
        first, last = first_bloom[:, among], petal_fall[:, among]
        share = np.zeros((len(among), len(among)))
        share[:donors, donors:] = [
            [compatible_fraction(cultivars[one], cultivars[parent]) for parent in own]
            for one in stands_for[at]
        ]
        useful = useful_chance(first, last, error[among], single, share)[:donors, donors:]
        chance[row] = neighbours[at].sure * useful.mean(axis=0)
        together = bloom_overlap(first, last)[:, :donors, donors:] * share[None, :donors, donors:]
        match[:, row] = neighbours[at].sure * together.mean(axis=1)
    mass = mass_at([neighbours[at].distance for at in reaching])
    return Outside(match, mass, counted_on(chance))
