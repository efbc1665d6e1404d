"""The trunk: cross-sectional area from the calliper, and its growth."""

from math import pi

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Integers = npt.NDArray[np.int64]

# Growth of a trunk of vigour 1 (M.9 NAKBT337 under a scion of medium vigour) in a season without crop [cm2].
# Fitted so that Honeycrisp (scion factor 0.7) on M.9 comes from 1 cm2 at planting to the 9.6 cm2 of the ten-site
# trial after five seasons, stripped in the first and cropped at about four fruits per cm2 in the others (ROOT-S1).
TRUNK_GROWTH = 2.72
TRUNK_AT_PLANTING = 1.0  # [cm2], a whip of 11 to 12 mm
# Share of a season's trunk growth lost for each fruit per cm2: direction read (Robinson 2008), size a proposal.
TRUNK_LOSS_PER_LOAD = 0.03


def area_of_diameter(diameter: npt.ArrayLike) -> Floats:
    """Trunk cross-sectional area, pi d^2 / 4.

    Parameters
    ----------
    diameter : array_like
        [mm], any shape; measured 30 cm above the union.

    Returns
    -------
    ndarray
        [cm2]
    """
    return np.asarray(pi / 4 * (np.asarray(diameter, dtype=float) / 10) ** 2)


def diameter_of_area(area: npt.ArrayLike) -> Floats:
    """Trunk diameter [mm] from its cross-sectional area [cm2]."""
    return np.asarray(10 * np.sqrt(4 * np.asarray(area, dtype=float) / pi))


def trunk_growth(vigour: npt.ArrayLike, load: npt.ArrayLike) -> Floats:
    """Growth of the trunk's cross-section in a season.

    Parameters
    ----------
    vigour : array_like
        Of stock, scion and soil together; 1 = M.9 NAKBT337 under a medium scion. [-]
    load : array_like
        Fruits per cm2 carried in the season.

    Returns
    -------
    ndarray
        [cm2], the common shape of both.
    """
    left = np.maximum(0.4, 1 - TRUNK_LOSS_PER_LOAD * np.asarray(load, dtype=float))
    return np.asarray(TRUNK_GROWTH * np.asarray(vigour, dtype=float) * left)
