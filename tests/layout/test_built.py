"""Free places lie at far ends; rows end at their last tree; rows without trees and their fence fall away."""

from dataclasses import replace

import numpy as np
import pytest
from layout.worlds import catalogue, choice, laid_out, overlapping_names, plan, seasons, survey

from topwire.layout.areas import areas_of
from topwire.layout.built import built_ground
from topwire.layout.findings import Ground, Layout
from topwire.layout.staking import planting_sheets, staking_sheets
from topwire.layout.ties import block_ties

BLOCK = {
    "name": "South",
    "rectangle": {"length": "54 m", "width": "32 m"},
    "row_bearing": 15.0,
    "tree_spacing": "1 m",
    "row_spacing": "3.5 m",
    "slope": "6 %",
    "slope_bearing": 40.0,
}


@pytest.fixture(scope="module")
def found() -> tuple[Ground, Layout]:
    """Ten trees to each of 27 cultivars, on ground for a third more."""
    known = catalogue()
    asked = plan([BLOCK], ground={"headland": "7 m"})
    ground = survey(asked, known)
    names = overlapping_names(known, 26)
    return ground, laid_out(asked, known, seasons(known), ground, choice(known, dict.fromkeys(names, 10)))


def test_free_places_lie_at_far_ends(found: tuple[Ground, Layout]) -> None:
    ground, layout = found
    for row in range(len(ground.blocks[0].rows)):
        planted = layout.cultivar[ground.row == row] >= 0
        if planted.any():
            assert planted[: int(planted.sum())].all(), row


def test_rows_end_half_a_spacing_beyond_their_last_tree(found: tuple[Ground, Layout]) -> None:
    ground, layout = found
    built = built_ground(ground, layout)
    shorter = 0
    for index, (row, whole) in enumerate(zip(built.blocks[0].rows, ground.blocks[0].rows, strict=True)):
        planted = ground.place[(ground.row == index) & (layout.cultivar >= 0)]
        assert row.start == whole.start
        if not planted.size:
            assert row == whole
            continue
        last = (ground.row == index) & (ground.place == planted.max())
        tree = np.array([ground.x[last][0], ground.y[last][0]])
        assert np.linalg.norm(np.array(row.end) - tree) == pytest.approx(row.tree_spacing / 2, rel=0.01)
        assert row.length == pytest.approx(
            row.first_tree + (planted.max() - 1) * row.tree_spacing + row.tree_spacing / 2
        )
        shorter += whole.places - row.places
    assert shorter > 0


def test_what_is_staked_and_fenced_is_what_is_built(found: tuple[Ground, Layout]) -> None:
    ground, layout = found
    built = built_ground(ground, layout)
    (staked,) = staking_sheets(built, layout)
    rows = {stake.post.row for stake in staked.stakes}
    empty = [
        row.number
        for index, row in enumerate(ground.blocks[0].rows)
        if not (layout.cultivar[ground.row == index] >= 0).any()
    ]
    assert empty
    assert rows.isdisjoint(empty)
    for sheet in planting_sheets(built, layout):
        if sheet.row in rows:
            assert sheet.lines[-1].end == pytest.approx(sheet.length - sheet.tree_spacing / 2)
    assert areas_of(built, layout).fence < areas_of(ground, layout).fence
    assert {post.row for ties in block_ties(built) for post, _ in ties.posts} >= rows


def test_a_row_with_standing_trees_is_left_as_it_stands(found: tuple[Ground, Layout]) -> None:
    ground, layout = found
    standing = layout.standing.copy()
    standing[np.flatnonzero(layout.cultivar >= 0)] = True
    assert built_ground(ground, replace(layout, standing=standing)).blocks[0].rows == ground.blocks[0].rows
