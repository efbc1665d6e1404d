"""Midwinter cold and summer sun: what kills wood and roots, what burns fruit."""

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

# Lower bounds [deg C] of the half zones of the United States plant hardiness map (USDA-ZONES): 10 F zones, 5 F halves.
_COLDEST_ZONE = -60.0  # [F] lower bound of 1a
_ZONES = tuple(f"{number}{half}" for number in range(1, 14) for half in "ab")

# Air at which wood of apples in full midwinter hardiness is hurt. Xylem of commercial cultivars -35 to -40
# (QUAMME1976); classes lie about 10 K apart from end to end (SCION2021), the steps between are ours. After a thaw even
# hardy wood can die at -24 to -28 (BRAEBURN1995).
WOOD_LETHAL = {"hardy": -40.0, "medium": -35.0, "tender": -31.0, "very tender": -28.0}
AFTER_THAW = -24.0

# Days of mean air temperature that bare, snowless soil at root depth follows (common practice, no source): a stand-in
# for a soil thermometer, on the cold side.
SOIL_DAYS = 10

SUNBURN_SURFACE = 46.0  # [deg C] browning after an hour in the sun; necrosis at 52 (SUNBURN2001)
SURFACE_OVER_AIR = 14.0  # [K] calm, dry, sunny (farm press; 11 to 17 measured, 7 in north Germany)


def hardiness_zone(coldest: npt.ArrayLike) -> str:
    """Zone of the mean of the yearly minima [deg C], "6b" for instance; empty without years.

    Source: USDA-ZONES (the map uses 30 years).
    """
    yearly = np.asarray(coldest, dtype=float)
    if not np.isfinite(yearly).any():
        return ""
    fahrenheit = float(np.nanmean(yearly)) * 1.8 + 32.0
    return _ZONES[int(np.clip((fahrenheit - _COLDEST_ZONE) // 5.0, 0, len(_ZONES) - 1))]


def winters_below(coldest: npt.ArrayLike, lethal: npt.ArrayLike) -> Array:
    """Share of winters whose minimum reaches each lethal temperature.

    Parameters
    ----------
    coldest : (years,) [deg C]
    lethal : (cultivars,) [deg C]
    """
    yearly = np.asarray(coldest, dtype=float)
    share: Array = np.mean(yearly[:, np.newaxis] <= np.atleast_1d(np.asarray(lethal, dtype=float)), axis=0)
    return share


def coldest_soil(tmin: npt.ArrayLike, tmax: npt.ArrayLike) -> Array:
    """Coldest that bare soil about the roots may get [deg C]: the lowest mean air temperature over ten days.

    Grass, mulch and snow keep it many degrees warmer.

    Parameters
    ----------
    tmin, tmax : (years, days) [deg C]

    Returns
    -------
    (years,)
    """
    mean = (np.asarray(tmin, dtype=float) + np.asarray(tmax, dtype=float)) / 2.0
    running = np.concatenate([np.zeros((mean.shape[0], 1)), np.cumsum(mean, axis=1)], axis=1)
    lowest: Array = ((running[:, SOIL_DAYS:] - running[:, :-SOIL_DAYS]) / SOIL_DAYS).min(axis=1)
    return lowest


def sunburn_days(tmax: npt.ArrayLike, surface_over_air: float = SURFACE_OVER_AIR) -> Array:
    """Days a year on which fruit in full sun gets hot enough to brown.

    Parameters
    ----------
    tmax : (years, days) [deg C]

    Source: SUNBURN2001.
    """
    days: Array = np.sum(np.asarray(tmax, dtype=float) + surface_over_air >= SUNBURN_SURFACE, axis=-1).astype(
        float
    )
    return days
