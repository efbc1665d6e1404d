"""A line post's section, and the strength that nearly all posts of a kind reach."""

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

# Share of the mean strength of poles that 19 of 20 reach: normal, scatter 20 % (FPL-GTR158).
FIFTH_PERCENTILE = 1.645


def round_modulus(diameter: npt.ArrayLike) -> Floats:
    """Section modulus of a round post [m3]."""
    return np.asarray(np.pi * np.asarray(diameter, dtype=float) ** 3 / 32)


def round_inertia(diameter: npt.ArrayLike) -> Floats:
    """Second moment of area of a round post [m4]."""
    return np.asarray(np.pi * np.asarray(diameter, dtype=float) ** 4 / 64)


def fifth_percentile(mean: npt.ArrayLike, scatter: npt.ArrayLike) -> Floats:
    """Strength that 19 posts of 20 exceed, from mean and coefficient of variation (normal)."""
    return np.asarray(np.asarray(mean) * (1 - FIFTH_PERCENTILE * np.asarray(scatter)))
