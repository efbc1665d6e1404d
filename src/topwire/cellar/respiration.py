"""Heat of stored apples: what they breathe out, and what cooling them takes."""

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

HEAT_PER_MG = 10.7  # [J/mg CO2] of sugar burnt (ASHRAE-REFRIG)
SPECIFIC_HEAT = 3640.0  # [J/(kg K)] of apples above freezing: 0.87 Btu/lb/F (NCSTATE-COOL)
SECONDS_PER_HOUR = 3600.0
PULL_DOWN = 24 * SECONDS_PER_HOUR  # [s] in which a day's picking is brought down


def respiration(temperature: npt.ArrayLike) -> Array:
    """Carbon dioxide apples give off. [mg/(kg h)]

    Parameters
    ----------
    temperature : array_like
        [deg C] of the fruit, 0 to 25.

    Notes
    -----
    5.6871e-4 (1.8 T + 32)^2.5977, after Becker and Fricke (source ASHRAE-REFRIG, remembered). A published slope for
    Golden Delicious is flatter (1.93 times as fast at 10 as at 0 deg C, ANDRICH1998).
    """
    rate: Array = 5.6871e-4 * (1.8 * np.asarray(temperature, dtype=float) + 32) ** 2.5977
    return rate


def breathing_heat(mass: npt.ArrayLike, temperature: npt.ArrayLike) -> Array:
    """Heat a store's fruit gives off by breathing. [W]

    Parameters
    ----------
    mass : [kg]; temperature : [deg C]
    """
    heat: Array = np.asarray(mass, dtype=float) * respiration(temperature) * HEAT_PER_MG / SECONDS_PER_HOUR
    return heat


def field_heat(mass: npt.ArrayLike, warm: npt.ArrayLike, cold: npt.ArrayLike) -> Array:
    """Heat to take out of fruit brought in warm. [J]

    Parameters
    ----------
    mass : [kg]; warm, cold : [deg C]
    """
    heat: Array = np.asarray(mass, dtype=float) * SPECIFIC_HEAT * (np.asarray(warm) - np.asarray(cold))
    return heat
