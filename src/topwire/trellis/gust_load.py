"""Wind on a leafy row in a gust, best estimate: profile, shape of the canopy, drag that falls with speed, size of the
gust, shelter by rows upwind.

Where `wind` holds the code's envelope for a design storm, this is what a row feels in the middle of what is known; risk
is reckoned with it.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from topwire.trellis.demand import BAND_BOTTOM
from topwire.values.arrays import Floats

AIR = 0.613  # [Pa s2/m2] half the density of air
ROUGHNESS = 0.05  # [m] open country, terrain II of EN 1991-1-4
LOWEST = 2.0  # [m] below which the profile is taken as even
KNEE, FILL_AT_TOP = (
    1.5,
    0.45,
)  # a spindle is full to 1.5 m, then narrows to 0.4 m of 0.9 m at the top (geometry)
# Drag of the band at 10 m/s, exponent of its fall with speed, and the least: between a hedge's 1.3 at 4-7 m/s
# (HEDGE-DRAG) and crowns' 0.15-0.47 at 20 m/s (VOLLSINGER05); 0.49 at 20, 0.39 at 30 m/s.
DRAG_AT_10, FALLS_AS, LEAST_DRAG = 0.75, 0.6, 0.25
BAYS_TOGETHER = 3  # one bay down does not bring down a row, three do
_STRIPS = 80
_STEPS = 12  # of the substitution: error below a thousandth


def profile(height: npt.ArrayLike) -> Floats:
    """Gust pressure at `height` [m] over that at 10 m: (ln^2 + 7 ln)(z / z0). [EN1991-1-4]"""
    z = np.maximum(np.asarray(height, dtype=float), LOWEST)
    return np.asarray(_peak(z) / _peak(np.array(10.0)))


def _peak(z: Floats) -> Floats:
    logarithm = np.log(z / ROUGHNESS)
    return np.asarray(logarithm**2 + 7 * logarithm)


_SLOWER = np.sqrt(profile(LOWEST))  # speed at the canopy over that at 10 m


def size_factor(length: npt.ArrayLike, height: float = 3.0) -> Floats:
    """Pressure of a gust on `length` [m] of row over that at a point: c_s of EN 1991-1-4, Annex B. [EN1991-1-4]"""
    alpha = 0.67 + 0.05 * np.log(ROUGHNESS)
    eddy = 300 * (height / 200) ** alpha
    background = 1 / (1 + 0.9 * ((np.asarray(length, dtype=float) + height) / eddy) ** 0.63)
    turbulence = 1 / np.log(height / ROUGHNESS)
    return np.asarray((1 + 7 * turbulence * np.sqrt(background)) / (1 + 7 * turbulence))


@dataclass(frozen=True)
class CanopyBand:
    """What a metre of row shows the wind, per Pa of gust pressure at 10 m and unit drag."""

    force: float  # [m]
    moment: float  # [m2] about the ground

    @property
    def arm(self) -> float:
        """Height at which the wind's force acts [m]."""
        return self.moment / self.force


@lru_cache(maxsize=256)
def canopy_band(top: float, bottom: float = BAND_BOTTOM, fill_at_top: float = FILL_AT_TOP) -> CanopyBand:
    """The band of leaves from `bottom` to `top` [m], narrowing above the knee."""
    z = np.linspace(bottom, top, _STRIPS)
    narrow = 1 - (1 - fill_at_top) * (z - KNEE) / max(top - KNEE, 1e-6)
    pressure = np.where(z < KNEE, 1.0, narrow) * profile(z)
    return CanopyBand(float(np.trapezoid(pressure, z)), float(np.trapezoid(pressure * z, z)))


def drag(
    speed: npt.ArrayLike, at_10: npt.ArrayLike = DRAG_AT_10, falls_as: npt.ArrayLike = FALLS_AS
) -> Floats:
    """Drag at a gust of `speed` [m/s] at the canopy: constant to 10 m/s, then falling as a power of it."""
    v = np.maximum(np.asarray(speed, dtype=float), 10.0) / 10
    falling = np.asarray(at_10) * v ** (-np.asarray(falls_as, dtype=float))
    return np.asarray(np.maximum(falling, LEAST_DRAG), dtype=float)


def gust_for(
    loading: npt.ArrayLike, at_10: npt.ArrayLike = DRAG_AT_10, falls_as: npt.ArrayLike = FALLS_AS
) -> Floats:
    """Gust V at 10 m [m/s] at which V^2 C(V) reaches `loading` [m2/s2]; the inverse of a rising function, closed.

    C is that of the canopy's own speed, V times the root of the profile at 2 m.
    """
    q = np.maximum(np.asarray(loading, dtype=float), 0.0)
    c, n = np.asarray(at_10, dtype=float), np.asarray(falls_as, dtype=float)
    knee = 10.0 / _SLOWER
    falling = (q / (c * (_SLOWER / 10) ** (-n))) ** (1 / (2 - n))
    usual = np.where(q <= c * knee**2, np.sqrt(q / c), falling)
    return np.asarray(np.minimum(usual, np.sqrt(q / LEAST_DRAG)))


def netted_gust_for(
    loading: npt.ArrayLike,
    at_10: npt.ArrayLike = DRAG_AT_10,
    falls_as: npt.ArrayLike = FALLS_AS,
    *,
    even: npt.ArrayLike,
    passes: npt.ArrayLike,
) -> Floats:
    """Gust V [m/s] at which V^2 (even + passes C(V)) reaches `loading` [m2/s2], by repeated substitution.

    Each step makes the error smaller by the share of the drag that falls with speed, times at most half the exponent.

    Parameters
    ----------
    even : drag of a net, the same at every speed
    passes : share of the pressure that reaches the leaves behind it
    """
    q = np.maximum(np.asarray(loading, dtype=float), 0.0)
    even, passes = np.asarray(even, dtype=float), np.asarray(passes, dtype=float)
    speed = np.sqrt(q / (even + passes * LEAST_DRAG))
    for _ in range(_STEPS):
        speed = np.sqrt(q / (even + passes * drag(speed * _SLOWER, at_10, falls_as)))
    return np.asarray(speed)
