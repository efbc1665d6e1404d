"""Setbacks, paths and alleys across the rows: no trunk, no leaf, no anchor where none may be."""

from typing import Any

import numpy as np
import pytest
from layout.worlds import catalogue, plan, survey
from shapely import LineString, MultiPoint, Point, Polygon

from topwire.layout.findings import ClearFor, Ground
from topwire.trellis.room_behind import room_behind

BLOCK: dict[str, Any] = {
    "name": "South",
    "rectangle": {"length": "100 m", "width": "40 m"},
    "row_bearing": 0.0,
    "tree_spacing": "1 m",
    "row_spacing": "3.5 m",
}
TOP = 3.0  # [m] of the plans' top wire, as far as an anchor stands out
WIRES = {"wire_heights": ["1 m", "2 m", f"{TOP} m"]}


def ground_of(block: dict[str, Any] | None = None, **ground: Any) -> Ground:
    return survey(plan([BLOCK | (block or {})], ground=ground, trellis=WIRES), catalogue())


def points(ground: Ground) -> MultiPoint:
    return MultiPoint(np.stack([ground.x, ground.y], axis=1))


def test_no_trunk_stands_nearer_than_a_setback() -> None:
    line = [(-5.0, 12.0), (18.0, 40.0), (60.0, 50.0)]
    said = [[f"{x} m", f"{y} m"] for x, y in line]
    ground = ground_of(setbacks=[{"name": "Ditch", "line": said, "distance": "6 m"}])
    assert LineString(line).distance(points(ground)) >= 6 - 0.05  # an arc is drawn in chords
    assert ground.capacity < ground_of().capacity
    (clear,) = ground.kept_clear
    assert (clear.name, clear.what) == ("Ditch", ClearFor.SETBACK)


def test_a_path_is_free_of_leaves_and_anchors() -> None:
    line = [(-10.0, 30.0), (50.0, 60.0)]
    said = [[f"{x} m", f"{y} m"] for x, y in line]
    ground = ground_of(paths=[{"name": "Pond walk", "line": said, "width": "3 m"}])
    path = LineString(line).buffer(1.5)
    assert path.distance(points(ground)) > 0.3
    for row in ground.blocks[0].rows:
        along = (np.array(row.end) - np.array(row.start)) / row.length
        for anchor in (np.array(row.start) - TOP * along, np.array(row.end) + TOP * along):
            assert path.distance(Point(anchor)) > -1e-6
            assert not path.contains(Point(anchor))
    by_line = {round(row.start[0], 3) for row in ground.blocks[0].rows}
    assert len(ground.blocks[0].rows) == 2 * len(by_line)


def test_no_anchor_stands_in_a_pond_and_the_room_behind_is_measured() -> None:
    """An end by the pond keeps the anchor clear of it, with half the machine and 0.6 m more; headlands keep theirs."""
    corners = [(10.0, 40.0), (30.0, 37.0), (33.0, 55.0), (15.0, 59.0)]
    ring = {"type": "Polygon", "units": "metres", "coordinates": [[*corners, corners[0]]]}
    asked = plan([BLOCK], ground={"obstacles": "pond"}, trellis=WIRES)
    ground = survey(asked, catalogue(), {"pond": ring})
    pond, block = Polygon(corners), ground.blocks[0]
    assert len(block.rows) > len({round(row.start[0], 3) for row in block.rows})
    rooms = []
    for row in block.rows:
        along = (np.array(row.end) - np.array(row.start)) / row.length
        behind = room_behind(ground, block, row, TOP)
        for post, away, room in ((row.start, -along, behind[0]), (row.end, along, behind[1])):
            assert pond.distance(Point(np.array(post) + TOP * away)) >= 1.2
            free = LineString([post, np.array(post) + (room - 0.01) * away])
            assert not free.intersects(pond)
            assert free.within(Polygon(block.outline))
            rooms.append(room)
    assert min(rooms) < TOP + 3 < max(rooms)


@pytest.mark.parametrize("gate", [["0 m", "0 m"], ["0 m", "100 m"]])
def test_an_alley_lies_as_far_in_as_stated(gate: list[str]) -> None:
    ground = ground_of({"cross_alleys": ["40 m"]}, gate=gate, cross_alley_width="4 m")
    middle = 40.0 if gate[1] == "0 m" else 60.0
    rows = ground.blocks[0].rows
    assert {row.number for row in rows} == set(range(1, len(rows) + 1))
    lines = {round(row.start[0], 3) for row in rows}
    assert len(rows) == 2 * len(lines)
    ends = np.array([end for row in rows for end in (row.start[1], row.end[1])])
    beside = np.abs(ends - middle)
    assert beside.min() >= 2.0 + TOP - 1e-6
    assert beside.min() < 2.0 + TOP + 1.0
