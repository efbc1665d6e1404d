"""How fast pollen tubes grow: when the first flowers are fertilised and a bloom thinner would come in time."""

import numpy as np
import numpy.typing as npt

from topwire.growth.trunk import Floats

# Cardinal temperatures of tube length, mean of ten cultivars in vitro (TUBE-VITRO). [deg C]
COLDEST, BEST, HOTTEST = 6.3, 28.6, 43.7
# Hours at the best temperature from stigma to the base of the style (proposal; about three days at 15 deg C).
HOURS_TO_BASE = 27.0


def tube_growth(temperature: npt.ArrayLike) -> Floats:
    """Growth of pollen tubes relative to the best temperature, two straight lines. [-]

    Parameters
    ----------
    temperature : array_like
        [deg C]
    """
    air = np.asarray(temperature, dtype=float)
    rising = (air - COLDEST) / (BEST - COLDEST)
    falling = (HOTTEST - air) / (HOTTEST - BEST)
    return np.asarray(np.clip(np.minimum(rising, falling), 0.0, 1.0))


def share_grown(hourly_temperature: npt.ArrayLike, needed: float = HOURS_TO_BASE) -> Floats:
    """Share of the way to the base of the style after each hour since pollination; 1 and more = there.

    Parameters
    ----------
    hourly_temperature : array_like
        Last axis = hours. [deg C]
    needed : float
        Hours at the best temperature. [h]
    """
    return np.asarray(np.cumsum(tube_growth(hourly_temperature), axis=-1) / needed)
