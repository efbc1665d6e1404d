"""Juice and cider: sugar, strength, sulphite."""

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

STRENGTH = (
    128.0  # [% alcohol by volume per unit of gravity] between 125 and 131, the two ends of a published table
)
STRENGTH_SPREAD = 3.0
SULPHITE_PK = 1.81  # first dissociation of sulphurous acid
MOLECULAR = 0.8  # [mg/L] of molecular SO2 that keeps a dry cider (CIDER-SO2)


def brix_of_gravity(gravity: npt.ArrayLike) -> Array:
    """Sugar of a juice from its specific gravity. [degrees Brix] Cubic fit, 1.000 to 1.180 (ASBC, remembered)."""
    sg = np.asarray(gravity, dtype=float)
    brix: Array = 182.4601 * sg**3 - 775.6821 * sg**2 + 1262.7794 * sg - 669.5622
    return brix


def gravity_of_brix(brix: float) -> float:
    """Specific gravity of a juice from its sugar; inverse of :func:`brix_of_gravity`."""
    low, high = 1.0, 1.18
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if float(brix_of_gravity(middle)) < brix else (low, middle)
    return (low + high) / 2


def strength(gravity: npt.ArrayLike, per_gravity: float = STRENGTH) -> Array:
    """Alcohol of a cider fermented dry. [% by volume]"""
    alcohol: Array = per_gravity * (np.asarray(gravity, dtype=float) - 1)
    return alcohol


def free_sulphite(acidity: npt.ArrayLike, molecular: float = MOLECULAR) -> Array:
    """Free SO2 wanted at a pH. [mg/L]"""
    free: Array = molecular * (1 + 10 ** (np.asarray(acidity, dtype=float) - SULPHITE_PK))
    return free
