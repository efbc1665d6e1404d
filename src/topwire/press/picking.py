"""How fast fruit of a size is picked."""

import numpy as np
import numpy.typing as npt

from topwire.values.arrays import Floats

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
