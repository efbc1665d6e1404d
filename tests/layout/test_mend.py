"""Donors named for the weakest trees: at a free place or between two trees, each worth what a fresh reckoning says."""

from collections.abc import Callable

import numpy as np
import pytest
from layout.worlds import survey

from topwire.catalogue.model import Catalogue
from topwire.layout.findings import Ground
from topwire.layout.mend import POLE, mends
from topwire.layout.path import grid_of
from topwire.layout.pollen import fields, threshold
from topwire.layout.pollen_chance import Springs
from topwire.plan.model import Plan

DRAWS = 100


@pytest.fixture
def ground(make_plan: Callable[..., Plan], catalogue: Catalogue) -> Ground:
    block = {
        "name": "South", "rectangle": {"length": "34 m", "width": "11 m"}, "row_bearing": 0.0,
        "tree_spacing": "1 m", "row_spacing": "3.5 m",
    }  # fmt: skip
    return survey(make_plan([block]), catalogue)


def reckoned(ground: Ground, placed: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    line, step = grid_of(ground)
    return fields(line, step, placed, 2)


def springs(crab: float) -> Springs:
    """Cultivar 1 serves 0 in three springs of ten; the crab serves it in a share `crab` of them."""
    found = np.zeros((DRAWS, 3, 3))
    found[:30, 1, 0] = 1.0
    found[: int(crab * DRAWS), 2, 0] = 1.0
    return Springs(found, np.zeros((DRAWS, 3)), 0.0)


def weak(ground: Ground) -> np.ndarray:
    placed = np.zeros(ground.capacity, dtype=np.int64)
    placed[: ground.capacity // 3] = 1
    return placed


def test_a_crab_stands_between_two_trees_and_lifts_them(ground: Ground) -> None:
    placed = weak(ground)
    by_kind, total = reckoned(ground, placed)
    enough = 0.02
    found = mends(
        ground, placed, by_kind, total, springs(0.9), ("Own", "Other", "Crab"), enough=enough, below=0.8
    )
    assert {one.donor for one in found} == {"Crab"}
    first = found[0]
    assert first.crab
    assert first.beside is not None
    assert (first.place.row, first.beside.place - first.place.place) == (first.beside.row, 1)
    assert first.before <= 0.3 < 0.8 < first.after <= first.after_all
    assert first.lifted > 0
    # by hand: half a tree's bloom half a step away
    weight = POLE * np.exp(-0.5 / 2.7)
    tree = next(i for i in range(ground.capacity) if ground.address(i) == first.tree)
    assert weight / (total[tree] + weight) >= enough
    assert len({(str(one.place), str(one.beside)) for one in found}) == len(found)


def test_a_free_place_near_by_is_taken_first(ground: Ground) -> None:
    placed = weak(ground)
    placed[-3] = -1
    by_kind, total = reckoned(ground, placed)
    found = mends(
        ground,
        placed,
        by_kind,
        total,
        springs(0.9),
        ("Own", "Other", "Crab"),
        enough=threshold() / 5,
        below=0.8,
    )
    whole = [one for one in found if one.beside is None]
    assert [one.place for one in whole] == [ground.address(ground.capacity - 3)]


def test_where_no_donor_helps_none_is_named(ground: Ground) -> None:
    placed = weak(ground)
    by_kind, total = reckoned(ground, placed)
    nothing = springs(0.0)
    nothing.worth[:] = 0.0
    assert mends(ground, placed, by_kind, total, nothing, ("a", "b", "c"), enough=0.1, below=0.8) == ()
