"""Outlines good and bad."""

import json
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon

from topwire.layout.polygons import (
    FlawKind,
    directions,
    from_corners,
    from_geojson,
    long_axis,
    rectangle,
    sound,
)
from topwire.plan.outline import outline_of
from topwire.values.notice import Measured
from topwire.values.units import Kind

ORIGIN = (-78.0, 39.0)


def feature(*rings: Any, **members: Any) -> dict[str, Any]:
    return {"type": "Feature", "geometry": {"type": "Polygon", "coordinates": list(rings)}} | members


def test_a_square_keeps_its_area() -> None:
    shape = from_corners([(0, 0), (10, 0), (10, 10), (0, 10)])
    assert shape.area == pytest.approx(100)
    assert not shape.wrong
    assert not shape.mended


@pytest.mark.parametrize(
    ("corners", "says"),
    [
        ([(0, 0), (10, 10), (10, 0), (0, 10)], "crosses"),
        ([(0, 0), (1, 1)], "few_corners"),
        ([(0, 0), (0, 0), (5, 5), (5, 5)], "few_corners"),
        ([(0, 0), (5, 5), (10, 10)], "unclean|no_ground|few_corners|crosses"),
        ([(0, 0), (0.5, 0), (0.5, 0.5), (0, 0.5)], "no_ground"),
        ([(0, 0), (100, 0), (100, 0.05), (0, 0.05)], "no_ground"),
        ([(0, 0), (float("nan"), 0), (1, 1)], "not_numbers"),
    ],
)
def test_outlines_that_cannot_be_used_say_why(corners: list[tuple[float, float]], says: str) -> None:
    shape = from_corners(corners)
    assert not shape.polygons
    assert any(flaw.kind in says.split("|") for flaw in shape.wrong)


def test_closing_the_ring_again_is_allowed() -> None:
    assert from_corners([(0, 0), (9, 0), (9, 9), (0, 0)]).area == pytest.approx(40.5)


def test_slivers_are_left_out_and_told() -> None:
    shape = sound(
        [Polygon([(0, 0), (50, 0), (50, 50), (0, 50)]), Polygon([(60, 0), (60.1, 0), (60.1, 50), (60, 50)])]
    )
    assert len(shape.polygons) == 1
    assert shape.mended[0].kind is FlawKind.SLIVER


def test_overlapping_parts_are_joined() -> None:
    shape = sound(
        [Polygon([(0, 0), (10, 0), (10, 10), (0, 10)]), Polygon([(5, 0), (15, 0), (15, 10), (5, 10)])]
    )
    assert len(shape.polygons) == 1
    assert shape.area == pytest.approx(150)


def test_holes_and_parts_of_geojson_are_kept() -> None:
    document = {
        "type": "FeatureCollection",
        "units": "metres",
        "features": [
            feature(
                [[0, 0], [50, 0], [50, 50], [0, 50], [0, 0]],
                [[20, 20], [30, 20], [30, 30], [20, 30], [20, 20]],
            ),
            feature([[100, 0], [120, 0], [120, 20], [100, 20], [100, 0]]),
            {"type": "Feature", "geometry": {"type": "Point", "coordinates": [1, 1]}},
        ],
    }
    shape = from_geojson(document, origin=ORIGIN)
    assert [round(part.area) for part in shape.polygons] == [2400, 400]
    assert len(shape.polygons[0].interiors) == 1


def test_degrees_become_metres() -> None:
    side = 0.001
    ring = [[-78, 39], [-78 + side, 39], [-78 + side, 39 + side], [-78, 39 + side], [-78, 39]]
    shape = from_geojson(feature(ring), origin=ORIGIN)
    # one minute of latitude is about 1,850 m: 0.001 degrees 111 m, of longitude 111 m x cos(39 deg)
    assert shape.area == pytest.approx(111.0 * 86.5, rel=0.01)


