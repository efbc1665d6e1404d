"""Low, middle and high of dates that are not exactly known: the weather's spread and the model's own error together."""

import numpy as np
import numpy.typing as npt
from scipy.special import ndtri

from topwire.values.estimate import Estimate, estimate

# Middles of equally likely parts of the normal distribution: what is not known, drawn evenly and so without a seed.
_PARTS = 25
_SCORES = ndtri((np.arange(_PARTS) + 0.5) / _PARTS)


def range_of(dates: npt.ArrayLike, error: float) -> Estimate | None:
    """10th, 50th and 90th percentile of a date over weather years and over the model's error.

    Parameters
    ----------
    dates : (years,) day of the year; NaN = no date
    error : [d] one standard deviation of the model's own, independent of the year
    """
    days = np.asarray(dates, dtype=float)
    return estimate(days[:, np.newaxis] + error * _SCORES)
