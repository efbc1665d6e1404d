"""The sun: limits, symmetry, and the two ways to a day's radiation."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.weather.radiation import clear_sky_radiation, clearness, radiation_from_range
from topwire.weather.sun import day_length, extraterrestrial_radiation, sunset_angle

DAYS = np.arange(1, 366)


def test_polar_day_and_night() -> None:
    assert day_length(80, 172) == 24
    assert day_length(80, 355) == 0
    assert extraterrestrial_radiation(80, 355) == pytest.approx(0, abs=1e-9)


@given(st.floats(0, 60), st.integers(1, 365))
@settings(max_examples=60, deadline=None)
def test_refraction_only_lengthens_the_day(latitude: float, day: int) -> None:
    # the two series of the declination differ by up to half a degree, a minute or two of day near the equator
    assert day_length(latitude, day) > 24 / np.pi * sunset_angle(latitude, day) - 0.05


def test_arrays_and_numbers_agree() -> None:
    together = extraterrestrial_radiation(45.0, DAYS)
    assert together.shape == (365,)
    assert together[171] == extraterrestrial_radiation(45.0, 172)


def test_radiation_from_range_never_passes_the_clear_sky() -> None:
    top = extraterrestrial_radiation(40.0, DAYS)
    estimated = radiation_from_range(np.zeros(365), np.full(365, 40.0), top)
    assert (estimated <= clear_sky_radiation(top, 0.0) + 1e-9).all()
    assert radiation_from_range(10.0, 5.0, 30.0) == 0  # swapped ends give no negative root


def test_clearness_is_kept_within_its_data() -> None:
    np.testing.assert_allclose(clearness([0.0, 10.0, 40.0], [30.0, 20.0, 30.0]), [0.3, 0.5, 1.0])
