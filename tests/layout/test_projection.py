"""Degrees to metres and back."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from topwire.layout.projection import to_degrees, to_metres

near = st.floats(-0.03, 0.03)


@given(st.floats(-170, 170), st.floats(1, 65), near, near)
def test_there_and_back(longitude: float, latitude: float, step_east: float, step_north: float) -> None:
    origin = (longitude, latitude)
    east, north = to_metres(longitude + step_east, latitude + step_north, origin=origin)
    back = to_degrees(east, north, origin=origin)
    np.testing.assert_allclose(back, (longitude + step_east, latitude + step_north), atol=1e-9)


def test_the_origin_is_zero_and_east_is_positive() -> None:
    assert np.allclose(to_metres(-78.0, 39.0, origin=(-78.0, 39.0)), 0.0)
    east, north = to_metres(-77.99, 39.01, origin=(-78.0, 39.0))
    assert east > 0
    assert north > 0


def test_arrays_and_single_points_agree() -> None:
    lon, lat = np.array([-78.01, -77.99]), np.array([39.0, 39.02])
    both = to_metres(lon, lat, origin=(-78.0, 39.0))
    single = [to_metres(a, b, origin=(-78.0, 39.0)) for a, b in zip(lon, lat, strict=True)]
    np.testing.assert_array_equal(np.transpose(both), single)
