"""Bearing every other year: what this year's crop leaves of next year's flowers."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.growth.load import LOAD_ANNUAL, LOAD_BIENNIAL
from topwire.growth.trunk import Floats
from topwire.values.traits import Grade

STEEPNESS = 0.9  # per fruit/cm2 (proposal)


@dataclass(frozen=True)
class BearingHabit:
    """How a cultivar answers to its crop.

    Attributes
    ----------
    load : fruits per cm2 it may carry (READ: 4 biennial, 6 annual)
    turning : load at which half of the flowers of next year are lost (proposal; Honeycrisp 4 to 6 READ)
    late_share : share of a surplus crop that has already cost flowers before hand thinning takes it off (proposal;
        York Imperial had to be thinned within a week of bloom, READ)
    """

    load: float
    turning: float
    late_share: float


HABITS = {
    Grade.LOW: BearingHabit(LOAD_ANNUAL, 8.0, 0.10),
    Grade.MEDIUM: BearingHabit(5.0, 6.5, 0.15),
    Grade.HIGH: BearingHabit(LOAD_BIENNIAL, 5.0, 0.25),
}


def habit_of(biennial: Grade | None) -> BearingHabit:
    """Habit by the catalogue's grade; medium where it is not known."""
    return HABITS[biennial or Grade.MEDIUM]


def flowers_next_year(load: npt.ArrayLike, turning: npt.ArrayLike) -> Floats:
    """Share of a full flower set next year, 1 / (1 + exp(s (load - turning))).

    Parameters
    ----------
    load : array_like
        Fruits per cm2 that the flower buds of next year saw.
    turning : array_like
        Load at which half are lost. [fruits/cm2]
    """
    return np.asarray(
        1 / (1 + np.exp(STEEPNESS * (np.asarray(load, dtype=float) - np.asarray(turning, dtype=float))))
    )


def load_seen(kept: npt.ArrayLike, set_before: npt.ArrayLike, late_share: npt.ArrayLike) -> Floats:
    """Load the buds of next year saw: what stayed, and a part of what was thinned off late. [fruits/cm2]"""
    stayed = np.asarray(kept, dtype=float)
    surplus = np.maximum(np.asarray(set_before, dtype=float) - stayed, 0.0)
    return np.asarray(stayed + np.asarray(late_share, dtype=float) * surplus)


def bearing_index(yields: npt.ArrayLike) -> Floats:
    """How much a tree alternates: mean of |y_t - y_t-1| / (y_t + y_t-1); 0 even, 1 every other year (BBI-1936).

    Parameters
    ----------
    yields : array_like
        Yields of successive years along the last axis, two or more. Two empty years in a row count as even.
    """
    values = np.asarray(yields, dtype=float)
    if values.shape[-1] < 2:
        raise ValueError("two years or more are needed")
    step = np.abs(np.diff(values, axis=-1))
    both = values[..., 1:] + values[..., :-1]
    return np.asarray(np.divide(step, both, out=np.zeros_like(step), where=both > 0).mean(axis=-1))
