"""Sugar made and sugar wanted after bloom, as a relative index.

Supply is canopy photosynthesis (Charles-Edwards form); demand is the growth of shoots and fruit and their
respiration, all driven by temperature. The published scale in grams a day belongs to its own calibrated tree, so the
index here is relative: days are held against the same weeks of the place's other years. Warm and dim is a deficit.
"""

import numpy as np
import numpy.typing as npt

from topwire.growth.trunk import Floats

# Parameters from memory, plausible and not verified: light extinction, quantum yield, leaf rate at full light.
EXTINCTION = 0.5
QUANTUM_YIELD = 10.05  # [g CO2/MJ PAR]
LEAF_RATE = 2.376  # [g CO2/m2/h], 15 umol/m2/s
# Decision table of the Pennsylvania page (THIN-PSU), for the g/day of its own calibrated model ONLY.
_RATE_STEPS = ((0.0, 0.30), (-20.0, 0.0), (-40.0, -0.15), (-60.0, -0.30), (-80.0, -0.50))


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


def respiration(mass: npt.ArrayLike, rate_25: npt.ArrayLike, temperature: npt.ArrayLike) -> Floats:
    """Respiration, R = M r25 2^((T - 25) / 10), in the unit of mass times rate."""
    warm = 2 ** ((np.asarray(temperature, dtype=float) - 25) / 10)
    return np.asarray(np.asarray(mass, dtype=float) * np.asarray(rate_25, dtype=float) * warm)


def fruit_respiration(nanograms_per_gram_second: float) -> float:
    """Respiration in mg CO2/kg/h from ng CO2/g/s: 1 ng/g/s = 3.6 mg/kg/h."""
    return nanograms_per_gram_second * 3.6


def leaf_area_index(degree_days: npt.ArrayLike, *, largest: float = 2.0) -> Floats:
    """Leaf area after green tip on degree-days base 4 deg C: a logistic half grown at 250 (proposal). [m2/m2]"""
    return np.asarray(largest / (1 + np.exp(-(np.asarray(degree_days, dtype=float) - 250) / 60)))


def carbohydrate_index(
    light: npt.ArrayLike,
    day_length: npt.ArrayLike,
    temperature: npt.ArrayLike,
    degree_days: npt.ArrayLike,
    *,
    days_averaged: int = 4,
) -> Floats:
    """Supply less demand as a share of the supply of an ordinary day, running mean forward.

    Relative only: 0 is the mean of all days given, +0.3 a good spell, -0.3 a poor one. Neither these numbers nor
    their sign may be put into a published table of grams a day.

    Parameters
    ----------
    light, day_length, temperature, degree_days : array_like
        [MJ/m2/d PAR], [h], [deg C] daily mean, [K d] base 4 deg C since green tip; last axis = days.
    days_averaged : int
        Days of the running mean, the day itself and those after it.
    """
    area = leaf_area_index(degree_days)
    supply = canopy_photosynthesis(light, day_length, area)
    warm = np.maximum(np.asarray(temperature, dtype=float) - 4, 0)
    # Shoots and fruit want sugar in step with warmth above 4 deg C; upkeep doubles with 10 K. Weights a proposal.
    demand = area * (0.28 * warm + 3.0 * 2 ** ((np.asarray(temperature, dtype=float) - 20) / 10))
    balance = supply - demand
    ordinary = np.nanmean(supply)
    relative = (balance - np.nanmean(balance)) / ordinary
    return _forward_mean(np.asarray(relative), days_averaged)


def thinner_rate_change(balance: float) -> float | None:
    """Change of thinner rate by the published table for a four-day balance of *its own* model; None: do not thin.

    Parameters
    ----------
    balance : float
        [g/d] of the calibrated published tree, never this module's index.

    Returns
    -------
    float or None
        +0.30 = 30 % more.
    """
    for lowest, change in _RATE_STEPS:
        if balance > lowest or (balance == lowest and lowest < 0):
            return change
    return None


def _forward_mean(values: Floats, days: int) -> Floats:
    if days < 1 or days > values.shape[-1]:
        raise ValueError(f"a mean over {days} days needs as many days of weather")
    padded = np.concatenate([values, np.full((*values.shape[:-1], days - 1), np.nan)], axis=-1)
    windows = np.lib.stride_tricks.sliding_window_view(padded, days, axis=-1)
    return np.asarray(windows.mean(axis=-1))
