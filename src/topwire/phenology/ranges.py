"""Low, middle and high of dates that are not exactly known: the weather's spread and the model's own error together."""

from functools import cache

import numpy as np
import numpy.typing as npt

from topwire.values.estimate import Estimate, estimate

# Middles of equally likely parts of the normal distribution: what is not known, drawn evenly and so without a seed.
_PARTS = 25


@cache
def _scores() -> npt.NDArray[np.float64]:
    from scipy.special import ndtri  # late: what was found is read without a sum

    return np.asarray(ndtri((np.arange(_PARTS) + 0.5) / _PARTS))


def range_of(dates: npt.ArrayLike, error: float) -> Estimate | None:
    """10th, 50th and 90th percentile of a date over weather years and over the model's error.

    Parameters
    ----------
    dates : (years,) day of the year; NaN = no date
    error : [d] one standard deviation of the model's own, independent of the year
    """
    days = np.asarray(dates, dtype=float)
    return estimate(days[:, np.newaxis] + error * _scores())


def ranges_of(dates: npt.ArrayLike, errors: npt.ArrayLike) -> npt.NDArray[np.float64]:
    """The same of many cultivars at once, number for number.

    Parameters
    ----------
    dates : (years, cultivars) day of the year; NaN = no date
    errors : (cultivars,) [d] one standard deviation of the model's own

    Returns
    -------
    (3, cultivars) low, middle, high; NaN where there is no date
    """
    days, spread = np.asarray(dates, dtype=float), np.asarray(errors, dtype=float)
    both, first, back = np.unique(
        np.vstack([np.nan_to_num(days, nan=np.inf), spread]), axis=1, return_index=True, return_inverse=True
    )
    few = np.isfinite(both[:-1])
    found = np.full((3, first.size), np.nan)
    patterns, of_pattern = np.unique(few, axis=1, return_inverse=True)
    for at in range(patterns.shape[1]):
        some = patterns[:, at]
        alike = np.flatnonzero(of_pattern.ravel() == at)
        if some.any():
            drawn = days[some][:, np.newaxis, first[alike]] + spread[first[alike]] * _scores()[:, np.newaxis]
            found[:, alike] = np.percentile(drawn.reshape(-1, alike.size), [10, 50, 90], axis=0)
    wide: npt.NDArray[np.float64] = np.take(found, back.ravel(), axis=1)
    return wide
