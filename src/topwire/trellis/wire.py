"""A wire over many spans: tension as a shallow parabola, and the stringing table.

Every parabolic case is one cubic, (H - T) H^2 = s w^2 L^2 / 24, with another stiffness s and start T. Forces in N,
lengths in m, `load` per metre in N/m; everything broadcasts.
"""

import numpy as np
import numpy.typing as npt

from topwire.trellis.loads import GRAVITY

Floats = npt.NDArray[np.float64]

STEEL_MODULUS = 2.0e11  # [Pa] (MEMORY, 190-205 GPa)
STEEL_DENSITY = 7850.0  # [kg/m3]
STEEL_EXPANSION = 11.7e-6  # [1/K]
GREATEST_PRETENSION = 1112.0554  # [N] 250 lbf, never more on the stringing day (TENSION-PRACTICE, UFL-CIR851)
SERVICE_SHARE = 0.5  # of the breaking load in service, common practice
STORM_SHARE = 0.75  # of the breaking load at connectors in the design storm


def round_area(diameter: float) -> float:
    """Section [m2] of a round wire."""
    return float(np.pi / 4 * diameter**2)


def axial_stiffness(diameter: npt.ArrayLike, modulus: npt.ArrayLike = STEEL_MODULUS) -> Floats:
    """EA [N] of a round wire."""
    return np.asarray(np.pi / 4 * np.asarray(diameter, dtype=float) ** 2 * np.asarray(modulus))


def self_weight(diameter: npt.ArrayLike, density: npt.ArrayLike = STEEL_DENSITY) -> Floats:
    """Weight per metre [N/m]."""
    return np.asarray(np.pi / 4 * np.asarray(diameter, dtype=float) ** 2 * np.asarray(density) * GRAVITY)


def _cubic(start: Floats, k: Floats) -> Floats:
    """The positive H of H^3 - start H^2 = k, by Newton from above (convex there, so it cannot miss)."""
    start, k = np.broadcast_arrays(start, k)
    h = np.maximum(start, 0.0) + np.cbrt(k) + 1e-12
    for _ in range(60):
        step = (h**3 - start * h**2 - k) / (3 * h**2 - 2 * start * h)
        h = h - step
        if np.all(np.abs(step) <= 1e-13 * h):
            break
    return np.asarray(h)


def loaded_tension(
    pretension: npt.ArrayLike,
    load: npt.ArrayLike,
    span: npt.ArrayLike,
    stiffness: npt.ArrayLike,
    *,
    warmer: npt.ArrayLike = 0.0,
    expansion: float = STEEL_EXPANSION,
) -> Floats:
    """Horizontal tension H of equal spans equally loaded, wire held at both ends.

    (H - T0)/EA + alpha dT = w^2 L^2 / (24 H^2). [IRVINE81]

    Raises
    ------
    ValueError
        When a span or stiffness is not above zero, or a pretension is negative.
    """
    t0, w, length, ea = (np.asarray(value, dtype=float) for value in (pretension, load, span, stiffness))
    if np.any(length <= 0) or np.any(ea <= 0) or np.any(t0 < 0):
        raise ValueError("a wire needs a span and a stiffness above zero, and no negative pretension")
    start = t0 - ea * expansion * np.asarray(warmer, dtype=float)
    return _cubic(start, ea * (w * length) ** 2 / 24)


def yielding_stiffness(
    stiffness: npt.ArrayLike, length: npt.ArrayLike, end_stiffness: npt.ArrayLike
) -> Floats:
    """EA of a rigidly held wire that would stretch like this one of `length` [m] with ends that give [N/m each]."""
    ea, whole = np.asarray(stiffness, dtype=float), np.asarray(length, dtype=float)
    return np.asarray(whole / (whole / ea + 2 / np.asarray(end_stiffness, dtype=float)))


def stringing_tension(
    temperature: npt.ArrayLike,
    *,
    pretension: float,
    at_temperature: float,
    span: float,
    stiffness: float,
    own_weight: float,
    expansion: float = STEEL_EXPANSION,
) -> Floats:
    """Tension to set at `temperature` [deg C] so that the wire has `pretension` at `at_temperature`.

    Change of state of a level span between fixed ends under its own weight:
    (H - H0)/EA + alpha (t - t0) = w^2 L^2 / 24 (1/H^2 - 1/H0^2).
    """
    if pretension <= 0:
        raise ValueError("a wire strung with no tension hangs loose; state a pretension above zero")
    warmer = np.asarray(temperature, dtype=float) - at_temperature
    k = stiffness * (own_weight * span) ** 2 / 24
    return _cubic(pretension - stiffness * expansion * warmer - k / pretension**2, np.asarray(k))
