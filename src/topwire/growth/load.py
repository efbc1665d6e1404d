"""How many fruits a tree may carry, and how large they get."""

from math import log

import numpy as np
import numpy.typing as npt

from topwire.growth.trunk import Floats

# Fruits per cm2 of trunk: cultivars that bear every other year and cultivars that bear every year (LOAD-UMASS).
LOAD_BIENNIAL = 4.0
LOAD_ANNUAL = 6.0
LOAD_MOST = 9.0  # fruits per cm2, small cider fruit (LOAD-ZAKALIK)
USUAL_MASS = 165.0  # [g] of the dessert fruit those loads are for (proposal)
MASS_PER_CUBE = 4.0e-4  # [g/mm3]; 3.8e-4 from box counts at 40 lb, 4.0e-4 at 42 lb (LOAD-BOX)
SIZE_LOSS_PER_LOAD = 0.05  # share of the mass lost for each fruit per cm2 (proposal, range 0.04 to 0.06)
POUND = 453.59237  # [g]


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


def fruit_target_by_area(
    yield_wanted: npt.ArrayLike, area_per_tree: npt.ArrayLike, mass: npt.ArrayLike
) -> Floats:
    """Fruits on a tree that give a yield per ground area; for trees of eight leaves and older.

    Parameters
    ----------
    yield_wanted : array_like
        [t/ha]
    area_per_tree : array_like
        [m2]
    mass : array_like
        Of one fruit. [g]
    """
    kilograms = np.asarray(yield_wanted, dtype=float) / 10 * np.asarray(area_per_tree, dtype=float)
    return np.asarray(np.floor(kilograms * 1000 / np.asarray(mass, dtype=float) + 0.5))


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


def trunk_area_for(fruits: npt.ArrayLike, load: npt.ArrayLike) -> Floats:
    """Trunk cross-section [cm2] that carries `fruits` at `load` fruits per cm2."""
    return np.asarray(np.asarray(fruits, dtype=float) / np.asarray(load, dtype=float))


def honeycrisp_mass(load: npt.ArrayLike) -> Floats:
    """Mean fruit mass of Honeycrisp [g] against load, 150 + 150 exp(-0.256 load) (fit to LOAD-HC points)."""
    return np.asarray(150 + 150 * np.exp(-0.2560 * np.asarray(load, dtype=float)))


def honeycrisp_load_for(mass: float) -> float:
    """Load [fruits/cm2] at which Honeycrisp reaches `mass` [g].

    Raises
    ------
    ValueError
        Outside 150 to 300 g, the ends of the fit.
    """
    if not 150 < mass <= 300:
        raise ValueError("the fit runs from 150 to 300 g")
    return -log((mass - 150) / 150) / 0.2560


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


def mass_of_diameter(diameter: npt.ArrayLike, per_cube: npt.ArrayLike = MASS_PER_CUBE) -> Floats:
    """Fruit mass [g] from its diameter [mm], m = k D^3.

    Flat fruit about 3.6e-4, oblong 4.4e-4 g/mm3 (memory).
    """
    return np.asarray(np.asarray(per_cube, dtype=float) * np.asarray(diameter, dtype=float) ** 3)


def diameter_of_mass(mass: npt.ArrayLike, per_cube: npt.ArrayLike = MASS_PER_CUBE) -> Floats:
    """Fruit diameter [mm] from its mass [g]."""
    return np.asarray(np.cbrt(np.asarray(mass, dtype=float) / np.asarray(per_cube, dtype=float)))


def mass_of_count(count: float, box_pounds: float = 40.0) -> float:
    """Fruit mass [g] of a box count ("100 count") at the box's net pounds."""
    return box_pounds * POUND / count


def bins(trees: float, fruits_per_tree: float, *, count: float = 100.0) -> float:
    """Bins a block fills: a bin holds 20 boxes of its count size (LOAD-ONTBIN)."""
    return trees * fruits_per_tree / (20 * count)


def trees_per_hectare(tree_spacing: float, row_spacing: float) -> float:
    """Trees on a hectare at that spacing. [1/ha]

    Parameters
    ----------
    tree_spacing, row_spacing : float
        [m]
    """
    return 1e4 / (tree_spacing * row_spacing)


def fruit_buds_wanted(fruits: float, reserve: float = 0.18) -> float:
    """Fruit buds to leave at pruning: one for each final fruit and 15 to 20 % more (LOAD-NIAB)."""
    return fruits * (1 + reserve)
