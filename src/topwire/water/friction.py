"""Head lost to friction in a full pipe.

A friction law takes flow [m3/s] and inside diameter [m] and gives the head lost along a metre [m/m] and its derivative
by flow [s/m3]. `blasius` is the house's law for polyethylene: Hazen-Williams with C = 150 is some 20 % too low in
drip tube of 13 to 16 mm.
"""

from collections.abc import Callable
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Law: TypeAlias = Callable[[Array, Array], tuple[Array, Array]]

GRAVITY = 9.80665  # [m/s2]
VISCOSITY = 1.0e-6  # [m2/s] water at 20 deg C
DENSITY = 1000.0  # [kg/m3]
LAMINAR_TO = 2000.0  # [-] Reynolds number
_ROUND_FROM = 2050.0  # the step from laminar to turbulent is bridged up to here, so that the loss never jumps
_ROUGH_FROM = 1.0e5  # [-] Watters and Keller's second branch
_SMALL_FLOW = 1e-12  # [m3/s]


def velocity(flow: npt.ArrayLike, diameter: npt.ArrayLike) -> Array:
    """Mean velocity. [m/s]"""
    speed: Array = np.asarray(flow, dtype=float) / (np.pi / 4 * np.asarray(diameter, dtype=float) ** 2)
    return speed


def reynolds(flow: npt.ArrayLike, diameter: npt.ArrayLike) -> Array:
    """Reynolds number in water at 20 deg C. [-]"""
    number: Array = velocity(flow, diameter) * np.asarray(diameter, dtype=float) / VISCOSITY
    return number


def blasius(flow: npt.ArrayLike, diameter: npt.ArrayLike) -> tuple[Array, Array]:
    """Darcy-Weisbach in smooth pipe: laminar, Blasius to Re 1e5, then f = 0.13 Re^-0.172.

    Parameters
    ----------
    flow : array_like
        [m3/s] either way along the pipe.
    diameter : array_like
        [m] inside.

    Returns
    -------
    loss : [m/m], with the sign of the flow
    slope : its derivative by flow [s/m3]

    Notes
    -----
    Branches from source WK78 (from memory). Between Re 2000 and 2050 the loss runs straight from one branch to the
    other.
    """
    signed = np.asarray(flow, dtype=float)
    inside = np.asarray(diameter, dtype=float)
    amount = np.maximum(np.abs(signed), _SMALL_FLOW)
    number = reynolds(amount, inside)
    # loss = f / D V^2 / 2g, written as scale * f * Q^2
    scale = 8 / (np.pi**2 * GRAVITY * inside**5)

    def branch(value: Array, factor: float, power: float) -> Array:
        result: Array = scale * factor * value**power * (value * np.pi * inside * VISCOSITY / 4) ** 2
        return result

    laminar = number < LAMINAR_TO
    rough = number > _ROUGH_FROM
    factor = np.where(laminar, 64.0, np.where(rough, 0.13, 0.316))
    power = np.where(laminar, -1.0, np.where(rough, -0.172, -0.25))
    loss = scale * factor * number**power * amount**2
    slope = (2 + power) * loss / amount
    between = (number >= LAMINAR_TO) & (number < _ROUND_FROM)
    if np.any(between):
        low = branch(np.full_like(number, LAMINAR_TO), 64.0, -1.0)
        high = branch(np.full_like(number, _ROUND_FROM), 0.316, -0.25)
        step = (_ROUND_FROM - LAMINAR_TO) * np.pi * inside * VISCOSITY / 4
        bridged = low + (high - low) * (number - LAMINAR_TO) / (_ROUND_FROM - LAMINAR_TO)
        loss = np.where(between, bridged, loss)
        slope = np.where(between, (high - low) / step, slope)
    return np.sign(signed) * loss, slope


def shaft_power(flow: float, head: float, efficiency: float) -> float:
    """Power a pump takes at its shaft. [W]

    Parameters
    ----------
    flow : float
        [m3/s]
    head : float
        [m]
    efficiency : float
        [-]
    """
    return DENSITY * GRAVITY * flow * head / efficiency


def head_of(pressure: float) -> float:
    """Head of water that a pressure stands for. [m]"""
    return pressure / (DENSITY * GRAVITY)


def pressure_of(head: float) -> float:
    """Pressure of a head of water. [Pa]"""
    return head * DENSITY * GRAVITY