@pytest.mark.parametrize(
    ("document", "says"),
    [
        (feature([[39, -78], [39.001, -78], [39.001, -77.999], [39, -78]]), "swapped"),
        (feature([[500, 10], [600, 10], [600, 80], [500, 10]]), "not_degrees"),
        (feature([[10, 10], [10.001, 10], [10.001, 10.001], [10, 10]]), "far_away"),
        ({"type": "Feature", "geometry": None}, "no_polygon"),
        ({"type": "Square"}, "no_type"),
        (feature([["a", "b"]]), "coordinates"),
        ([1, 2], "no_object"),
        (feature([[0, 0]], units="yards"), "units"),
        ({"type": "Polygon", "coordinates": 5}, "coordinates"),
        (feature([[0, 0], [float("nan"), 1], [1, 1]], units="m") | {"units": "m"}, "not_numbers"),
    ],
)
def test_documents_that_cannot_be_used_say_why(document: Any, says: str) -> None:
    shape = from_geojson(document, origin=ORIGIN)
    assert not shape.polygons
    assert says in [flaw.kind for flaw in shape.wrong]


def test_a_crossing_in_a_file_is_mended_and_told() -> None:
    ring = [[0, 0], [10, 10], [10, 0], [0, 10], [0, 0]]
    shape = from_geojson(feature(ring) | {"units": "m"}, origin=ORIGIN)
    assert shape.area == pytest.approx(50)
    assert shape.mended[0].kind is FlawKind.CROSSING_MENDED
    assert dict(shape.mended[0].facts) == {
        "east": Measured(5.0, Kind.LENGTH),
        "north": Measured(5.0, Kind.LENGTH),
    }


@pytest.mark.parametrize("bearing", [0.0, 33.0, 90.0, 217.0])
def test_a_rectangle_lies_along_its_bearing(bearing: float) -> None:
    made = rectangle(80, 30, bearing=bearing)
    assert made.area == pytest.approx(2400)
    assert long_axis(made) == pytest.approx(bearing % 180, abs=1e-6)
    along, right = directions(bearing)
    assert np.dot(along, right) == pytest.approx(0, abs=1e-12)


number = st.floats(-200, 200, allow_nan=False)


@given(st.lists(st.tuples(number, number), max_size=12))
def test_no_drawing_is_too_bad_to_be_answered(corners: list[tuple[float, float]]) -> None:
    shape = from_corners(corners)
    assert bool(shape.polygons) != bool(shape.wrong)
    assert all(part.is_valid and part.area >= 1.0 for part in shape.polygons)
    document = {"type": "Polygon", "units": "m", "coordinates": [[list(corner) for corner in corners]]}
    mended = from_geojson(document, origin=ORIGIN)
    assert mended.polygons or mended.wrong
    assert all(part.is_valid and part.area >= 1.0 for part in mended.polygons)


@pytest.mark.parametrize("longitude", [179.9999, -179.9999])
@pytest.mark.parametrize("cut", [False, True])
def test_an_outline_across_the_180th_meridian_is_one_piece(longitude: float, cut: bool) -> None:
    """Drawn across it, or cut there as RFC 7946, section 3.1.9, asks."""

    def ring(west: float, east: float) -> list[list[float]]:
        return [[west, 40.0], [east, 40.0], [east, 40.001], [west, 40.001], [west, 40.0]]

    document = {"type": "Polygon", "coordinates": [ring(179.9995, -179.999)]}
    if cut:
        document = {
            "type": "MultiPolygon",
            "coordinates": [[ring(179.9995, 180.0)], [ring(-180.0, -179.999)]],
        }
    shape = from_geojson(document, origin=(longitude, 40.0))
    assert not shape.wrong
    assert len(shape.polygons) == 1
    assert shape.area == pytest.approx(128.1 * 111.0, rel=0.01)  # 0.0015 by 0.001 degrees
    _, faults, area = outline_of(json.dumps(document), "plan.yaml", "x.geojson", (longitude, 40.0))
    assert not faults
    assert area == pytest.approx(shape.area, rel=0.01)
