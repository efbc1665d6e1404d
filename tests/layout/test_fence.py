"""A row along a fence: its crop goes by side, height and what the fence lets through, never by a row spacing."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some
from layout.worlds import survey

from topwire.catalogue.model import Catalogue
from topwire.layout.fence import SUNLESS, fence_row, side_light
from topwire.layout.findings import Ground
from topwire.plan.model import Plan
from topwire.values.notice import Severity
from topwire.values.terms import FenceColour, FenceKind, FenceShade

MakePlan = Callable[..., Plan]
BLOCK = {
    "name": "Fence",
    "rectangle": {"length": "9 m", "width": "0.6 m"},
    "row_bearing": 90.0,
    "along_fence": True,
    "tree_spacing": "1 m",
}


def ground(make: MakePlan, catalogue: Catalogue, **block: object) -> Ground:
    return survey(make([BLOCK | block]), catalogue, {}, ())


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    spacing=some.floats(1.5, 8.0),
    side=some.sampled_from(["north", "east", "south", "west"]),
    height=some.floats(1.2, 3.0),
    kind=some.sampled_from(FenceKind),
)
def test_the_crop_depends_on_no_row_spacing(
    make_plan: MakePlan, catalogue: Catalogue, spacing: float, side: str, height: float, kind: FenceKind
) -> None:
    """And goes with height, whatever the fence."""
    fence = {"side": side, "kind": kind.value, "height": f"{height:.3f} m"}
    found = ground(make_plan, catalogue, fence=fence, row_spacing=f"{spacing:.3f} m")
    assert found.ground_per_tree == ground(make_plan, catalogue, fence=fence).ground_per_tree
    taller = ground(make_plan, catalogue, fence=fence | {"height": f"{1.1 * height:.3f} m"})
    assert taller.ground_per_tree >= found.ground_per_tree


@pytest.mark.parametrize("spacing", ["2 m", "choose"])
def test_a_stated_spacing_and_a_chosen_one_give_the_same_crop(
    make_plan: MakePlan, catalogue: Catalogue, spacing: str
) -> None:
    found = ground(make_plan, catalogue, row_spacing=spacing)
    assert found.ground_per_tree == ground(make_plan, catalogue).ground_per_tree


def test_the_crop_depends_on_the_side_and_the_height(make_plan: MakePlan, catalogue: Catalogue) -> None:
    solid = {"kind": "solid"}
    south, north = (
        ground(make_plan, catalogue, fence=solid | {"side": side}).ground_per_tree
        for side in ("south", "north")
    )
    low = ground(make_plan, catalogue, fence=solid | {"side": "south", "height": "1.5 m"}).ground_per_tree
    assert south > 1.3 * north
    assert low < 0.7 * south


def test_a_sunless_side_is_told(make_plan: MakePlan, catalogue: Catalogue) -> None:
    dark = ground(make_plan, catalogue, fence={"side": "north", "kind": "solid"})
    lit = ground(make_plan, catalogue, fence={"side": "south", "kind": "solid"})
    told = {one.code: one.severity for one in dark.notices}
    assert told["ground.fence_side"] is Severity.WARNING
    assert {one.code: one.severity for one in lit.notices}["ground.fence_side"] is Severity.ASSUMPTION


@given(
    latitude=some.floats(30, 60),
    facing=some.floats(0, 359),
    height=some.floats(0.5, 3.5),
    colour=some.sampled_from(FenceColour),
    shade=some.sampled_from(FenceShade),
)
def test_more_light_never_means_less_crop(
    latitude: float, facing: float, height: float, colour: FenceColour, shade: FenceShade
) -> None:
    def width(tall: float, kind: FenceKind, dull: FenceShade) -> float:
        return fence_row(latitude, facing, tall, kind=kind, colour=colour, shade=dull).width

    here = width(height, FenceKind.SOLID, shade)
    assert width(1.2 * height, FenceKind.SOLID, shade) == pytest.approx(1.2 * here)
    assert width(height, FenceKind.SOLID, FenceShade.NONE) >= here - 1e-12
    assert width(height, FenceKind.OPEN, shade) > width(height, FenceKind.SLATTED, shade)


def test_light_on_upright_surfaces_goes_as_tables_of_sunlit_walls_have_it() -> None:
    """At 50 degrees north a south wall gets most in spring and autumn, east and west most in summer, north least
    (order in handbooks on walls and windows, MEMORY)."""
    south, east, north = (side_light(50.0, facing) for facing in (180.0, 90.0, 0.0))
    assert south.autumn > south.spring > south.summer
    assert north.season < SUNLESS < min(south.season, east.season)
    assert east.season == pytest.approx(side_light(50.0, 270.0).season)
    morning, afternoon = (
        side_light(50.0, 180.0, shade) for shade in (FenceShade.MORNING, FenceShade.AFTERNOON)
    )
    assert np.isclose(morning.season, afternoon.season, rtol=0.25)


def test_the_crop_of_a_metre_lies_among_what_gardens_weighed() -> None:
    """Ten cordons along a wall gave 20 kg, 2.7 kg a metre at 0.75 m apart (gardening page, READ); five espaliers on
    20 m of open fence 1.3 m high gave 130 kg in their best year, 6.5 kg a metre (a garden's own account, READ)."""
    mature = 3.0  # [kg/m2] of tree ground, the lower of two published worlds (YIELD-GFG13)
    wall = mature * fence_row(52.0, 180.0, 1.5, kind=FenceKind.SOLID).width
    fence = mature * fence_row(37.0, 180.0, 1.0).width
    assert 2.0 < wall < 4.5
    assert 2.0 < fence < 6.5
