"""A line post above the ground: section, strength, and the cantilever with wires as props."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

# Share of the mean strength of poles that 19 of 20 reach: normal, scatter 20 % (FPL-GTR158); short storm.
FIFTH_PERCENTILE = 1.645
SHORT_LOAD, CROP_SEASON, TEN_YEARS = 1.6, 1.15, 1.0  # duration factors over ten years' load (NDS, MEMORY)
TEST_TO_TEN_YEARS = 2.1  # strength in a short test over the allowable ten-year stress (NDS form, MEMORY)


def round_modulus(diameter: npt.ArrayLike) -> Floats:
    """Section modulus of a round post [m3]."""
    return np.asarray(np.pi * np.asarray(diameter, dtype=float) ** 3 / 32)


def round_inertia(diameter: npt.ArrayLike) -> Floats:
    """Second moment of area of a round post [m4]."""
    return np.asarray(np.pi * np.asarray(diameter, dtype=float) ** 4 / 64)


def rupture_moment(diameter: npt.ArrayLike, strength: npt.ArrayLike) -> Floats:
    """Moment [N m] at which a round post of bending `strength` [Pa] breaks."""
    return np.asarray(round_modulus(diameter) * np.asarray(strength))


def fifth_percentile(mean: npt.ArrayLike, scatter: npt.ArrayLike) -> Floats:
    """Strength that 19 posts of 20 exceed, from mean and coefficient of variation (normal)."""
    return np.asarray(np.asarray(mean) * (1 - FIFTH_PERCENTILE * np.asarray(scatter)))


def allowable_stress(mean: npt.ArrayLike, scatter: npt.ArrayLike, duration: float) -> Floats:
    """Customary allowable bending stress: fifth percentile over 2.1, times the duration factor."""
    return np.asarray(fifth_percentile(mean, scatter) / TEST_TO_TEN_YEARS * duration)


def flexibility(at: npt.ArrayLike, load: npt.ArrayLike, bending: float) -> Floats:
    """Deflection at height `at` of a cantilever by a unit force at height `load`: a^2 (3b - a) / 6 EI."""
    a, b = np.minimum(at, load), np.maximum(at, load)
    return np.asarray(a**2 * (3 * b - a) / (6 * bending))


def band_deflection(at: npt.ArrayLike, low: float, high: float, load: float, bending: float) -> Floats:
    """Deflection at height `at` by an even `load` [N/m] between two heights."""
    h = np.asarray(at, dtype=float)
    below, above = np.clip(h, None, high), np.clip(h, low, None)
    # load points above `h`: h^2 (3b - h)/6; below: b^2 (3h - b)/6
    upper = h**2 * (1.5 * (high**2 - np.minimum(above, high) ** 2) - h * (high - np.minimum(above, high))) / 6
    lower_top = np.maximum(below, low)
    lower = (h * (lower_top**3 - low**3) - (lower_top**4 - low**4) / 4) / 6
    return np.asarray(load * (upper + lower) / bending)


def propped_cantilever(
    *, low: float, high: float, load: float, bending: float, props: Sequence[float], stiffness: float
) -> tuple[Floats, float, float]:
    """Cantilever under an even load with springs at heights `props`.

    Parameters
    ----------
    low, high : band of the load [m]
    load : [N/m]
    bending : EI [N m2]
    stiffness : of each prop [N/m]; 0 gives the free cantilever, infinity a rigid prop

    Returns
    -------
    force of each prop [N], moment at the foot [N m], shear at the foot [N]
    """
    heights = np.asarray(props, dtype=float)
    total, moment = load * (high - low), load * (high**2 - low**2) / 2
    if stiffness == 0 or heights.size == 0:
        return np.zeros(heights.size), moment, total
    bend = flexibility(heights[:, None], heights[None, :], bending)
    give = 0.0 if np.isinf(stiffness) else 1 / stiffness
    force = np.linalg.solve(
        bend + give * np.eye(heights.size), band_deflection(heights, low, high, load, bending)
    )
    return np.asarray(force, dtype=float), float(moment - force @ heights), float(total - force.sum())


def storm_gust(
    moment: npt.ArrayLike, *, arm_per_metre: npt.ArrayLike, spacing: npt.ArrayLike, pressure_at_1: float
) -> Floats:
    """Gust [m/s] at which posts `spacing` apart reach `moment`.

    `arm_per_metre` is the ground moment of the canopy per metre of row and Pa of q, drag in it [m2]; `pressure_at_1`
    the velocity pressure at 1 m/s [Pa].
    """
    return np.asarray(np.sqrt(np.asarray(moment) / (np.asarray(arm_per_metre) * spacing * pressure_at_1)))
