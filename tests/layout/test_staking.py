"""Sheets for the crew: distances that close, every tree on its row's sheet."""

from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
from layout.worlds import laid_out, survey

from topwire.catalogue.model import Catalogue
from topwire.choice.findings import Choice
from topwire.layout.findings import Ground, Layout
from topwire.layout.staking import Purpose, planting_sheets, staking_sheets
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.plan.standing import StandingTree
from topwire.show.labels import SHEETS, place_labels, qr_modules, run_labels, tree_labels


@pytest.fixture(scope="module")
def orchard(
    make_plan: Callable[..., Plan],
    make_seasons: Callable[[], PlaceSeasons],
    make_choice: Callable[..., Choice],
    catalogue: Catalogue,
) -> tuple[Ground, Layout]:
    block = {
        "name": "South",
        "corners": [["0 m", "0 m"], ["30 m", "5 m"], ["34 m", "60 m"], ["-4 m", "70 m"]],
        "row_bearing": 0.0,
        "tree_spacing": "1 m",
        "row_spacing": "3.5 m",
        "slope": "9 %",
        "slope_bearing": 150.0,
    }
    plan = make_plan([block])
    standing = tuple(StandingTree("Liberty", "M.26 EMLA", "South", 2, place, 2016) for place in range(1, 9))
    ground = survey(plan, catalogue, {}, standing)
    choice = make_choice({"Gala": 60, "Golden Delicious": 50, "Liberty": (40, 8), "Fuji": 50})
    return ground, laid_out(plan, catalogue, make_seasons(), ground, choice)


def test_tapes_measure_the_ground_between_the_stakes(orchard: tuple[Ground, Layout]) -> None:
    sheet = staking_sheets(orchard[0])[0]
    at = {stake.post: np.array([stake.east, stake.north, stake.height]) for stake in sheet.stakes}
    assert len(sheet.stakes) == 2 * len(orchard[0].blocks[0].rows)
    for tape in sheet.tapes:
        assert tape.length == pytest.approx(np.linalg.norm(at[tape.start] - at[tape.end]), abs=1e-6)
    assert sum(tape.purpose is Purpose.DIAGONAL for tape in sheet.tapes) == 2


def test_every_tree_is_on_its_rows_sheet_once(orchard: tuple[Ground, Layout]) -> None:
    ground, layout = orchard
    sheets = planting_sheets(ground, layout)
    assert len(sheets) == len(ground.blocks[0].rows)
    assert sum(line.trees for sheet in sheets for line in sheet.lines) == int((layout.cultivar >= 0).sum())
    for sheet, row in zip(sheets, ground.blocks[0].rows, strict=True):
        places = [place for line in sheet.lines for place in range(line.first, line.last + 1)]
        assert places == list(range(1, row.places + 1))
        for line in sheet.lines:
            assert line.start == pytest.approx(row.first_tree + (line.first - 1) * row.tree_spacing)
            assert line.end == pytest.approx(row.first_tree + (line.last - 1) * row.tree_spacing)
        assert sheet.lines[-1].end < sheet.length
    old = [line for sheet in sheets for line in sheet.lines if line.standing]
    assert [(line.first, line.last, line.rootstock) for line in old] == [(1, 8, "M.26 EMLA")]


def test_labels_name_every_tree_and_run(orchard: tuple[Ground, Layout]) -> None:
    ground, layout = orchard
    trees, runs = tree_labels(ground, layout), run_labels(ground, layout)
    assert len(trees) == int((layout.cultivar >= 0).sum())
    assert len({label.address for label in trees}) == len(trees)
    assert len(runs) == len(layout.runs)
    assert any("planted 2016" in label.note and "M.26" in label.note for label in trees)


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)
def test_labels_stay_on_the_paper_and_apart(sheet, orchard: tuple[Ground, Layout]) -> None:  # type: ignore[no-untyped-def]
    placed = place_labels(tree_labels(*orchard), sheet, skip=2)
    assert placed[0].left > 0 or placed[0].top > 0
    assert len(placed) == len(tree_labels(*orchard))
    first = [label for label in placed if label.sheet == 0]
    assert len(first) == sheet.per_sheet - 2
    for label in placed:
        assert label.left + sheet.label_width <= sheet.width + 1e-9
        assert label.top + sheet.label_height <= sheet.height + 1e-9
    for before, after in pairwise(first):
        assert after.left - before.left >= sheet.label_width - 1e-9 or after.top > before.top
    with pytest.raises(ValueError, match="holds"):
        place_labels(tree_labels(*orchard), sheet, skip=sheet.per_sheet)


def test_the_code_is_a_whole_qr_code() -> None:
    code = qr_modules("South 3, tree 41 | Golden Russet")
    size = len(code)
    assert all(len(row) == size for row in code)
    assert (size - 17) % 4 == 0  # ISO/IEC 18004: 17 + 4 x version modules
    finder = [row[:7] for row in code[:7]]
    assert finder[0] == (True,) * 7
    assert finder[1] == (True, *[False] * 5, True)
    assert finder[3] == (True, False, True, True, True, False, True)
    assert code[size - 8][8]  # the module that is always dark
