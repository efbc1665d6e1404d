"""Leaf spots, rots and blemishes of summer: the wetness each wants, and days of mildew."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

ROT_COLDEST, ROT_HOTTEST, ROT_CLAMP = (
    8.0,
    32.0,
    12.0,
)  # [deg C] bounds of the equations; colder ones overstate
MARSSONINA_RANGE = (5.0, 30.0)  # [deg C] (LIAN2021)
_MARSSONINA_AT, _MARSSONINA = np.array([10.0, 15.0, 20.0, 25.0]), np.array([14.0, 8.0, 4.0, 6.0])
GLOMERELLA_RANGE, GLOMERELLA_HOURS = (15.0, 35.0), 2.76  # [deg C], [h] (NCSU-GLS)
GLOMERELLA_BEST = (
    20.0,
    32.0,
)  # [deg C] about the optimum of 28 in which it is told as more than a thing to watch
# Cultivars whose leaves it spots: Gala, Golden Delicious and their kin (NCSU-GLS; which kin is ours).
GLOMERELLA_HOSTS = frozenset(
    {
        "Gala",
        "Golden Delicious",
        "Cripps Pink",
        "Granny Smith",
        "Jonagold",
        "GoldRush",
        "Mutsu",
        "Ginger Gold",
    }
)
BITTER_RANGE, BITTER_HOURS = (20.0, 30.0), 5.0  # [deg C] own bounds about PSU-BITTER; [h] remembered
BITTER_FROM = 21.0  # [d] after full bloom (PSU-BITTER)
SOOTY_SPELL = 4.0  # [h] shorter spells do not count (BROWN1995)
SOOTY_FROM = 10.0  # [d] after petal fall (BROWN1995)
SOOTY_WARN, SOOTY_ACT, SOOTY_SEEN = 200.0, 250.0, 273.0  # [h] (BROWN1995; regions act at 190 to 300)
MILDEW_WARM, MILDEW_HOT = 11.7, 30.0  # [deg C] of the day's mean (VT-NOTES; NIAB-MILDEW)


def black_rot_hours(temperature: npt.ArrayLike) -> tuple[Array, Array, Array]:
    """Hours of wetness for light and severe spots on leaves, and for fruit; inf beyond 8 to 32 deg C.

    Parameters
    ----------
    temperature : [deg C] mean of the wet hours

    Source: ARAUZ1989, whose stored abstract has lost signs and exponents: put right against the figures it gives.
    """
    air = np.asarray(temperature, dtype=float)
    with np.errstate(invalid="ignore"):
        none = ~((air >= ROT_COLDEST) & (air <= ROT_HOTTEST))
    at = np.clip(np.nan_to_num(air, nan=20.0), ROT_CLAMP, 28.0)
    light = 3527.7 / at**2
    severe = 116.5 - 5380.7 / at + 70257.5 / at**2
    fruit = 14.8 - 265.2 / at + 2988.4 / at**2
    found = [np.where(none, np.inf, hours) for hours in (light, severe, fruit)]
    return found[0], found[1], found[2]


def marssonina_hours(temperature: npt.ArrayLike) -> Array:
    """Least hours of wetness for Marssonina blotch; inf beyond 5 to 30 deg C. Source: LIAN2021.

    Linear between the four temperatures tried, constant beyond them.
    """
    air = np.asarray(temperature, dtype=float)
    with np.errstate(invalid="ignore"):
        none = ~((air >= MARSSONINA_RANGE[0]) & (air <= MARSSONINA_RANGE[1]))
    return np.where(none, np.inf, np.interp(np.nan_to_num(air), _MARSSONINA_AT, _MARSSONINA))


def glomerella_hours(temperature: npt.ArrayLike) -> Array:
    """Least hours of wetness for Glomerella leaf spot; inf beyond 15 to 35 deg C. Source: NCSU-GLS."""
    return _within(temperature, GLOMERELLA_RANGE, GLOMERELLA_HOURS)


def bitter_rot_hours(temperature: npt.ArrayLike) -> Array:
    """Hours of wetness flagged for bitter rot; inf beyond 20 to 30 deg C. Own rule, after PSU-BITTER."""
    return _within(temperature, BITTER_RANGE, BITTER_HOURS)


def _within(temperature: npt.ArrayLike, bounds: tuple[float, float], hours: float) -> Array:
    air = np.asarray(temperature, dtype=float)
    with np.errstate(invalid="ignore"):
        return np.where((air >= bounds[0]) & (air <= bounds[1]), hours, np.inf)


def sooty_hours(spells: Sequence[float]) -> float:
    """Hours of wetness that count towards sooty blotch and flyspeck: spells of four hours and more (BROWN1995)."""
    return float(sum(hours for hours in spells if hours >= SOOTY_SPELL))


def sooty_band(hours: float) -> int:
    """0 below 200 h, 1 from there on, 2 from 250 h, 3 from 273 h, where signs show on average. Source: BROWN1995."""
    return sum(hours >= bound for bound in (SOOTY_WARN, SOOTY_ACT, SOOTY_SEEN))


def mildew_days(mean: npt.ArrayLike, rain: npt.ArrayLike) -> npt.NDArray[np.bool_]:
    """Days on which powdery mildew infects: warm, without rain.

    Parameters
    ----------
    mean, rain : (days,) [deg C], [mm]; missing rain counts as none

    Source: VT-NOTES (no rain, above 53 F); limited by heat after NIAB-MILDEW.
    """
    air = np.asarray(mean, dtype=float)
    dry = np.nan_to_num(np.asarray(rain, dtype=float)) < 0.2
    with np.errstate(invalid="ignore"):
        return np.asarray(dry & (air > MILDEW_WARM) & (air <= MILDEW_HOT))
