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
# Of a plate in sand by angle of friction [deg]: how its factor grows with depth, the nominal coefficient of uplift, and
# depth over diameter from which it is deep (MEYERHOF-ADAMS, MEMORY).
_FRICTIONS = np.array([20.0, 25.0, 30.0, 35.0, 40.0, 45.0])
_SHAPES = np.array([0.05, 0.10, 0.15, 0.25, 0.35, 0.50])
_LIFTED = np.array([0.856, 0.888, 0.920, 0.936, 0.960, 0.960])
_DEEP = np.array([2.5, 3.0, 4.0, 5.0, 7.0, 9.0])


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


def breakout(depth_ratio: npt.ArrayLike, friction: npt.ArrayLike) -> Floats:
    """Pull a round plate in sand withstands over the weight of the sand straight above it. [MEYERHOF-ADAMS]

    `1 + 2 (1 + m r) r Ku tan(phi)`; it no longer grows where the ground above is too deep to be lifted to its top.

    Parameters
    ----------
    depth_ratio : depth over diameter r
    friction : [deg], held at 20 and 45; m, Ku and the ratio from which it is deep by their table (MEMORY)
    """
    phi = np.clip(np.asarray(friction, dtype=float), _FRICTIONS[0], _FRICTIONS[-1])
    m, lifted, deep = (np.interp(phi, _FRICTIONS, row) for row in (_SHAPES, _LIFTED, _DEEP))
    ratio = np.minimum(depth_ratio, deep)
    return np.asarray(1 + 2 * (1 + m * ratio) * ratio * lifted * np.tan(np.radians(phi)))


def helix_sand(
    diameter: npt.ArrayLike, friction: npt.ArrayLike, *, depth: npt.ArrayLike, unit_weight: npt.ArrayLike
) -> Floats:
    """Ultimate pull [N] of one plate in sand, A gamma H times its breakout factor."""
    d, h = np.asarray(diameter, dtype=float), np.asarray(depth, dtype=float)
    return np.asarray(plate_area(d) * np.asarray(unit_weight) * h * breakout(h / d, friction))


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
