"""The running sum, beside the recursive filter of SciPy's signal library, which states the same recurrence."""

import numpy as np
import pytest
from scipy.signal import lfilter

from topwire.values.running import running_sum


@pytest.mark.parametrize(("shape", "axis"), [((40,), 0), ((2, 30), -1), ((3, 7, 11), 1), ((3, 7, 11), 2)])
def test_equals_the_recursive_filter_to_the_last_bit(shape: tuple[int, ...], axis: int) -> None:
    values = np.random.default_rng(3).standard_normal(shape)
    np.testing.assert_array_equal(
        running_sum(values, 0.7, axis), lfilter([1.0], [1.0, -0.7], values, axis=axis)
    )
