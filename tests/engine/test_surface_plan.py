"""Height points through a whole plan: the surface, slopes along rows, a cold hollow, frost, who stands where, wire."""

from pathlib import Path

import numpy as np
import pytest
from engine import small

from topwire.engine.inputs import read_inputs
from topwire.engine.orchard import Orchard
from topwire.engine.run import plan_orchard
from topwire.layout.findings import Ground, Layout
from topwire.layout.setting import POOL

LONG, WIDE = 21.6, 11.1  # [m] of the yard


def planned(folder: Path, hollow: float | None) -> Orchard:
    """The small yard, with a hollow three metres deep so far along it, or as the plane it is else."""
    small.make(folder)
    if hollow is not None:
        rim = [(x, y, 4.0) for x in (-6, LONG / 2, LONG + 6) for y in (-6, WIDE + 6)]
        rim += [(-6, WIDE / 2, 4.0), (LONG + 6, WIDE / 2, 4.0), (LONG - hollow, WIDE / 2, 4.2)]
        points = [[f"{value:.2f} m" for value in point] for point in [*rim, (hollow, WIDE / 2, 1.0)]]
        plan = (folder / "plan.yaml").read_text(encoding="utf-8")
        said = f"  headland: 2 m\n  heights: {points}\n".replace("'", "")
        (folder / "plan.yaml").write_text(plan.replace("  headland: 2 m\n", said), encoding="utf-8")
    return plan_orchard(read_inputs(folder))


@pytest.fixture(scope="module")
def west(tmp_path_factory: pytest.TempPathFactory) -> Orchard:
    return planned(tmp_path_factory.mktemp("surface") / "west", 5.5)


@pytest.fixture(scope="module")
def east(tmp_path_factory: pytest.TempPathFactory) -> Orchard:
    return planned(tmp_path_factory.mktemp("surface") / "east", LONG - 5.5)


def parts(orchard: Orchard) -> tuple[Ground, Layout]:
    assert orchard.ground is not None
    assert orchard.layout is not None
    return orchard.ground, orchard.layout


def test_the_hollow_is_found_where_it_was_measured(west: Orchard, east: Orchard) -> None:
    for orchard, at in ((west, 5.5), (east, LONG - 5.5)):
        ground, _ = parts(orchard)
        assert ground.has_surface
        deepest = int(np.argmax(ground.pool_depth))
        assert ground.pool_depth[deepest] > 0.6
        assert ground.x[deepest] == pytest.approx(at, abs=2.5)
        assert "ground.cold_hollow" in {getattr(notice, "code", "") for notice in ground.notices}


def test_rows_and_their_wire_are_as_long_as_the_ground_under_them(west: Orchard) -> None:
    ground, _ = parts(west)
    assert west.trellis is not None
    sized = {name: alike for alike in west.trellis.rows for name in alike.rows}
    for row in ground.blocks[0].rows:
        on_map = float(np.hypot(row.end[0] - row.start[0], row.end[1] - row.start[1]))
        assert on_map < row.length < on_map * 1.2
        name = f"{row.block} {row.number}"
        if name in sized:
            assert sized[name].positions[-1] == pytest.approx(row.length, abs=0.6)


def frost(ground: Ground, layout: Layout, orchard: Orchard) -> float:
    """Crop the frost of low places costs, by the worth of a degree of each cultivar; least is best."""
    assert orchard.place is not None
    worth = np.nan_to_num(orchard.place.worth_of_a_degree)
    height = ground.height - POOL * ground.pool_depth
    there = np.flatnonzero(layout.cultivar >= 0)
    of = [orchard.place.cultivars.index(layout.cultivars[kind]) for kind in layout.cultivar[there]]
    return float((worth[of] * (height.max() - height[there])).sum())


def test_trees_that_frost_hurts_keep_out_of_the_hollow(west: Orchard, east: Orchard) -> None:
    ground_west, laid_west = parts(west)
    ground_east, laid_east = parts(east)
    assert ground_west.capacity == ground_east.capacity
    assert (laid_west.cultivar != laid_east.cultivar).any()
    for ground, own, other in ((ground_west, laid_west, laid_east), (ground_east, laid_east, laid_west)):
        assert frost(ground, own, west) < 0.8 * frost(ground, other, west)
        there = own.cultivar >= 0
        assert ground.pool_depth[there].mean() < ground.pool_depth.mean()
