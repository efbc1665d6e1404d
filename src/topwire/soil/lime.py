"""Lime: how much pure lime a soil needs to a target, to what depth, how strong the lime is, in how many dressings.

Amounts are pure calcium carbonate on ground, kg/m2 (1 kg/m2 = 10 t/ha), for the slice each method is stated for.
"""

from collections.abc import Mapping
from math import ceil

import numpy as np

from topwire.values.terms import Texture

_POUND_AN_ACRE = 0.45359237 / 4046.8564224  # [kg/m2]
TON_AN_ACRE = 2000 * _POUND_AN_ACRE
TONNE_A_HECTARE = 0.1  # [kg/m2]
ACIDITY_SLICE = 0.18  # [m] 7 in (LIME-PSU)
BUFFER_SLICE = 0.20  # [m] 8 in
# Pounds an acre for each meq/100 g of exchangeable acidity: 7.0 and 6.5 READ, 6.0 fitted to the laboratory's table.
_BY_ACIDITY = ((6.0, 670.0), (6.5, 840.0), (7.0, 1000.0))
_LEAST, _LEAST_FROM = 2000.0, 4.0  # pounds an acre to 6.5 where the acidity is below 4 meq/100 g
# Tons an acre of lime 90 % effective, by lime index (ten times the buffer reading) to 6.8, 6.5 and 6.0 (memory).
_SMP_INDEX = np.arange(60.0, 69.0)
_SMP_TARGETS = np.array([6.0, 6.5, 6.8])
_SMP_TONS = np.array(
    [
        [6.8, 8.1, 9.6],
        [6.0, 7.2, 8.6],
        [5.3, 6.4, 7.5],
        [4.6, 5.5, 6.5],
        [3.9, 4.7, 5.5],
        [3.1, 3.8, 4.5],
        [2.4, 2.9, 3.4],
        [1.7, 2.1, 2.4],
        [1.0, 1.2, 1.4],
    ]
)
_SMP_STRENGTH = 0.90
_NO_LIME_INDEX = 70.0
# Tonnes a hectare of ground limestone to 6.7 in arable soil, by texture and pH; neutralising value 52 (memory).
_TEXTURE_PH = np.array([5.0, 5.5, 6.0, 6.2, 6.7])
_BY_TEXTURE: Mapping[str, tuple[float, ...]] = {
    "sandy": (10.0, 7.0, 4.0, 3.0, 0.0),
    "medium": (12.0, 8.0, 5.0, 4.0, 0.0),
    "clay": (14.0, 10.0, 6.0, 4.0, 0.0),
}
_TEXTURE_STRENGTH = 52 / 56.08  # neutralising value as calcium oxide: pure carbonate has 56
_TEXTURE_TARGET = 6.7
_SANDY = (Texture.SAND, Texture.LOAMY_SAND)
_CLAYEY = (
    Texture.CLAY_LOAM,
    Texture.SILTY_CLAY_LOAM,
    Texture.SANDY_CLAY,
    Texture.SILTY_CLAY,
    Texture.CLAY,
)
# Dressings of lime as spread, kg/m2: one, two and three (LIME-PSU-SPLIT), none larger than the last.
_SPLIT = (0.54, 1.03)
MOST_AT_ONCE = 1.0  # 10 t/ha (LIME-UK)


def by_acidity(acidity: float, ph: float, target: float) -> float:
    """Lime by exchangeable acidity (LIME-PSU), for 18 cm. [kg/m2]

    Parameters
    ----------
    acidity : float
        Exchangeable acidity. [meq/100 g]
    ph, target : float
        Of the soil now, and wanted (6.0 to 7.0; beyond as at the nearer end).
    """
    if ph >= target or acidity <= 0:
        return 0.0
    targets, pounds = zip(*_BY_ACIDITY, strict=True)
    needed = acidity * float(np.interp(target, targets, pounds))
    if acidity < _LEAST_FROM:
        needed = _LEAST if target == 6.5 else min(needed, _LEAST) if target < 6.5 else max(needed, _LEAST)
    return needed * _POUND_AN_ACRE


def buffer_acidity(buffer_ph: float) -> float:
    """Acidity by a buffer of 6.6: 4 (6.6 - buffer pH), in the method's own unit (LIME-NC)."""
    return max(4 * (6.6 - buffer_ph), 0.0)


