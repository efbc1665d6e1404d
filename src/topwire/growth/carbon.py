"""Sugar made and sugar wanted by the tree in a day after bloom.

Supply is the photosynthesis of the canopy in the form of Charles-Edwards (1982, CANOPY-CE82), as Lakso and Johnson
(1990, CARBON-LJ90) took it for apple; demand is the growth of shoots and fruit and their upkeep, driven by warmth. The
parameters are remembered and belong to no calibrated tree, so neither figure is told by itself: `sugar` holds each
year of a place against the place's other years.
"""

import numpy as np
import numpy.typing as npt

from topwire.growth.trunk import Floats

# Parameters from memory, plausible and not verified: light extinction, quantum yield, leaf rate at full light.
EXTINCTION = 0.5
QUANTUM_YIELD = 10.05  # [g CO2/MJ PAR]
LEAF_RATE = 2.376  # [g CO2/m2/h], 15 umol/m2/s
LARGEST_LEAF_AREA, HALF_GROWN, SPREAD = 2.0, 250.0, 60.0  # [m2/m2], [K d], [K d] (proposal)
# Growth wants sugar in step with warmth above 4 deg C; upkeep doubles with 10 K. Weights a proposal. [g CO2/m2/d]
GROWTH_WEIGHT, UPKEEP_WEIGHT, BASE = 0.28, 3.0, 4.0


def canopy_photosynthesis(
    light: npt.ArrayLike, day_length: npt.ArrayLike, leaf_area: npt.ArrayLike
) -> Floats:
    """Photosynthesis of a canopy in a day, P = alpha S h Pmax (1 - exp(-k L)) / (alpha k S + h Pmax).

    Parameters
    ----------
    light : array_like
        Photosynthetically active radiation, about half of the global. [MJ/m2/d]
    day_length : array_like
        [h]
    leaf_area : array_like
        Leaf area on a ground area. [m2/m2]

    Returns
    -------
    ndarray
        [g CO2/m2/d]
    """
    sun, hours = np.asarray(light, dtype=float), np.asarray(day_length, dtype=float)
    caught = 1 - np.exp(-EXTINCTION * np.asarray(leaf_area, dtype=float))
    top = QUANTUM_YIELD * sun * hours * LEAF_RATE * caught
    under = QUANTUM_YIELD * EXTINCTION * sun + hours * LEAF_RATE
    # Not known stays not known; a day without light makes nothing.
    return np.asarray(np.divide(top, under, out=np.zeros_like(top), where=under != 0))


def leaf_area_index(degree_days: npt.ArrayLike) -> Floats:
    """Leaf area after green tip on degree-days base 4 deg C: a logistic half grown at 250 (proposal). [m2/m2]"""
    grown = (np.asarray(degree_days, dtype=float) - HALF_GROWN) / SPREAD
    return np.asarray(LARGEST_LEAF_AREA / (1 + np.exp(-grown)))


def sugar_wanted(temperature: npt.ArrayLike, leaf_area: npt.ArrayLike) -> Floats:
    """What shoots, fruit and their upkeep want in a day of that mean temperature [deg C]. [g CO2/m2/d]"""
    air = np.asarray(temperature, dtype=float)
    growth, upkeep = np.maximum(air - BASE, 0.0), 2 ** ((air - 20) / 10)
    return np.asarray(np.asarray(leaf_area, dtype=float) * (GROWTH_WEIGHT * growth + UPKEEP_WEIGHT * upkeep))
