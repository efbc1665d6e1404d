"""The ground against libraries and tables outside the project."""

import numpy as np
import pyproj
import pytest

from topwire.layout.polygons import rectangle
from topwire.layout.projection import to_degrees, to_metres
from topwire.layout.rows import Fit, fit_rows


@pytest.mark.parametrize(
    "origin", [(-78.16, 39.18), (-77.93, 40.71), (13.4, 52.5), (179.99, 1.0), (20.0, 65.9)]
)
def test_metres_agree_with_the_projection_library(origin: tuple[float, float]) -> None:
    """PROJ through pyproj: transverse Mercator true to scale at the origin, WGS 84; 0.1 mm within 5 km."""
    proj = pyproj.Proj(proj="tmerc", lon_0=origin[0], lat_0=origin[1], k=1, ellps="WGS84")
    random = np.random.default_rng(0)
    longitude = origin[0] + random.uniform(-0.05, 0.05, 200)
    latitude = origin[1] + random.uniform(-0.04, 0.04, 200)
    ours = to_metres(longitude, latitude, origin=origin)
    np.testing.assert_allclose(ours, proj(longitude, latitude), atol=1e-4)
    back = to_degrees(*ours, origin=origin)
    east = (longitude + 180) % 360 - 180  # beyond the 180th meridian degrees go on from the other side
    np.testing.assert_allclose(back, (east, latitude), atol=1e-9)


def test_distances_on_the_map_are_geodesics_on_the_ground() -> None:
    """Geodesic lengths by Karney's method in PROJ: 1 mm on 2 km."""
    origin = (-78.16, 39.18)
    geod = pyproj.Geod(ellps="WGS84")
    random = np.random.default_rng(1)
    lon, lat = origin[0] + random.uniform(-0.02, 0.02, 100), origin[1] + random.uniform(-0.015, 0.015, 100)
    _, _, length = geod.inv(lon[:50], lat[:50], lon[50:], lat[50:])
    east, north = to_metres(lon, lat, origin=origin)
    ours = np.hypot(east[:50] - east[50:], north[:50] - north[50:])
    np.testing.assert_allclose(ours, length, rtol=2e-7, atol=1e-3)


def test_gross_density_of_extension_tables_is_the_limit_of_large_ground() -> None:
    """PSU-SITE, table 1-1: trees an acre at 3 ft by 11 ft; margins cost the fewer the larger the ground."""
    foot, acre = 0.3048, 4046.8564224
    how = Fit(0.0, 11 * foot, 3 * foot, headland=1.5 * foot, margin=5.5 * foot)
    side = 1100 * foot  # rows and trees fill it but for a part of a spacing
    rows = fit_rows(rectangle(side, side, bearing=0), how, first_corner=(0, 0), start=(0, 0))
    trees = sum(row.places for row in rows)
    assert trees / (side * side / acre) == pytest.approx(1320, rel=0.003)
