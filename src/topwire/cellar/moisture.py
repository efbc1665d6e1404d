"""Drying of stored apples."""

import numpy as np
import numpy.typing as npt

from topwire.weather.air import saturation_pressure

Array = npt.NDArray[np.float64]

TRANSPIRATION = 42e-12  # [kg/(kg s Pa)] of apples; 16 to 100 between kinds (ASHRAE-REFRIG)
SECONDS_PER_DAY = 86400.0


def water_loss(temperature: npt.ArrayLike, humidity: npt.ArrayLike, days: npt.ArrayLike) -> Array:
    """Share of its mass that fruit loses as water; shrivelling shows near 0.05.

    Parameters
    ----------
    temperature : [deg C] of fruit and air
    humidity : [-] relative, 0 to 1
    days : [d]
    """
    deficit = saturation_pressure(temperature) * (1 - np.asarray(humidity, dtype=float))
    loss: Array = TRANSPIRATION * deficit * SECONDS_PER_DAY * np.asarray(days, dtype=float)
    return loss
