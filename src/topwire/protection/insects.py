"""Insects' clocks: when warmth has come to what an event wants, and how far a population is.

Thresholds, curve, cut-off and start belong together and stand in the table `insect_clocks`.
"""

from dataclasses import dataclass
from typing import Annotated

import numpy as np
import numpy.typing as npt

from topwire.phenology.degree_days import degree_days
from topwire.values.insect_clock import ClockStart, CutOff, DayCurve
from topwire.values.quantities import Celsius
from topwire.values.units import Kind

Array = npt.NDArray[np.float64]
HeatSum = Annotated[float, Kind.HEAT]

# Share of the first generation's eggs hatched: our own curve through two remembered points, 12 % at 340 and 80 % at 640
# F d after the first catch, held against the end of hatch at 920 (INTERMOUNTAIN). Authors differ by a week and more.
HATCH_BEGINS, HATCH_SCALE, HATCH_SHAPE = 220.0, 332.0, 2.02  # [F d], [F d]
MAGGOT_BASE, MAGGOT_MEAN, MAGGOT_PARTS = 6.7, 1180.0, 65.0  # [deg C], [K d] from 1 March (JONES1989)
FLIGHT_DAY, FLIGHT_DAYS = 20.0, 3  # [deg C] of a day's high, and so many of them (AGNELLO2015)


@dataclass(frozen=True)
class InsectEvent:
    """What happens at a sum of warmth, early and late; `action` as the table says it."""

    event: str
    low: HeatSum
    high: HeatSum
    danger: str
    action: str
    source: str


@dataclass(frozen=True)
class InsectClock:
    """How one insect's warmth is counted.

    Attributes
    ----------
    first_low, first_high : from 1 January to the first catch, where nobody caught any; None where not known
    """

    insect: str
    lower: Celsius
    upper: Celsius | None
    curve: DayCurve
    cut_off: CutOff
    starts: ClockStart
    first_low: HeatSum | None
    first_high: HeatSum | None
    region: str
    events: tuple[InsectEvent, ...]


def warmth(clock: InsectClock, tmin: npt.ArrayLike, tmax: npt.ArrayLike) -> Array:
    """Degree-days of each day on the clock [K d]; (..., days)."""
    return degree_days(tmin, tmax, clock.lower, clock.upper, curve=clock.curve, cut_off=clock.cut_off)


def day_reached(daily: Array, start: int, total: float) -> Array:
    """Index of the day on which the sum since `start`, that day counted, comes to `total`; NaN where it does not.

    Parameters
    ----------
    daily : (years, days) [K d]
    """
    running = np.cumsum(daily[:, start:], axis=1)
    met = running >= total - 1e-9
    return np.where(met.any(axis=1), start + np.argmax(met, axis=1), np.nan)


def progress(event: InsectEvent, total: float) -> int:
    """Whether at a sum of warmth [K d] an event is to come (0), under way (1) or over (2)."""
    return int(total >= event.low - 1e-9) + int(total > event.high + 1e-9)


def hatched(total: npt.ArrayLike) -> Array:
    """Share of the codling moth's first generation hatched.

    Parameters
    ----------
    total : [K d] since the first catch
    """
    beyond = np.maximum(np.asarray(total, dtype=float) * 1.8 - HATCH_BEGINS, 0.0) / HATCH_SCALE
    return np.asarray(1.0 - np.exp(-(beyond**HATCH_SHAPE)))


def maggots_out(total: npt.ArrayLike) -> Array:
    """Share of apple maggot flies that have emerged.

    Parameters
    ----------
    total : [K d] above MAGGOT_BASE since 1 March

    Source: JONES1989 (Utah), an Erlang distribution.
    """
    from scipy.special import gammainc  # late: what was found is read without a sum

    share: Array = np.asarray(
        gammainc(MAGGOT_PARTS, np.maximum(np.asarray(total, dtype=float), 0.0) / (MAGGOT_MEAN / MAGGOT_PARTS))
    )
    return share


def warm_days(tmax: npt.ArrayLike) -> npt.NDArray[np.int64]:
    """Days so far with a high at which black stem borers fly, (days,). Source: AGNELLO2015.

    Parameters
    ----------
    tmax : (days,) [deg C] from 1 March
    """
    with np.errstate(invalid="ignore"):
        counted: npt.NDArray[np.int64] = np.cumsum(np.asarray(tmax, dtype=float) >= FLIGHT_DAY)
    return counted
