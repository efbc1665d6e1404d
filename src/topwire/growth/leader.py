"""The leader on its way to the top wire, season by season."""

import numpy as np
import numpy.typing as npt

from topwire.growth.trunk import Floats

# Season's leader growth at vigour 1 without crop [m]: proposal, range 0.30 to 0.90.
LEADER_GROWTH = 0.60
GROWTH_SPREAD = 0.25  # coefficient of variation from season to season and tree to tree (proposal)
LOSS_PER_LOAD = 0.06  # share of leader growth lost for each fruit per cm2 (direction read, size a proposal)
# Above this vigour the leader no longer lengthens in step with the trunk: strong stocks put it into branches.
_EVEN_TO = 1.3
# Height a tree comes to on its own, 3.7 m at vigour 1 (handbook heights by stock, memory).
_NATURAL_HEIGHT, _NATURAL_POWER, _SLOWING = 3.7, 0.6, 6.0
START_WHIP = 0.46  # [m] out of the graft, common practice
START_FEATHERED = 1.3  # [m] finished or bought tree, as planted (memory)


def soil_vigour(*, fertility: str, depth: float, texture: str) -> float:
    """Vigour the soil allows, 1 = medium loam of 0.9 m (proposal).

    Parameters
    ----------
    fertility : str
        "poor", "medium" or "fertile".
    depth : float
        Roots can use. [m]
    texture : str
        Class of the United States Department of Agriculture.
    """
    factor = {"poor": 0.85, "medium": 1.0, "fertile": 1.12}[fertility]
    if depth < 0.9:
        factor *= max(0.7, 1 - 0.4 * (0.9 - depth))
    if texture in ("sand", "loamy sand"):
        factor *= 0.9
    elif texture in ("clay", "silty clay", "sandy clay"):
        factor *= 0.93
    return factor


def natural_height(vigour: npt.ArrayLike) -> Floats:
    """Height at which a tree of that vigour stops rising. [m]"""
    return np.asarray(_NATURAL_HEIGHT * np.asarray(vigour, dtype=float) ** _NATURAL_POWER)


def leader_growth(vigour: npt.ArrayLike, load: npt.ArrayLike = 0.0, season: npt.ArrayLike = 1.0) -> Floats:
    """Growth of the leader in a season, before it nears its natural height.

    Parameters
    ----------
    vigour : array_like
        Of stock, scion and soil together. [-]
    load : array_like
        Fruits per cm2 of trunk carried.
    season : array_like
        How good the season is, water and nitrogen included; 1 = ordinary. [-]

    Returns
    -------
    ndarray
        [m]
    """
    strength = np.asarray(vigour, dtype=float)
    held = np.where(
        strength > _EVEN_TO, _EVEN_TO * (np.maximum(strength, _EVEN_TO) / _EVEN_TO) ** 0.4, strength
    )
    left = np.maximum(0.3, 1 - LOSS_PER_LOAD * np.asarray(load, dtype=float))
    return np.asarray(LEADER_GROWTH * held * left * np.asarray(season, dtype=float))


def next_height(height: npt.ArrayLike, growth: npt.ArrayLike, natural: npt.ArrayLike) -> Floats:
    """Height after a season: growth fades as the leader nears its natural height. [m]"""
    now, top = np.asarray(height, dtype=float), np.asarray(natural, dtype=float)
    fading = np.maximum(0.0, 1 - (now / top) ** _SLOWING)
    return np.asarray(now + np.maximum(np.asarray(growth, dtype=float), 0.0) * fading)
