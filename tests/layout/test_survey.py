"""The surveyed ground: places, addresses, standing trees, what is told."""

from collections.abc import Callable

import numpy as np
import pytest
from layout.worlds import stray_places, survey, told
from pydantic import TypeAdapter
from shapely import Polygon

from topwire.catalogue.model import Catalogue
from topwire.layout.findings import Ground
from topwire.plan.model import Plan
from topwire.plan.standing import StandingTree
from topwire.values.notice import CannotAnswer

MakePlan = Callable[..., Plan]
FIELD = {"name": "South", "rectangle": {"length": "100 m", "width": "40 m"}, "row_bearing": 0.0}
STATED = {"tree_spacing": "1 m", "row_spacing": "3.5 m"}


def tree(row: int, place: int, cultivar: str = "Gala") -> StandingTree:
    return StandingTree(cultivar, "M.9 NAKBT337", "South", row, place, 2018)


def test_places_follow_from_the_formula(make_plan: MakePlan, catalogue: Catalogue) -> None:
    ground = survey(make_plan([FIELD | STATED]), catalogue, {}, ())
    rows = ground.blocks[0].rows
    assert len(rows) == 11  # (40 - 2 x 2) / 3.5 + 1
    assert {row.places for row in rows} == {87}  # (100 - 2 x 7) / 1 + 1
    assert ground.capacity == sum(row.places for row in rows)
    assert str(ground.address(0)) == "South 1, tree 1"
    assert rows[0].length == pytest.approx(87.0)
    assert [row.outer for row in rows] == [True, True, *[False] * 7, True, True]


def test_trees_stand_on_the_line_between_the_posts(make_plan: MakePlan, catalogue: Catalogue) -> None:
    block = FIELD | STATED | {"row_bearing": 37.0, "slope": "12 %", "slope_bearing": 80.0}
    ground = survey(make_plan([block]), catalogue, {}, ())
    row = ground.blocks[0].rows[0]
    first = ground.row == 0
    xyz = np.stack([ground.x[first], ground.y[first], ground.height[first]], axis=1)
    steps = np.linalg.norm(np.diff(xyz, axis=0), axis=1)
    np.testing.assert_allclose(steps, 1.0, atol=1e-9)  # a tape along the ground, not on the map
    ends = np.array([[*row.start, row.start_height], [*row.end, row.end_height]])
    assert np.linalg.norm(ends[1] - ends[0]) == pytest.approx(row.length)


def test_no_place_is_outside_or_on_an_obstacle(make_plan: MakePlan, catalogue: Catalogue) -> None:
    corners = [["0 m", "0 m"], ["90 m", "10 m"], ["80 m", "70 m"], ["40 m", "40 m"], ["5 m", "80 m"]]
    pond = {
        "units": "m",
        "type": "Polygon",
        "coordinates": [[[40, 15], [55, 15], [55, 25], [40, 25], [40, 15]]],
    }
    plan = make_plan([{"name": "South", "corners": corners}], ground={"obstacles": "pond.geojson"})
    ground = survey(plan, catalogue, {"pond.geojson": pond}, ())
    points = np.stack([ground.x, ground.y], axis=1)
    assert not stray_places(points, Polygon(ground.blocks[0].outline), Polygon(ground.obstacles[0])).any()


def test_the_bearing_with_most_worth_is_chosen_and_all_are_shown(
    make_plan: MakePlan, catalogue: Catalogue
) -> None:
    corners = [["0 m", "0 m"], ["60 m", "0 m"], ["60 m", "60 m"], ["0 m", "60 m"]]
    block = survey(make_plan([{"name": "South", "corners": corners}]), catalogue, {}, ()).blocks[0]
    assert block.row_bearing == 0.0  # a square: light decides, and north-south catches most
    assert block.candidates[0].bearing == block.row_bearing
    shown = {round(item.bearing) for item in block.candidates}
    assert {0, 45, 90, 135} <= shown
    assert max(item.places for item in block.candidates) >= block.candidates[0].places


def test_rows_follow_the_contour_on_a_steep_slope(make_plan: MakePlan, catalogue: Catalogue) -> None:
    corners = [["0 m", "0 m"], ["60 m", "0 m"], ["60 m", "60 m"], ["0 m", "60 m"]]
    steep = {"name": "South", "corners": corners, "slope": "15 %", "slope_bearing": 180.0}
    ground = survey(make_plan([steep]), catalogue, {}, ())
    assert ground.blocks[0].row_bearing == pytest.approx(90.0)
    assert any("roll over" in line for line in told(ground.notices))
    stated = survey(make_plan([steep | {"row_bearing": 0.0}]), catalogue, {}, ())
    assert any("wash out" in line for line in told(stated.notices))


def test_standing_trees_keep_their_addresses_when_ground_is_added(
    make_plan: MakePlan, catalogue: Catalogue
) -> None:
    standing = [tree(1, 3), tree(1, 4), tree(2, 10)]
    plan = make_plan([FIELD | STATED])
    wider = make_plan([FIELD | STATED | {"rectangle": {"length": "120 m", "width": "60 m"}}])
    for ground in (
        survey(plan, catalogue, {}, standing),
        survey(wider, catalogue, {}, standing),
    ):
        at = [i for i, name in enumerate(ground.standing_cultivar) if name]
        assert [str(ground.address(i)) for i in at] == [
            "South 1, tree 3",
            "South 1, tree 4",
            "South 2, tree 10",
        ]
        assert ground.x[at[0]] == pytest.approx(2.0)
        assert ground.y[at[0]] == pytest.approx(9.0)
    again = survey(plan, catalogue, {}, standing)
    np.testing.assert_array_equal(again.x, survey(plan, catalogue, {}, standing).x)


