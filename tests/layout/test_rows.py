"""Rows in any ground: no tree outside, on an obstacle, or nearer than its spacing; numbers that stay."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from layout.worlds import stray_places
from scipy.spatial.distance import pdist
from shapely import MultiPolygon, Point, Polygon, union_all
from shapely.geometry.base import BaseGeometry

from topwire.layout.polygons import rectangle, sound
from topwire.layout.rows import Fit, FittedRow, fit_rows


def places_of(row: FittedRow) -> np.ndarray:  # type: ignore[type-arg]
    """Tree places of a row, (places, 2) metres east and north, from place 1."""
    share = np.linspace(0.0, 1.0, row.places)[:, None]
    return np.asarray(row.first) * (1 - share) + np.asarray(row.last) * share


def plain(**changes: float) -> Fit:
    values = {"bearing": 0.0, "row_spacing": 3.5, "tree_spacing": 0.9, "headland": 8.0, "margin": 2.0}
    return Fit(**(values | changes))  # type: ignore[arg-type]


def fit(ground: BaseGeometry, how: Fit, **more: object) -> tuple[np.ndarray, tuple]:  # type: ignore[type-arg]
    rows = fit_rows(ground, how, first_corner=(0, 0), start=(0, 0), **more)  # type: ignore[arg-type]
    points = np.concatenate([places_of(row) for row in rows]) if rows else np.empty((0, 2))
    return points, rows


def test_a_rectangle_holds_what_the_formula_says() -> None:
    points, rows = fit(rectangle(120, 80, bearing=0), plain())
    assert len(rows) == 22
    assert {row.places for row in rows} == {116}
    assert len(points) == 2552


@st.composite
def grounds(draw: st.DrawFn) -> BaseGeometry:
    """Stars, concave and multi-part shapes, with holes, some of them degenerate."""
    parts = []
    for _ in range(draw(st.integers(1, 3))):
        centre = np.array([draw(st.floats(-60, 60)), draw(st.floats(-60, 60))])
        count = draw(st.integers(3, 10))
        radii = np.array([draw(st.floats(0.5, 70)) for _ in range(count)])
        turns = np.linspace(0, 2 * np.pi, count, endpoint=False)
        ring = centre + radii[:, None] * np.stack([np.cos(turns), np.sin(turns)], axis=1)
        parts.append(Polygon(ring))
    shape = sound(parts)
    ground: BaseGeometry = (
        MultiPolygon(list(shape.polygons)) if len(shape.polygons) != 1 else shape.polygons[0]
    )
    for _ in range(draw(st.integers(0, 2))):
        hole = Point(draw(st.floats(-50, 50)), draw(st.floats(-50, 50))).buffer(draw(st.floats(0.1, 15)))
        ground = ground.difference(hole)
    return ground


@given(
    grounds(),
    st.floats(0, 360),
    st.floats(0.4, 3.0),
    st.floats(0.0, 10.0),
    st.floats(0.0, 4.0),
    st.booleans(),
)
@settings(max_examples=150, deadline=None)
def test_no_tree_strays(
    ground: BaseGeometry, bearing: float, spacing: float, headland: float, margin: float, pond: bool
) -> None:
    how = plain(bearing=bearing, tree_spacing=spacing, headland=headland, margin=margin, clearance=1.4)
    obstacles = union_all([Point(5, 5).buffer(6), Point(-30, 10).buffer(3)]) if pond else None
    points, rows = fit(ground, how, obstacles=obstacles)
    if not len(points):
        return
    assert not stray_places(points, ground, obstacles).any()
    if len(points) > 1:
        assert pdist(points[:1500]).min() >= min(spacing, how.row_spacing) - 1e-6
    assert [row.number for row in rows] == list(range(1, len(rows) + 1))
    if obstacles is not None:
        away = min(obstacles.distance(Point(point)) for point in points[:: max(1, len(points) // 200)])
        assert away >= 1.4 - 1e-3


@given(grounds(), st.floats(0, 360), st.floats(2.0, 9.0), st.floats(0.5, 3.0))
@settings(max_examples=60, deadline=None)
def test_headland_and_margin_are_kept(
    ground: BaseGeometry, bearing: float, headland: float, margin: float
) -> None:
    points, _ = fit(ground, plain(bearing=bearing, headland=headland, margin=margin))
    outside = ground.envelope.buffer(30).difference(ground)
    for x, y in points[:: max(1, len(points) // 60)]:
        around = rectangle(2 * headland, 2 * margin, bearing=bearing)
        box = Polygon(np.asarray(around.exterior.coords) - np.asarray(around.centroid.coords)[0] + (x, y))
        assert box.buffer(-0.01).intersection(outside).area < 1e-6


@pytest.mark.parametrize("bearing", [0.0, 25.0, 90.0, 140.0])
def test_ground_added_on_the_far_side_renames_nothing(bearing: float) -> None:
    before = rectangle(100, 40, bearing=bearing)
    _, old = fit(before, plain(bearing=bearing))
    for length, width in ((100, 60), (140, 40), (140, 60)):
        _, new = fit(rectangle(length, width, bearing=bearing), plain(bearing=bearing))
        assert len(new) >= len(old)
        for row, same in zip(old, new, strict=False):
            old_places, new_places = places_of(row), places_of(same)
            assert len(new_places) >= len(old_places)
            np.testing.assert_allclose(new_places[: len(old_places)], old_places, atol=1e-6)


def test_place_one_is_at_the_gate_end() -> None:
    ground = rectangle(100, 30, bearing=0)
    near = fit_rows(ground, plain(), first_corner=(0, 0), start=(0, 0))
    far = fit_rows(ground, plain(), first_corner=(0, 0), start=(15, 110))
    assert near[0].first[1] < near[0].last[1]
    assert far[0].first[1] > far[0].last[1]
    right = fit_rows(ground, plain(), first_corner=(30, 0), start=(0, 0))
    assert right[0].first[0] > right[-1].first[0]


def test_a_pond_breaks_a_row_in_two() -> None:
    ground = rectangle(120, 20, bearing=0)
    pond = Point(10, 60).buffer(8)
    points, rows = fit(ground, plain(), obstacles=pond)
    assert len(rows) > len({row.line for row in rows})
    assert not stray_places(points, ground, pond).any()


def test_a_grazed_obstacle_keeps_the_pieces_a_spacing_apart() -> None:
    how = plain(tree_spacing=3.0, clearance=1.5)
    for offset in np.linspace(-1.6, 1.6, 9):
        pond = Point(5.5 + offset, 60).buffer(1.5, quad_segs=32)
        points, _ = fit(rectangle(120, 20, bearing=0), how, obstacles=pond)
        assert pdist(points).min() >= 3.0 - 1e-6


def test_one_row_along_a_fence() -> None:
    points, rows = fit(
        rectangle(24 * 0.3048, 0.6, bearing=90), plain(bearing=90.0, headland=0.0, margin=0.0, tree_spacing=3 * 0.3048),
        one_row=True,
    )  # fmt: skip
    assert len(rows) == 1
    assert len(points) == 8


@pytest.mark.parametrize("ground", [Polygon(), rectangle(3, 0.3, bearing=10)])
def test_no_ground_no_rows(ground: Polygon) -> None:
    if ground.is_empty:
        with_margin = ground
        assert fit_rows(with_margin, plain(), first_corner=(0, 0), start=(0, 0)) == ()
    else:
        assert fit(ground, plain())[1] == ()
