"""Tanks and barrels: which juice runs into which, and in which week each is full."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

FILLED = 0.92  # share of a vessel that juice fills while it foams: common practice, no source
A_LITRE = 1e-3  # [m3] that is worth a vessel


@dataclass(frozen=True)
class Vessel:
    """A tank or barrel; its name counts those of a size."""

    name: str
    volume: float  # [m3]
    barrel: bool = False


@dataclass(frozen=True)
class Filling:
    """Juice of one product in one vessel.

    Attributes
    ----------
    vessel : None for juice that finds none
    by_week : what runs into it in each week, in the order of the press season [m3]
    """

    product: str
    vessel: Vessel | None
    by_week: Array

    @property
    def volume(self) -> float:
        """[m3]"""
        return float(self.by_week.sum())


def fill(juice: Mapping[str, Array], vessels: Sequence[Vessel]) -> tuple[Filling, ...]:
    """Every product's juice into vessels of its own, one after the other.

    A product takes the smallest free vessel that holds what is left of it, else the largest; what is pressed first
    chooses first. Juice that finds no vessel stands without one.

    Parameters
    ----------
    juice : by product, what is pressed in each week of the season [m3]
    """
    free = sorted(vessels, key=lambda one: one.volume)
    found: list[Filling] = []
    for product in sorted(juice, key=lambda name: (int(np.argmax(juice[name] > 0)), name)):
        left = np.array(juice[product], dtype=float)
        while left.sum() > A_LITRE and free:
            holds = [one for one in free if FILLED * one.volume >= left.sum()]
            vessel = holds[0] if holds else free[-1]
            free.remove(vessel)
            taken = _first(left, FILLED * vessel.volume)
            found.append(Filling(product, vessel, taken))
            left = left - taken
        if left.sum() > A_LITRE:
            found.append(Filling(product, None, left))
    return tuple(found)


def _first(by_week: Array, most: float) -> Array:
    """Of weekly amounts, the first so much."""
    run = np.minimum(np.cumsum(by_week), most)
    return np.diff(run, prepend=0.0)
