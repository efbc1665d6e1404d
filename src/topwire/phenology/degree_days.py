"""Degree-days as insects' clocks count them: ways of drawing a day between its two ends, and cut-offs.

Any temperature unit will do, the same throughout; degree-days are then in that unit. Sources: SINE1969 for the sine,
ZALOM1983 for triangle, double ways and cut-offs, MCMASTER1997 for the two means.
"""

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from topwire.phenology.heat import mean_above, share_of_day_above, sine_above
from topwire.values.insect_clock import CutOff, DayCurve

Array = npt.NDArray[np.float64]
Above = Callable[[npt.ArrayLike, npt.ArrayLike, float], Array]


def degree_days(
    tmin: npt.ArrayLike,
    tmax: npt.ArrayLike,
    lower: float,
    upper: float | None = None,
    *,
    curve: DayCurve = DayCurve.SINGLE_SINE,
    cut_off: CutOff = CutOff.HORIZONTAL,
) -> Array:
    """Degree-days of each day.

    Parameters
    ----------
    tmin, tmax : (..., days), tmin <= tmax; consecutive days for the double ways, whose last takes its own lowest again
    lower, upper : thresholds; without an upper one nothing is cut off
    """
    low, high = np.asarray(tmin, dtype=float), np.asarray(tmax, dtype=float)
    if curve in (DayCurve.DOUBLE_SINE, DayCurve.DOUBLE_TRIANGLE):
        single = DayCurve.SINGLE_SINE if curve is DayCurve.DOUBLE_SINE else DayCurve.SINGLE_TRIANGLE
        following = np.concatenate([low[..., 1:], low[..., -1:]], axis=-1)
        halves = [
            degree_days(np.minimum(ends, high), high, lower, upper, curve=single, cut_off=cut_off)
            for ends in (low, following)
        ]
        return np.asarray((halves[0] + halves[1]) / 2.0)
    above, share = _CURVES[curve]
    found = above(low, high, lower)
    if upper is None or cut_off is CutOff.NONE:
        return found
    beyond = above(low, high, upper)
    found = found - (2.0 * beyond if cut_off is CutOff.INTERMEDIATE else beyond)
    if cut_off is CutOff.VERTICAL:
        found = found - (upper - lower) * share(low, high, upper)
    return found


def triangle_above(tmin: npt.ArrayLike, tmax: npt.ArrayLike, base: float) -> Array:
    """Degree-days above `base` under straight lines through minimum and maximum."""
    low, high = np.asarray(tmin, dtype=float), np.asarray(tmax, dtype=float)
    span = np.where(high > low, high - low, 1.0)
    partial = (high - base) ** 2 / (2.0 * span)
    return np.where(low >= base, (low + high) / 2.0 - base, np.where(high <= base, 0.0, partial))


def clipped_mean_above(tmin: npt.ArrayLike, tmax: npt.ArrayLike, base: float) -> Array:
    """Degree-days from the mean of the two ends, each brought up to `base` first."""
    return mean_above(np.maximum(tmin, base), np.maximum(tmax, base), base)


def _triangle_share(tmin: npt.ArrayLike, tmax: npt.ArrayLike, base: float) -> Array:
    """Share of the day above `base` under straight lines."""
    low, high = np.asarray(tmin, dtype=float), np.asarray(tmax, dtype=float)
    span = np.where(high > low, high - low, 1.0)
    return np.where(low >= base, 1.0, np.clip((high - base) / span, 0.0, 1.0))


def _mean_share(tmin: npt.ArrayLike, tmax: npt.ArrayLike, base: float) -> Array:
    """A day's mean is above `base` the whole day or not at all."""
    mean = (np.asarray(tmin, dtype=float) + np.asarray(tmax, dtype=float)) / 2.0
    return np.asarray((mean > base) * 1.0)


def _ends_share(tmin: npt.ArrayLike, tmax: npt.ArrayLike, base: float) -> Array:
    """Each end stands for half the day."""
    return np.asarray(((np.asarray(tmin) > base) * 1.0 + (np.asarray(tmax) > base)) / 2.0)


_CURVES: dict[DayCurve, tuple[Above, Above]] = {
    DayCurve.SINGLE_SINE: (sine_above, share_of_day_above),
    DayCurve.SINGLE_TRIANGLE: (triangle_above, _triangle_share),
    DayCurve.MEAN: (mean_above, _mean_share),
    DayCurve.CLIPPED_MEAN: (clipped_mean_above, _ends_share),
}
