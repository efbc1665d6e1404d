"""Ground through height points: a plane comes out as the plane it is, hollows where they are."""

from typing import Any

import numpy as np
import pytest
from layout.worlds import catalogue, plan, survey, told
from pydantic import ValidationError
from shapely import box

from topwire.layout.findings import Ground
from topwire.layout.path import grid_of
from topwire.layout.surface import Surface, lie_of, pool_depth, profile

BLOCK: dict[str, Any] = {
    "name": "South",
    "rectangle": {"length": "100 m", "width": "30 m"},
    "row_bearing": 20.0,
    "tree_spacing": "1 m",
    "row_spacing": "3.5 m",
}


def ground_of(heights: list[tuple[float, float, float]] | None = None, **more: Any) -> Ground:
    ground = {} if heights is None else {"heights": [[f"{value} m" for value in point] for point in heights]}
    return survey(plan([BLOCK | more], ground=ground), catalogue())


def test_three_points_are_the_plane_through_them() -> None:
    """8 % down to 150 degrees, once stated and once measured."""
    stated = ground_of(slope="8 %", slope_bearing=150.0)
    turn = np.radians(150.0)
    points = [(x, y, -0.08 * (x * np.sin(turn) + y * np.cos(turn))) for x, y in ((0, 0), (60, 0), (10, 90))]
    measured = ground_of(points)
    block, same = stated.blocks[0], measured.blocks[0]
    assert same.slope == pytest.approx(0.08, abs=1e-6)
    assert same.slope_bearing == pytest.approx(150.0, abs=1e-3)
    assert [row.places for row in same.rows] == [row.places for row in block.rows]
    for ours, theirs in ((measured.x, stated.x), (measured.y, stated.y), (measured.height, stated.height)):
        np.testing.assert_allclose(ours, theirs, atol=2e-4)


def test_the_surface_goes_through_its_points_and_between_them() -> None:
    random = np.random.default_rng(5)
    points = np.column_stack([random.uniform(0, 100, (12, 2)), random.uniform(0, 6, 12)])
    surface = Surface(points)
    np.testing.assert_allclose(surface.height(points[:, 0], points[:, 1]), points[:, 2], atol=1e-6)
    lie = lie_of(
        Surface(np.array([[0, 0, 0.0], [100, 0, 5], [0, 100, 0], [100, 100, 5]])), box(0, 0, 100, 100)
    )
    assert (lie.slope, lie.bearing) == (pytest.approx(0.05), pytest.approx(270.0))
    assert lie.off < 1e-6


def test_a_row_is_as_long_along_the_ground_as_its_card_says() -> None:
    bowl = [(x, y, 0.002 * (x - 40) ** 2 + 0.03 * y) for x in (-20, 20, 40, 60, 100) for y in (-30, 40, 110)]
    ground = ground_of(bowl, row_bearing=90.0, rectangle={"length": "90 m", "width": "40 m"})
    surface = Surface(ground.height_points)
    for row in ground.blocks[0].rows:
        line = profile(surface, row.start, row.end)
        assert line.ground[-1] == pytest.approx(row.length, abs=0.02)
        assert line.height[0] == pytest.approx(row.start_height, abs=1e-6)
        assert line.height[-1] == pytest.approx(row.end_height, abs=1e-6)
    line, step = grid_of(ground)
    assert len(set(zip(line.tolist(), step.tolist(), strict=True))) == ground.capacity
    np.testing.assert_allclose(ground.height, surface.height(ground.x, ground.y))
    assert any("dips up to" in said for said in told(ground.notices))


def test_cold_air_stays_in_a_bowl_and_leaves_a_slope() -> None:
    """A cone set into level ground fills to its rim; a plane, and a valley open at one end, hold nothing."""
    x, y = (grid.ravel() for grid in np.meshgrid(np.arange(0, 101, 10.0), np.arange(0, 101, 10.0)))
    away = np.hypot(x - 50, y - 50)
    bowl = np.column_stack([x, y, np.minimum(away / 10, 3.0)])
    ground = box(0, 0, 100, 100)
    depth = pool_depth(Surface(bowl), ground, np.array([50.0, 50.0, 5.0]), np.array([50.0, 65.0, 5.0]))
    assert depth[0] == pytest.approx(3.0, abs=0.25)
    assert depth[1] == pytest.approx(1.5, abs=0.25)
    assert depth[2] < 0.1
    for height in (0.05 * x, 0.02 * y + 0.002 * (x - 50) ** 2):
        held = pool_depth(Surface(np.column_stack([x, y, height])), ground, x[10:], y[10:])
        assert held.max() < 0.05


def test_a_cold_hollow_is_told_with_its_rows() -> None:
    points = [(x, y, 6.0) for x in (-10, 20, 50, 80) for y in (-30, 40, 110)] + [(33.0, 45.0, 3.0)]
    ground = ground_of(points)
    said = [line for line in told(ground.notices) if "cold air does not leave" in line]
    assert len(said) == 1
    assert "South" in said[0]
    assert ground.pool_depth.max() > 1.0


@pytest.mark.parametrize(
    "heights",
    [[[0, 0, 0], [10, 0, 1]], [[0, 0, 0], [10, 10, 1], [20, 20, 2]], [[0, 0, 0], [9, 0, 1], [9, 0, 2]]],
)
def test_points_that_make_no_surface_are_a_fault(heights: list[list[float]]) -> None:
    with pytest.raises(ValidationError, match="not in one line"):
        ground_of([tuple(point) for point in heights])  # type: ignore[misc]
