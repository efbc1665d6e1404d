"""Nets of pipes: as short as can be, around what stands in the way, and the rows fed where that is shortest."""

from dataclasses import replace

import numpy as np
import pytest
from shapely import LineString, Point, Polygon
from water.test_system import STEADY, TABLES, rows, source

from topwire.water.feeding import fed
from topwire.water.findings import LossPart, PointKind
from topwire.water.friction import blasius
from topwire.water.joints import joints
from topwire.water.pipes import pipe_map
from topwire.water.sizing import spanning_tree
from topwire.water.system import DETOUR, build
from topwire.water.verdict import crossings
from topwire.water.ways import CROSSING, Obstacles, shortest
from topwire.water.zone import WateredRow

POND = Obstacles((((10.0, 10.0, 0.0), (30.0, 8.0, 0.0), (32.0, 25.0, 0.0), (12.0, 26.0, 0.0)),))
WALL = Obstacles((((10.0, -100.0, 0.0), (11.0, -100.0, 0.0), (11.0, 100.0, 0.0), (10.0, 100.0, 0.0)),))


def parted(count: int, gap: float) -> tuple[list[WateredRow], list[int]]:
    """Rows of 80 m with a way of `gap` [m] across their middle, numbered line by line."""
    found, half = [], 40 - gap / 2
    for row in rows(count):
        east, south, _ = row.feed
        for feed, far in ((south, south + half), (south + half + gap, south + 80)):
            found.append(
                replace(
                    row, feed=(east, feed, 0.0), far=(east, far, 0.0), length=half, run=half - 2.0, trees=36
                )
            )
    return found, [0, 1] * count


def test_a_net_goes_around_a_pond_and_is_no_longer_than_it_must_be() -> None:
    points = [(5.0, 18.0, 0.0), (40.0, 18.0, 0.0), (40.0, 30.0, 0.0)]
    net = shortest(points, POND)
    pond = Polygon([corner[:2] for corner in POND.rings[0]])
    assert not any(LineString([place[:2] for place in way]).intersects(pond) for way in net.ways if way)
    assert 47.0 < net.on_map.sum() < 58.0
    assert net.from_middle().on_map.sum() == pytest.approx(net.on_map.sum())


def test_a_long_wall_is_crossed_and_named() -> None:
    net = shortest([(0.0, 0.0, 0.0), (20.0, 0.0, 0.0)], WALL)
    assert net.on_map.sum() == pytest.approx(20.0)
    assert shortest([(0.0, 95.0, 0.0), (20.0, 95.0, 0.0)], WALL).on_map.sum() < 20 + CROSSING
    system = build((rows(6),), STEADY, source(), TABLES, np.array([14.0]), WALL)
    assert system is not None
    (told,) = crossings(pipe_map(system, source(), 1.0), WALL)
    assert (told.code, told.concerns, told.facts["obstacle"]) == ("water.pipe_crosses", ("main", "zone 1"), 1)


def test_pieces_of_rows_are_fed_at_the_gap() -> None:
    """Not up and down the rows: two lines along the alley and one pipe across it."""
    every, piece = parted(12, 5.0)
    ready = fed(every, piece, from_start=True)
    zone = build((ready,), STEADY, source(), TABLES, np.array([14.0])).zones[0]  # type: ignore[union-attr]
    assert zone.net.on_map.sum() == pytest.approx(2 * 11 * 3.5 + 5.0)
    assert {row.feed[1] for row in ready} == {37.5, 42.5}
    feeds = np.array([row.feed for row in zone.rows])
    tree = spanning_tree(feeds[:, 0], feeds[:, 1])
    assert zone.net.on_map.sum() == pytest.approx(np.hypot(*(feeds[1:] - feeds[tree[1:]])[:, :2].T).sum())
    assert fed(every[::2], [0] * 12, from_start=True) == tuple(every[::2])


def test_a_gap_far_below_the_fed_end_is_not_fed() -> None:
    every, piece = parted(12, 5.0)
    steep = [replace(row, far=(*row.far[:2], row.feed[2] - 3.0)) for row in every]
    assert {row.feed[1] for row in fed(steep, piece, from_start=True)} == {0.0, 42.5}


def test_no_pipe_is_wider_than_the_one_before_it_and_joints_take_the_widest() -> None:
    blocks = (rows(24), rows(9, side=0.02))
    system = build(blocks, STEADY, source(head=26.0), TABLES, np.array([16.0]))
    assert system is not None
    above = {part.end: part for part in system.main}
    for part in system.main:
        assert part.start not in above or part.size.diameter <= above[part.start].size.diameter
    found = joints(system)
    sizes = [part.size for part in system.main] + [
        size for zone in system.zones for size in zone.manifold_sizes.values()
    ]
    assert {pipe for _, pipe in found} <= set(sizes)
    assert sum(count for (kind, _), count in found.items() if kind == "reducer") >= len(set(sizes)) - 1
    for pipe in TABLES.mains:
        for kind in ("tee", "coupling", "reducer"):
            assert (TABLES.joining(kind, pipe).most_pipe_mm or 0) >= pipe.outside_mm


def test_a_source_whose_place_is_known_has_its_pipe_laid_around_a_building() -> None:
    """By hand: past the wall's two far corners, no nearer than it stands and no farther than a metre beside each."""
    from_, to = (-60.0, 0.0), (0.0, 0.0)
    house = Obstacles((((-40.0, -10.0, 0.0), (-20.0, -10.0, 0.0), (-20.0, 15.0, 0.0), (-40.0, 15.0, 0.0)),))
    at = replace(source(distance=0.0, height=-1.0), point=(*from_, -1.0), placed=True)
    system = build((rows(1),), STEADY, at, TABLES, np.array([14.0]), house)
    assert system is not None
    (pipe,) = system.main
    least, most = (np.hypot(20.0 - beside, 10.0 + beside) * 2 + 20.0 + 2 * beside for beside in (0.0, 1.0))
    assert DETOUR * least <= pipe.length <= DETOUR * most
    assert (pipe.way[0], pipe.way[-1]) == ((*from_, -1.0), (*to, 0.0))
    wall = Polygon([corner[:2] for corner in house.rings[0]])
    assert not LineString([place[:2] for place in pipe.way]).intersects(wall)
    lost = next(head for part, _, head in system.losses if part is LossPart.MAIN)
    assert lost == pytest.approx(float(blasius(pipe.flow, pipe.size.diameter)[0]) * pipe.length)
    laid = pipe_map(system, at, 1.0)
    assert sum(run.length for run in laid.mains) == pytest.approx(pipe.length)
    assert all(run.start is not None for run in laid.mains)
    assert laid.begin == (*from_, -1.0)
    assert laid.shows_source
    drains = [point.position for point in laid.points if point.kind is PointKind.DRAIN and not point.zone]
    assert drains == [(*from_, -1.0)]
    assert laid.count(PointKind.ARRIVAL) == 0 < laid.count(PointKind.SOURCE)


def test_a_source_in_its_pond_begins_on_the_bank() -> None:
    assert POND.beside((5.0, 5.0)) == (5.0, 5.0)
    bank = POND.beside((20.0, 11.0))
    pond = Polygon([corner[:2] for corner in POND.rings[0]])
    assert pond.distance(Point(bank)) == pytest.approx(1.0, abs=0.01)
    net = shortest([(*bank, 0.0), (20.0, -30.0, 0.0)], POND)
    assert not POND.crossed(net.ways[1])
