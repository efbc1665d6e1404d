"""Wind over rising ground by EN 1991-1-4, Annex A.3, for plans that state a ten-minute mean. [EN1991-1-4]

Formulas of the windward side and of the lee of hills as open engineering programs give them (READ); those of the lee
of a cliff from memory, checked to meet the windward side at the crest.
"""

from enum import StrEnum

import numpy as np

LEAST_SLOPE, STEEP = 0.05, 0.3  # H/Lu below which ground counts as level, and above which its length is H/0.3


class RiseShape(StrEnum):
    """Ground that falls again behind its crest, or goes on level."""

    RIDGE = "ridge"
    ESCARPMENT = "escarpment"
    HILL = "hill"


def windward(reduced_distance: float, reduced_height: float) -> float:
    """Factor s before the crest: X/Lu from -1.5 to 0, z/Le from 0 to 2."""
    z = reduced_height
    if reduced_distance < -1.5 or z > 2:
        return 0.0
    at_crest = 0.1552 * z**4 - 0.8575 * z**3 + 1.8133 * z**2 - 1.9115 * z + 1.0124
    return float(at_crest * np.exp((0.3542 * z**2 - 1.0577 * z + 2.6456) * reduced_distance))


def lee_of_hill(reduced_distance: float, reduced_height: float) -> float:
    """Factor s behind the crest of a hill or ridge: X/Ld from 0 to 2."""
    z = reduced_height
    if reduced_distance > 2 or z > 2:
        return 0.0
    return float(windward(0.0, z) * np.exp((-0.3056 * z**2 + 1.0212 * z - 1.7637) * reduced_distance))


def lee_of_cliff(reduced_distance: float, reduced_height: float) -> float:
    """Factor s behind the edge of a cliff: X/Le to 3.5, z/Le from 0.1; straight from the edge to X/Le = 0.1."""
    if reduced_distance > 3.5 or reduced_height > 2:
        return 0.0
    if reduced_distance < 0.1:
        edge, share = windward(0.0, reduced_height), reduced_distance / 0.1
        return edge * (1 - share) + lee_of_cliff(0.1, reduced_height) * share
    z = np.log10(max(reduced_height, 0.1))
    x = np.log10(reduced_distance)
    a = -1.3420 * z**3 - 0.8222 * z**2 + 0.4609 * z - 0.0791
    b = -1.0196 * z**3 - 0.8910 * z**2 + 0.5343 * z - 0.1156
    c = 0.8030 * z**3 + 0.4236 * z**2 - 0.5738 * z + 0.1606
    return max(float(a * x**2 + b * x + c), 0.0)


def orography_factor(slope: float, place: float) -> float:
    """c_o of the mean wind from the windward `slope` [rise over run] and the factor s of the `place`."""
    if slope < LEAST_SLOPE:
        return 1.0
    return 1 + (2 * slope if slope < STEEP else 0.6) * place


def factor_of_rise(rise: RiseShape, *, height: float, length: float, distance: float) -> float:
    """c_o at the ground, `distance` [m] from the crest of a rise of `height` and windward `length` [m].

    The storm may come from either side, so the side where the rise reaches farther is taken; a hill is taken as alike
    on both. At the ground, where the speed-up is greatest.
    """
    slope = height / length
    effective = length if slope < STEEP else height / STEEP
    cliff = rise is RiseShape.ESCARPMENT
    behind = lee_of_cliff(distance / effective, 0.0) if cliff else lee_of_hill(distance / length, 0.0)
    return orography_factor(slope, max(windward(-distance / length, 0.0), behind))
