"""Winter chill from hourly temperatures: hours, Utah units, positive units, portions of the dynamic model.

Every function gives what each hour adds; a running total is `numpy.cumsum` along the last axis. The last axis is hours,
whole days from midnight where a function says so; leading axes are years, seasons or scenarios.
"""

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

# Utah weights (UTAH1974): upper end of each class [deg C], included, and its weight.
UTAH_UPPER = np.array([1.4, 2.4, 9.1, 12.4, 15.9, 18.0])
UTAH_WEIGHT = np.array([0.0, 0.5, 1.0, 0.5, 0.0, -0.5, -1.0])

# Dynamic model (DYNAMIC1987, EREZ1990). The published spreadsheet turns deg C into K with 273, not 273.15; its
# constants were tuned with that, so the same offset is used.
KELVIN = 273.0
FORMATION = 139_500.0  # A0 [1/h]
DESTRUCTION = 2.567e18  # A1 [1/h]
FORMATION_ENERGY = 4_153.5  # E0 [K]
DESTRUCTION_ENERGY = 12_888.8  # E1 [K]
SLOPE = 1.6
TRANSITION = 277.0  # [K]

_AT_ONCE = 384  # [h] worked out together


def chilling_hours(temperature: npt.ArrayLike) -> Array:
    """1 for every hour between 0 and 7.2 deg C, ends included, else 0.

    Parameters
    ----------
    temperature : (..., hours) [deg C]

    Source: WEINBERGER1950.
    """
    air = np.asarray(temperature, dtype=float)
    return ((air >= 0.0) & (air <= 7.2)).astype(float)


def utah_units(temperature: npt.ArrayLike) -> Array:
    """Utah chill units of every hour, -1 to 1: warm hours take chill away.

    Parameters
    ----------
    temperature : (..., hours) [deg C]

    Source: UTAH1974.
    """
    air = np.asarray(temperature, dtype=float)
    return UTAH_WEIGHT[np.searchsorted(UTAH_UPPER, air, side="left")]


def portions(temperature: npt.ArrayLike) -> Array:
    """Chill portions that each hour adds, by the dynamic model.

    An intermediate product forms in the cold and is lost in the warm; once it reaches one, a share of it that grows
    with temperature is fixed for good. The recursion runs over hours with all leading axes at once: four array
    operations an hour, so forty seasons cost about what one does.

    Parameters
    ----------
    temperature : (..., hours) [deg C], first hour = start of the count (intermediate product 0)

    Returns
    -------
    (..., hours) portions, never negative

    Source: DYNAMIC1987, EREZ1990.
    """
    air = np.asarray(temperature, dtype=float)
    leading, hours = air.shape[:-1], air.shape[-1]
    seasons = air.reshape(-1, hours)
    added = np.empty(seasons.shape)
    level = np.zeros(seasons.shape[0])
    for start in range(0, hours, _AT_ONCE):  # a stretch at a time stays in the processor's own memory
        stretch = slice(start, start + _AT_ONCE)
        kelvin = np.ascontiguousarray(seasons[:, stretch].T) + KELVIN  # hours first: each step reads one row
        steady = FORMATION / DESTRUCTION * np.exp((DESTRUCTION_ENERGY - FORMATION_ENERGY) / kelvin)
        remaining = np.exp(-DESTRUCTION * np.exp(-DESTRUCTION_ENERGY / kelvin))
        gained = steady * (1.0 - remaining)
        kept = 1.0 / (1.0 + np.exp(SLOPE * TRANSITION * (kelvin - TRANSITION) / kelvin))
        product = np.zeros_like(kelvin)
        for hour in range(1 if start == 0 else 0, kelvin.shape[0]):
            np.multiply(level, remaining[hour], out=product[hour])
            product[hour] += gained[hour]
            level[:] = product[hour]
            np.multiply(level, kept[hour], out=level, where=level >= 1.0)
        added[:, stretch] = np.where(product >= 1.0, product * (1.0 - kept), 0.0).T
    return added.reshape(*leading, hours)
