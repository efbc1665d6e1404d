"""Degrees to metres and back."""

import numpy as np
import pyproj
import pytest
from hypothesis import given
from hypothesis import strategies as st

from topwire.layout.projection import to_degrees, to_metres, world_grid

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


@pytest.mark.parametrize(
    "origin", [(-78.16, 39.18), (179.99, 50.0), (6.1, 47.3), (7.5, 60.2), (-179.99, 12.0)]
)
def test_the_world_grid_is_that_of_proj(origin: tuple[float, float]) -> None:
    """Beside the PROJ library's own zones."""
    longitude, latitude = (
        origin[0] + np.array([-0.004, 0.0, 0.006]),
        origin[1] + np.array([0.003, 0.0, -0.002]),
    )
    found = world_grid(longitude, latitude, origin=origin)
    wanted = pyproj.Proj(proj="utm", zone=found.zone, ellps="WGS84")(longitude, latitude)
    np.testing.assert_allclose((found.east, found.north), wanted, atol=0.002)
    official = pyproj.database.query_utm_crs_info("WGS 84", pyproj.aoi.AreaOfInterest(*origin, *origin))
    assert official[0].name.endswith(f"{found.zone}N")


def test_the_180th_meridian_is_no_edge_of_the_world() -> None:
    east, _ = to_metres(-179.999, 50.0, origin=(179.999, 50.0))
    assert 100 < float(east) < 200
    longitude, latitude = to_degrees(east, 0.0, origin=(179.999, 50.0))
    assert float(longitude) == pytest.approx(-179.999, abs=1e-9)
    assert float(latitude) == pytest.approx(50.0, abs=1e-6)
