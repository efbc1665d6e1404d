"""Pipes on the map: every pipe is billed, hollows are drained, the trench goes below the frost or is drained."""

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from topwire.export.epanet import network
from topwire.export.map_items import _water
from topwire.water.findings import PipeKind, PointKind
from topwire.water.pipes import BURIED, DEEPEST, freezing_depth, freezing_index, lowest, trench
from topwire.water.sizing import spanning_tree

EXAMPLES = ["valley", "ridge", "fence"]


@pytest.fixture(params=EXAMPLES)
def water(request: pytest.FixtureRequest):  # type: ignore[no-untyped-def]
    return request.getfixturevalue(request.param).result


def test_every_metre_of_pipe_is_on_the_bill(water) -> None:  # type: ignore[no-untyped-def]
    for name in {run.item for run in water.pipes.runs}:
        metres = sum(run.length for run in water.pipes.runs if run.item == name)
        billed = sum(line.quantity for line in water.bill if line.item == name)
        assert 1.03 * metres <= billed + 1e-9 < 1.03 * metres + 1


def test_manifolds_are_as_long_as_the_way_and_mains_no_shorter(water) -> None:  # type: ignore[no-untyped-def]
    for run in water.pipes.runs:
        if run.start is None:
            continue
        way = float(np.linalg.norm(np.subtract(run.end, run.start)))
        assert (
            run.length == pytest.approx(way) if run.kind is PipeKind.MANIFOLD else run.length >= way * 0.999
        )


def test_flow_goes_on_or_out_at_every_point(water) -> None:  # type: ignore[no-untyped-def]
    """Into the first block flows what all zones of the thirstiest set take."""
    first = [run for run in water.pipes.runs if run.start is None]
    assert sum(run.flow for run in first) == pytest.approx(water.most_flow) or not first
    for zone in water.zones:
        mine = [run for run in water.pipes.runs if run.zone == zone.name]
        assert all(0 < run.flow < zone.flow for run in mine)


def test_points_are_counted_on_the_bill(water) -> None:  # type: ignore[no-untyped-def]
    billed = {line.item: line.quantity for line in water.bill}
    assert billed.get("drain valve", 0) == water.pipes.count(PointKind.DRAIN)
    assert billed.get("air release valve", 0) == water.pipes.count(PointKind.AIR)
    assert ("tap timer, battery" in billed) != (water.pipes.count(PointKind.DRAIN) >= 1)
    assert billed.get("flush valve for a manifold end", 0) == water.pipes.count(PointKind.FLUSH)
    assert water.pipes.count(PointKind.VALVE) == len(water.zones)


def test_the_source_is_drained_where_its_pipe_falls_to_it(water) -> None:  # type: ignore[no-untyped-def]
    """Behind the check valve nothing else lets that water out; a kit on a tap has no drains."""
    main = [point for point in water.pipes.points if point.kind is PointKind.DRAIN and not point.zone]
    falls = water.pipes.source_height < water.pipes.begin[2] and bool(main)
    assert any(point.position is None for point in main) == falls == water.pipes.drained_at_source
    assert not main or min(water.pipes.stands(point)[-1] for point in main) <= water.pipes.source_height


def test_no_main_widens_on_its_way(water) -> None:  # type: ignore[no-untyped-def]
    above = {run.end: run for run in water.pipes.mains}
    for run in water.pipes.mains:
        assert run.start not in above or run.diameter <= above[run.start].diameter


def test_manifolds_are_the_shortest_nets_of_their_row_ends(water) -> None:  # type: ignore[no-untyped-def]
    for zone in water.zones:
        feeds = np.array([line.feed for line in zone.lines])
        tree = spanning_tree(feeds[:, 0], feeds[:, 1])
        way = sum(float(np.linalg.norm(feeds[at] - feeds[tree[at]])) for at in range(1, len(feeds)))
        assert sum(zone.manifold_lengths) == pytest.approx(way, abs=0.01)


def test_a_source_with_a_place_is_on_map_and_network_and_pays_its_way(valley) -> None:  # type: ignore[no-untyped-def]
    """A house between the well and the block: pipe, bill and both files go around it, from where the well is."""
    house = [(-15.0, 20.0), (-5.0, 20.0), (-5.0, 60.0), (-15.0, 60.0)]
    water = valley.again((house,), at=(-40.0, 40.0))
    straight = valley.again(at=(-40.0, 40.0))
    metres, before = (sum(run.length for run in one.pipes.mains) for one in (water, straight))
    assert metres > before
    test_every_metre_of_pipe_is_on_the_bill(water)
    orchard: Any = SimpleNamespace(water=water, origin=SimpleNamespace(name="tried"))
    lines = network(orchard).decode().splitlines()
    assert "source_1\t-40\t40" in lines
    shown = [item.points.tolist() for item in _water(orchard) if item.layer == "source"]
    assert shown == [[[-40.0, 40.0]]]
    assert not any(notice.code == "water.pipe_unseen" for notice in (*water.notices, *straight.notices))
    assert any(notice.code == "water.pipe_unseen" for notice in valley.again((house,)).notices)
    assert not any(notice.code == "water.pipe_unseen" for notice in valley.result.notices)


def test_every_hollow_has_its_drain() -> None:
    heights = [3.0, 1.0, 2.0, 0.5, 0.5, 2.0]
    joined = [(at, at + 1) for at in range(5)]
    assert lowest(heights, joined) == [3, 1]
    assert len(lowest([1.0, 1.0], [(0, 1)])) == 1


def test_frost_by_hand() -> None:
    """300 K d: 0.7 sqrt(2 * 1.6 * 0.5 * 300 * 86400 / (334e3 * 225)) = 0.520 m."""
    assert freezing_depth(300.0) == pytest.approx(0.520, abs=5e-4)
    assert freezing_depth([0.0, -5.0]).tolist() == [0.0, 0.0]


def test_freezing_index_is_the_deepest_fall_of_the_sum() -> None:
    day = np.arange(np.datetime64("2001-07-01"), np.datetime64("2003-07-01"))
    month = day.astype("datetime64[M]").astype(np.int64)
    mean = np.full(day.size, 5.0)
    cold = (day >= np.datetime64("2002-01-01")) & (day < np.datetime64("2002-01-31"))
    mean[cold] = -4.0
    index = freezing_index(mean, month // 12 + 1970, month % 12 + 1)
    assert index.tolist() == [120.0, 0.0]


def test_trench_below_frost_where_it_can_be_dug() -> None:
    assert trench(0.1).depth == BURIED
    assert trench(0.5) == trench(0.5).__class__(0.6, 0.5, True)
    deep = trench(DEEPEST)
    assert not deep.below_frost
    assert deep.depth == BURIED
    assert not trench(None).below_frost