def test_a_tree_beyond_the_last_place_lengthens_its_row_into_the_headland(
    make_plan: MakePlan, catalogue: Catalogue
) -> None:
    ground = survey(make_plan([FIELD | STATED]), catalogue, {}, [tree(2, 90)])
    assert ground.blocks[0].rows[1].places == 90
    assert "Gala" in ground.standing_cultivar


def test_a_tree_that_finds_no_place_is_told(make_plan: MakePlan, catalogue: Catalogue) -> None:
    ground = survey(make_plan([FIELD | STATED]), catalogue, {}, [tree(40, 1)])
    assert any("find no place" in line for line in told(ground.notices))


def test_one_row_of_eight_along_a_fence(make_plan: MakePlan, catalogue: Catalogue) -> None:
    fence = {
        "name": "Fence",
        "rectangle": {"length": "24 ft", "width": "2 ft"},
        "row_bearing": 90.0,
        "along_fence": True,
        "tree_spacing": "3 ft",
    }
    ground = survey(make_plan([fence], units="us"), catalogue, {}, ())
    assert ground.capacity == 8
    assert len(ground.blocks[0].rows) == 1
    assert ground.fence == ()


def test_blocks_that_overlap_share_no_tree(make_plan: MakePlan, catalogue: Catalogue) -> None:
    other = {
        "name": "East",
        "corners": [["30 m", "0 m"], ["90 m", "0 m"], ["90 m", "90 m"], ["30 m", "90 m"]],
    }
    ground = survey(make_plan([FIELD | STATED, other]), catalogue, {}, ())
    assert any("lie in block South too" in line for line in told(ground.notices))
    east = ground.block == 1
    assert ground.x[east].min() > 40.0


@pytest.mark.parametrize(
    ("block", "says"),
    [
        ({"corners": [["0 m", "0 m"], ["50 m", "50 m"], ["50 m", "0 m"], ["0 m", "50 m"]]}, "crosses itself"),
        ({"rectangle": {"length": "10 m", "width": "3 m"}}, "no row of trees fits"),
        ({"corners": [["0 m", "0 m"], ["50 m", "50 m"]]}, "three corners"),
    ],
)
def test_ground_that_cannot_be_planted_says_why(
    block: dict[str, object], says: str, make_plan: MakePlan, catalogue: Catalogue
) -> None:
    with pytest.raises(CannotAnswer) as refused:
        survey(make_plan([{"name": "South"} | block]), catalogue, {}, ())
    assert says in " ".join(told(refused.value.notices))


def test_the_ground_survives_being_written_and_read(make_plan: MakePlan, catalogue: Catalogue) -> None:
    ground = survey(make_plan([FIELD | STATED]), catalogue, {}, [tree(1, 3)])
    adapter = TypeAdapter(Ground)
    again = adapter.validate_json(adapter.dump_json(ground))
    np.testing.assert_array_equal(again.x, ground.x)
    assert again.blocks[0].rows == ground.blocks[0].rows


def test_the_light_of_a_block_is_shown_by_hour_zone_and_spacing(
    make_plan: MakePlan, catalogue: Catalogue
) -> None:
    light = survey(make_plan([FIELD | STATED]), catalogue, {}, ()).blocks[0].light
    assert light is not None
    assert light.facing == ("west", "east")
    assert light.zones[0] > light.zones[1] > light.zones[2] > 0.2  # the base of a wall wants 20-30 % (CO06)
    assert light.beam_leaves < light.beam
    assert light.diffuse_leaves < light.diffuse
    assert light.by_hour.shape == (3, light.hours.size)
    np.testing.assert_array_equal(light.by_hour[0], light.by_hour[1])  # the rows do run north-south
    morning, noon = np.argmin(abs(light.hours - 8)), np.argmin(abs(light.hours - 12))
    assert light.by_hour[1, morning] > light.by_hour[1, noon]
    taken, machine, *_, roomy = light.spacings
    assert taken.row_spacing == pytest.approx(3.5)
    assert machine.row_spacing < roomy.row_spacing
    assert machine.caught > roomy.caught
    assert machine.base < roomy.base


def test_one_file_may_outline_several_blocks_by_name(make_plan: MakePlan, catalogue: Catalogue) -> None:
    def square(name: str, left: float) -> dict[str, object]:
        ring = [[left, 0], [left + 40, 0], [left + 40, 40], [left, 40], [left, 0]]
        return {
            "type": "Feature",
            "properties": {"name": name},
            "geometry": {"type": "Polygon", "coordinates": [ring]},
        }

    document = {
        "type": "FeatureCollection",
        "units": "m",
        "features": [square("North", 0), square("South", 100)],
    }
    blocks = [{"name": name, "outline": "field.geojson"} for name in ("South", "North")]
    ground = survey(make_plan(blocks), catalogue, {"field.geojson": document}, ())
    assert [round(block.area) for block in ground.blocks] == [1600, 1600]
    assert ground.x[ground.block == 0].min() > 100
    assert ground.x[ground.block == 1].max() < 40