def by_buffer_acidity(ph: float, buffer_ph: float, target: float) -> float:
    """Lime by pH and buffer pH of the Carolina method, for 20 cm. [kg/m2]

    Raises
    ------
    ValueError
        When the target is 6.6 or above: the method ends there.
    """
    if target >= 6.6:
        raise ValueError(f"a target of {target:g} is beyond this method, which ends below 6.6")
    if ph >= target:
        return 0.0
    return buffer_acidity(buffer_ph) * carolina_factor(ph, target) * TON_AN_ACRE


def carolina_factor(ph: float, target: float) -> float:
    """(target - pH) / (6.6 - pH). [-]"""
    return (target - ph) / (6.6 - ph)


def by_smp(buffer_ph: float, ph: float, target: float) -> float:
    """Lime by the buffer reading of the Tri-State tables (memory), for 20 cm. [kg/m2]"""
    index = 10 * buffer_ph
    if ph >= target or index >= _NO_LIME_INDEX:
        return 0.0
    wanted = float(np.clip(target, _SMP_TARGETS[0], _SMP_TARGETS[-1]))
    at_index = [float(np.interp(index, _SMP_INDEX, column)) for column in _SMP_TONS.T]
    if index > _SMP_INDEX[-1]:  # fades to none at 70
        at_index = [tons * (_NO_LIME_INDEX - index) / (_NO_LIME_INDEX - _SMP_INDEX[-1]) for tons in at_index]
    return float(np.interp(wanted, _SMP_TARGETS, at_index)) * _SMP_STRENGTH * TON_AN_ACRE


def by_texture(ph: float, texture: str, target: float) -> float:
    """First guess without a buffer reading, by texture (memory), for 20 cm. [kg/m2]

    The table is to pH 6.7; another target takes its share of the way.
    """
    if ph >= target:
        return 0.0
    kind = "sandy" if texture in _SANDY else "clay" if texture in _CLAYEY else "medium"
    to_table = float(np.interp(ph, _TEXTURE_PH, _BY_TEXTURE[kind]))
    share = (target - ph) / (_TEXTURE_TARGET - ph) if ph < _TEXTURE_TARGET - 0.05 else 1.0
    return to_table * share * _TEXTURE_STRENGTH * TONNE_A_HECTARE


def to_depth(pure: float, slice_depth: float, depth: float) -> float:
    """The same for another depth of working: in proportion. [kg/m2]"""
    return pure * depth / slice_depth


def two_layers(top: float, below: float, slice_depth: float, depth: float, parting: float = 0.20) -> float:
    """Lime where topsoil and subsoil have targets of their own. [kg/m2]

    Parameters
    ----------
    top, below : float
        For a slice of `slice_depth`, by the targets of both layers. [kg/m2]
    depth : float
        Worked. [m]
    parting : float
        Depth at which the layers part. [m]
    """
    upper = min(depth, parting)
    return to_depth(top, slice_depth, upper) + to_depth(below, slice_depth, max(depth - parting, 0.0))


def spread(pure: float, effective: float) -> float:
    """Lime as it is sold that does the work of pure lime. [kg/m2]

    Parameters
    ----------
    effective : float
        Neutralising value times fineness, 0 to 1. [-]
    """
    if not 0 < effective <= 1.5:
        raise ValueError(f"effective is {effective}; lime sold has 0.3 to 1.1")
    return pure / effective


def fineness_new_york(pass_20: float, pass_60: float, pass_100: float) -> float:
    """Share of the weight that works in the first year, from shares passing 20, 60 and 100 mesh (LIME-CCA)."""
    return 0.40 * (pass_20 - pass_60) + 0.80 * (pass_60 - pass_100) + pass_100


def fineness_ohio(pass_8: float, pass_20: float, pass_60: float) -> float:
    """The same from 8, 20 and 60 mesh (LIME-OHIO)."""
    return pass_60 + 0.60 * (pass_20 - pass_60) + 0.20 * (pass_8 - pass_20)


def dressings(as_spread: float) -> int:
    """In how many dressings, six months apart (LIME-PSU-SPLIT), none above 10 t/ha (LIME-UK)."""
    if as_spread <= 0:
        return 0
    by_rule = 1 + sum(as_spread > limit for limit in _SPLIT)
    return max(by_rule, ceil(as_spread / MOST_AT_ONCE - 1e-9))
