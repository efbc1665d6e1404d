"""How many fruits a tree may carry, and how large they get."""

import numpy as np
import numpy.typing as npt

from topwire.growth.trunk import Floats

# Fruits per cm2 of trunk: cultivars that bear every other year and cultivars that bear every year (LOAD-UMASS).
LOAD_BIENNIAL = 4.0
LOAD_ANNUAL = 6.0
LOAD_MOST = 9.0  # fruits per cm2, small cider fruit (LOAD-ZAKALIK)
USUAL_MASS = 165.0  # [g] of the dessert fruit those loads are for (proposal)
MASS_PER_CUBE = 3.9e-4  # [g/mm3]; 3.8e-4 from box counts at 40 lb, 4.0e-4 at 42 lb (LOAD-BOX)
SIZE_LOSS_PER_LOAD = 0.05  # share of the mass lost for each fruit per cm2 (proposal, range 0.04 to 0.06)


def fruit_target(trunk_area: npt.ArrayLike, load: npt.ArrayLike) -> Floats:
    """Fruits to leave on a tree, to the nearest whole one.

    Parameters
    ----------
    trunk_area : array_like
        [cm2]
    load : array_like
        Fruits per cm2.
    """
    wanted = np.asarray(trunk_area, dtype=float) * np.asarray(load, dtype=float)
    return np.asarray(np.floor(wanted + 0.5))


def small_fruit(mass: npt.ArrayLike, load: npt.ArrayLike) -> Floats:
    """How many more fruits a trunk carries when they are small.

    The loads of the guides are those of dessert fruit of about 165 g. Smaller fruit may hang in proportion more, up
    to nine to the cm2, the most that was found worthwhile for bittersweet cider cultivars (LOAD-ZAKALIK). Larger
    fruit gets no deduction: the biennial group's four per cm2 are those of large fruit already.

    Parameters
    ----------
    mass : array_like
        Of one fruit. [g]
    load : array_like
        Fruits per cm2 of ordinary size.

    Returns
    -------
    ndarray
        1 or more. [-]
    """
    usual = np.asarray(load, dtype=float)
    more = USUAL_MASS / np.asarray(mass, dtype=float)
    return np.asarray(np.clip(more, 1.0, np.maximum(LOAD_MOST / usual, 1.0)))


def mass_under_load(mass: npt.ArrayLike, load: npt.ArrayLike, normal_load: npt.ArrayLike) -> Floats:
    """Mean fruit mass at `load`, from its mass at the normal load of the cultivar.

    Linear, m = m_max (1 - c load) with c = 0.05 per fruit/cm2 (proposal), held above half of the mass.

    Parameters
    ----------
    mass : array_like
        At the normal load. [g]
    load, normal_load : array_like
        Fruits per cm2.
    """
    ratio = (1 - SIZE_LOSS_PER_LOAD * np.asarray(load, dtype=float)) / (
        1 - SIZE_LOSS_PER_LOAD * np.asarray(normal_load, dtype=float)
    )
    return np.asarray(np.asarray(mass, dtype=float) * np.maximum(ratio, 0.5))


def diameter_of_mass(mass: npt.ArrayLike) -> Floats:
    """Fruit diameter [mm] from its mass [g], m = k D^3; flat fruit k about 3.6e-4, oblong 4.4e-4 g/mm3 (memory)."""
    return np.asarray(np.cbrt(np.asarray(mass, dtype=float) / MASS_PER_CUBE))
