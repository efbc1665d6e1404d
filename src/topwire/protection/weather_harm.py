"""What the weather itself does: fruit that burns, wind on a hanging crop."""

import numpy as np
import numpy.typing as npt

from topwire.phenology.injury import SUNBURN_SURFACE, SURFACE_OVER_AIR

Array = npt.NDArray[np.float64]

NECROSIS = 52.0  # [deg C] of the fruit's skin for ten minutes (SUNBURN2001)
# Fruit in full sun is so much warmer than the air (11 to 17 K measured: SUNBURN2001); limits of the classes are ours.
CALM_DRY, WINDY_DAMP = 17.0, 11.0  # [K]
STILL, DRY = 1.0, 40.0  # [m/s], [%] below both of which it is hottest
BREEZY, DAMP = 3.0, 60.0  # [m/s], [%] above either of which it is least hot
# Skins that brown at lower and at higher temperatures than the others [deg C] (remembered: three classes).
TENDER_SKIN = frozenset({"Granny Smith", "Honeycrisp", "Caudle"})
TOUGH_SKIN = frozenset({"Cripps Pink"})
TOUGHER = 3.0  # [K] the last above the first; the others half way
DROP_WIND = 10.0  # [m/s] sustained, at 10 m, in the weeks before picking: common practice, no source
DROP_DAYS = 21.0  # [d] before the first pick
TEN_OVER_TWO = 1.0 / 0.748  # wind at 10 m over that at 2 m, over grass (FAO56, equation 47)


def skin_over_air(wind: npt.ArrayLike, humidity: npt.ArrayLike) -> Array:
    """How much warmer the skin of fruit in full sun is than the air [K].

    Parameters
    ----------
    wind : [m/s]; humidity : [%]; where either is missing the middle class stands
    """
    breeze, damp = np.asarray(wind, dtype=float), np.asarray(humidity, dtype=float)
    with np.errstate(invalid="ignore"):
        hot = (breeze < STILL) & (damp < DRY)
        cool = (breeze > BREEZY) | (damp > DAMP)
    known = np.isfinite(breeze) & np.isfinite(damp)
    found = np.where(hot, CALM_DRY, np.where(cool, WINDY_DAMP, SURFACE_OVER_AIR))
    return np.where(known, found, SURFACE_OVER_AIR)


def browns_at(cultivar: str) -> float:
    """Skin temperature at which a cultivar's fruit browns [deg C]."""
    if cultivar in TENDER_SKIN:
        return SUNBURN_SURFACE
    return SUNBURN_SURFACE + (TOUGHER if cultivar in TOUGH_SKIN else TOUGHER / 2)


def burn(skin: npt.ArrayLike, threshold: float = SUNBURN_SURFACE) -> npt.NDArray[np.int64]:
    """0 none, 1 browning, 2 necrosis, of fruit in full sun. Source: SUNBURN2001.

    Parameters
    ----------
    skin : [deg C]
    """
    hot = np.asarray(skin, dtype=float)
    with np.errstate(invalid="ignore"):
        reached: npt.NDArray[np.int64] = np.sum([hot >= threshold, hot >= NECROSIS], axis=0, dtype=np.int64)
    return reached
