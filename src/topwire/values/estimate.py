"""A figure over weather years: low, middle and high."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt


@dataclass(frozen=True)
class Estimate:
    """10th, 50th and 90th percentile over the weather years; all in the unit the holder states."""

    low: float
    middle: float
    high: float


def estimate(values: npt.ArrayLike) -> Estimate | None:
    """Estimate over all finite entries of `values`; None where there is none."""
    array = np.asarray(values, dtype=float)
    finite = array[np.isfinite(array)]
    if finite.size == 0:
        return None
    low, middle, high = np.percentile(finite, [10, 50, 90])
    return Estimate(float(low), float(middle), float(high))
