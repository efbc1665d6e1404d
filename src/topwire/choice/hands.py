"""What is picked in a week, and how fast fruit of a size is picked."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from topwire.choice.supply import Supply
from topwire.values.arrays import Floats
from topwire.values.calendar import WEEKS


@dataclass(frozen=True)
class Picking:
    """What may be picked in a week.

    Attributes
    ----------
    most : [kg] in the mean of the weather years; of apples of 180 g where `ease` is not empty
    ease : by cultivar, how much faster a kilogram of it is picked than of those
    """

    most: float
    ease: Mapping[str, float] = field(default_factory=dict)


_USUAL_FRUIT = 0.18  # [kg]
_EASE = (0.2, 1.33)


def picking_ease(fruit_mass: npt.ArrayLike) -> Floats:
    """How much faster or slower a kilogram is picked than of apples of 180 g, which labour.csv's rate is for. [-]

    A hand takes apples, not kilograms: cider fruit of 50 g takes three to four times as long (LAB-CIDER-HAND). Held
    between a fifth and a third more.

    Parameters
    ----------
    fruit_mass : array_like
        [kg]
    """
    return np.clip(np.asarray(fruit_mass, dtype=float) / _USUAL_FRUIT, *_EASE)


def picked_by_week(supply: Supply) -> Floats:
    """(years, cultivars, 52) [kg] picked of a tree in each week: its crop in equal parts over its picking weeks."""
    since = (np.arange(1, WEEKS + 1) - supply.first[:, :, None]) % WEEKS
    part = supply.crop / supply.picking_weeks
    return np.where(since < supply.picking_weeks[:, :, None], part[:, :, None], 0.0)
