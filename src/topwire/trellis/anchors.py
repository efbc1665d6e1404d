"""What holds a guy in the ground: screw plates, buried logs, driven posts."""

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

ANCHOR_FACTOR = 2.0  # on a computed capacity (customary); 1.5 on a pull-tested one (ANCHOR-RATED)
# Two anchors of one end hold twice one where neither stirs the other's ground: four plate diameters between them, and
# as much between the ends of two logs; not less than a metre, so that guys and tools pass. Common practice, no source.
PLATES_APART, LEAST_APART = 4.0, 1.0
DEADMAN_WET = 0.5  # on the loam of the table (ARMY-TM5)
_FOOT, _POUND_FORCE = 0.3048, 4.4482216152605
_DEPTHS = np.array([3.0, 4.0, 5.0, 6.0, 7.0]) * _FOOT
_SLOPES = np.array([1.0, 0.5, 1 / 3, 0.25])  # rise over run of the guy
# Holding of a buried log in loam [lb/ft2 of its face] by mean depth and slope of the guy (ARMY-TM5, READ).
_HOLDING = np.array(
    [
        [950, 1300, 1450, 1500],
        [1750, 2200, 2600, 2700],
        [2800, 3600, 4000, 4100],
        [3800, 5100, 5800, 6000],
        [5100, 7000, 8000, 8400],
    ],
    dtype=float,
) * (_POUND_FORCE / _FOOT**2)


def apart(plate: float | None, length: float | None) -> float:
    """Least distance [m] across the row between two anchors of one end, middle to middle; `length` of a log."""
    return max((length or 0.0) + PLATES_APART * (plate or 0.0), LEAST_APART)


def plate_area(diameter: npt.ArrayLike) -> Floats:
    return np.asarray(np.pi / 4 * np.asarray(diameter, dtype=float) ** 2)


def helix_clay(
    diameter: npt.ArrayLike,
    cohesion: npt.ArrayLike,
    *,
    depth: npt.ArrayLike = 0.0,
    unit_weight: npt.ArrayLike = 0.0,
) -> Floats:
    """Ultimate pull [N] of one plate in clay, A (9 cu + gamma H); depth 0 leaves the overburden out. (MEMORY)

    Holds for plates deeper than 4-5 diameters; a shallow one breaks out earlier and is taken down in proportion.
    """
    d, h = np.asarray(diameter, dtype=float), np.asarray(depth, dtype=float)
    deep = np.where(h > 0, np.minimum(h / (4.5 * d), 1.0), 1.0)
    return np.asarray(plate_area(d) * (9 * np.asarray(cohesion) * deep + np.asarray(unit_weight) * h))


def helix_sand(
    diameter: npt.ArrayLike, friction: npt.ArrayLike, *, depth: npt.ArrayLike, unit_weight: npt.ArrayLike
) -> Floats:
    """Ultimate pull [N] of one plate in sand, A gamma H Nq, deep bearing factor e^(pi tan phi) tan^2(45 + phi/2)."""
    phi = np.radians(np.asarray(friction, dtype=float))
    nq = np.exp(np.pi * np.tan(phi)) * np.tan(np.pi / 4 + phi / 2) ** 2
    return np.asarray(plate_area(diameter) * np.asarray(unit_weight) * np.asarray(depth) * nq)


def deadman_pressure(depth: float, slope: float) -> float:
    """Holding [Pa of face] of a buried log at mean `depth` [m], guy rising at `slope`; loam. [ARMY-TM5]

    Read between the table's lines; held at its edges, above 0.91 m no value is given (0.0).
    """
    if depth < _DEPTHS[0] - 1e-9:
        return 0.0
    by_slope = [float(np.interp(slope, _SLOPES[::-1], row[::-1])) for row in _HOLDING]
    return float(np.interp(depth, _DEPTHS, by_slope))


def deadman_pull(length: float, *, face: float, depth: float, slope: float, ground: float = 1.0) -> float:
    """Ultimate pull [N] of a log of `length` [m], at most five diameters of it counted. [ARMY-TM5]"""
    useful = min(length, 5 * face) - _FOOT
    return max(useful, 0.0) * face * deadman_pressure(depth, slope) * ground
