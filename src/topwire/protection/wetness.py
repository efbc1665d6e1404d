"""Hours in which leaves are wet, without a sensor, and the spells they make.

An hour is wet while rain falls or the air is at 90 % humidity or more (ONT-SCAB, and common use). Where wind was
measured too, the regression tree of KIM2002 gives a second opinion. Daily weather has no hours: rain is laid into its
day by a rule of our own, and how far that misses was measured (benchmarks/wet_hours.py).
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Booleans = npt.NDArray[np.bool_]

HUMID = 90.0  # [%]
GAP = 8  # [h] a dry gap shorter than this joins two wet spells
RAIN = 0.2  # [mm] of a day that counts as rain on leaves

# A day's rain without its hours: so many wet hours, and more with the rain (fitted to a typical year of hours at
# Greensboro, North Carolina, April to September: benchmarks/wet_hours.py).
LAID_HOURS, LAID_PER_MM, LAID_MOST = 8.0, 0.25, 20.0
ERROR_HOURLY, ERROR_DAILY = (
    2.0,
    6.0,
)  # [h] of a day's wet hours: “an hour or two”; measured likewise on rainy days


def wet_by_humidity(humidity: npt.ArrayLike) -> Booleans:
    """Hours at 90 % or more; False where not known."""
    with np.errstate(invalid="ignore"):
        return np.asarray(np.asarray(humidity, dtype=float) >= HUMID)


CALM = 2.5  # [m/s]
_DRY, _DAMP = 3.7, 87.8  # [K] of dew point depression; [%]
TREE_CALM, TREE_WINDY = 14.4674, 37.0  # thresholds of the regression tree


def tree_value(
    temperature: npt.ArrayLike, dew_point: npt.ArrayLike, humidity: npt.ArrayLike, wind: npt.ArrayLike
) -> Array:
    """How far the regression tree is beyond its threshold: wet where it is above 0; -inf where cut off dry.

    Parameters
    ----------
    temperature, dew_point : [deg C]
    humidity : [%]
    wind : [m/s] at the height of the canopy

    Source: KIM2002 (after GLEASON1994). Humidity is squared in the windy branch: as widely copied, without the square,
    that branch could never say wet.
    """
    air, dew, damp, breeze = (
        np.asarray(one, dtype=float) for one in (temperature, dew_point, humidity, wind)
    )
    depression = air - dew
    root = np.sqrt(np.maximum(air, 0.0))  # no root of frost
    calm = 1.6064 * root + 0.0036 * air**2 + 0.1531 * damp - 0.4599 * breeze * depression
    calm = calm - 0.0035 * air * damp - TREE_CALM
    windy = 0.7921 * root + 0.0046 * damp**2 - 2.3889 * breeze - 0.0390 * air * breeze
    windy = windy + 1.0613 * breeze * depression - TREE_WINDY
    still = breeze < CALM
    cut = (depression >= _DRY) | (~still & (damp < _DAMP))
    return np.where(cut, -np.inf, np.where(still, calm, windy))


def wet_by_tree(
    temperature: npt.ArrayLike, dew_point: npt.ArrayLike, humidity: npt.ArrayLike, wind: npt.ArrayLike
) -> Booleans:
    """Hours the regression tree calls wet, rain aside; see `tree_value`."""
    with np.errstate(invalid="ignore"):
        return np.asarray(tree_value(temperature, dew_point, humidity, wind) > 0)


def laid_rain(rain: npt.ArrayLike) -> Booleans:
    """Hours that a day's rain is taken to keep leaves wet, (days, 24): from midnight on, and up to midnight where it
    goes on raining the next day but did not the day before.

    Parameters
    ----------
    rain : (days,) [mm]; missing counts as none
    """
    fallen = np.nan_to_num(np.asarray(rain, dtype=float))
    wet = fallen >= RAIN
    hours = np.where(wet, np.minimum(LAID_HOURS + LAID_PER_MM * fallen, LAID_MOST), 0.0).round()
    before = np.concatenate([[False], wet[:-1]])
    after = np.concatenate([wet[1:], [False]])
    start = np.where(after & ~before, 24 - hours, 0)[:, None]
    hour = np.arange(24)[None, :]
    return np.asarray((hour >= start) & (hour < start + hours[:, None]))


@dataclass(frozen=True)
class Spell:
    """A wet spell, dry gaps shorter than eight hours bridged.

    Attributes
    ----------
    begin, end : hours since 1 January, 0:00; the end is past the last wet hour
    hours : wet ones
    by_tree : wet ones by the regression tree; None where it could not be asked
    mean, middle : [deg C] of the wet hours, and half way between their lowest and highest
    rain_hours : wet hours with rain, measured or laid
    """

    begin: int
    end: int
    hours: float
    by_tree: float | None
    mean: float
    middle: float
    rain_hours: int

    @property
    def first_day(self) -> int:
        """Index of the day it began."""
        return self.begin // 24

    @property
    def last_day(self) -> int:
        return (self.end - 1) // 24


def spells(
    wet: Booleans, temperature: Array, rained: Booleans, *, by_tree: Booleans | None = None, gap: int = GAP
) -> list[Spell]:
    """Wet spells of all days.

    Parameters
    ----------
    wet, temperature, rained, by_tree : (days, 24)
    gap : [h] dry hours that end a spell
    """
    leaf, air, drops = wet.ravel(), temperature.ravel(), rained.ravel()
    tree = None if by_tree is None else by_tree.ravel()
    at = np.flatnonzero(leaf)
    if not at.size:
        return []
    found = []
    for run in np.split(at, np.flatnonzero(np.diff(at) > gap) + 1):
        hours = air[run]
        span = slice(int(run[0]), int(run[-1]) + 1)
        found.append(
            Spell(
                begin=span.start,
                end=span.stop,
                hours=float(run.size),
                by_tree=None if tree is None else float(tree[span].sum()),
                mean=float(np.nanmean(hours)) if np.isfinite(hours).any() else float("nan"),
                middle=float((np.nanmin(hours) + np.nanmax(hours)) / 2)
                if np.isfinite(hours).any()
                else np.nan,
                rain_hours=int(drops[run].sum()),
            )
        )
    return found
