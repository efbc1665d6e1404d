"""Rows with a distance of their own: set out, found their cultivars, and told where they would pay."""

from collections.abc import Callable

import numpy as np
import pytest
from layout.worlds import laid_out, survey, told

from topwire.catalogue.model import Catalogue
from topwire.choice.findings import Choice
from topwire.layout.findings import Ground, Layout
from topwire.layout.groups import worthwhile_groups
from topwire.layout.path import free_path, grid_of
from topwire.layout.row_costs import room_cost
from topwire.layout.stand import Prices
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan

BLOCK = {
    "name": "South", "rectangle": {"length": "64 m", "width": "32.5 m"}, "row_bearing": 0.0, "tree_spacing": "1 m",
    "row_spacing": "3.5 m", "slope": "4 %",
}  # fmt: skip
WIDE = BLOCK | {"row_groups": [{"rows": [6, 9], "tree_spacing": "1.5 m"}]}
# of vigorous and of weak growth, all flowering near the middle
TREES = {"Gala": 60, "Golden Delicious": 60, "Mutsu": 70, "Fuji": 60, "Liberty": 60, "Empire": 60}


@pytest.fixture(scope="module")
def wide(
    make_plan: Callable[..., Plan],
    make_seasons: Callable[[], PlaceSeasons],
    make_choice: Callable[..., Choice],
    catalogue: Catalogue,
) -> tuple[Ground, Layout]:
    plan = make_plan([WIDE])
    ground = survey(plan, catalogue)
    return ground, laid_out(plan, catalogue, make_seasons(), ground, make_choice(TREES))


def test_rows_of_a_group_stand_at_its_distance_between_the_same_posts(
    wide: tuple[Ground, Layout], make_plan: Callable[..., Plan], catalogue: Catalogue
) -> None:
    ground, _ = wide
    plain = survey(make_plan([BLOCK]), catalogue)
    for row, before in zip(ground.blocks[0].rows, plain.blocks[0].rows, strict=True):
        apart = 1.5 if 6 <= row.number <= 9 else 1.0
        assert row.tree_spacing == pytest.approx(apart)
        np.testing.assert_allclose(row.start, before.start, atol=1e-6)
        assert before.length - apart < row.length <= before.length + 1e-6
        here = (ground.row == row.number - 1) & (ground.block == 0)
        steps = np.hypot(np.diff(ground.x[here]), np.diff(ground.y[here]))
        climb = (row.end_height - row.start_height) / row.length
        np.testing.assert_allclose(steps, apart * np.sqrt(1 - climb**2), rtol=1e-3)
    assert ground.place_area.max() == pytest.approx(1.5 * 3.5)


def test_the_grid_of_pollen_follows_both_distances(wide: tuple[Ground, Layout]) -> None:
    ground, _ = wide
    line, step = grid_of(ground)
    assert len(set(zip(line.tolist(), step.tolist(), strict=True))) == ground.capacity
    along = free_path(ground, np.full(ground.capacity, -1)).along
    for row in np.unique(ground.row):
        here = ground.row == row
        off = np.abs(np.abs(step[here] - step[here][0]) - (along[here] - along[here][0]) / 1.0)
        assert off.max() <= 0.5 + 1e-6


def test_the_strong_pair_is_brought_to_the_wide_rows(wide: tuple[Ground, Layout]) -> None:
    ground, layout = wide
    strong = layout.cultivars.index("Mutsu")
    given = ground.between_trees
    there = layout.cultivar >= 0
    assert given[layout.cultivar == strong].mean() > given[there & (layout.cultivar != strong)].mean() + 0.2
    assert layout.hours is not None
    assert layout.hours.room >= 0.0
    assert layout.pollen[there].min() >= 1.0


def test_what_a_group_saves_by_hand(make_plan: Callable[..., Plan], catalogue: Catalogue) -> None:
    ground = survey(make_plan([BLOCK]), catalogue)
    placed = np.zeros(ground.capacity, dtype=np.int64)
    placed[:80] = 1
    prices = Prices()
    # 80 trees that want 1.524 m and have 1 m: 0.1 h a year for each whole spacing they lack
    (group,) = worthwhile_groups(ground, placed, np.array([1.0, 1.524]), prices)
    assert group.kinds == (1,)
    assert group.apart == pytest.approx(1.524)
    assert group.saved == pytest.approx(80 * 0.1 * 0.524)
    assert group.places < 0
    assert group.rows[1] == len(ground.blocks[0].rows)
    # weak ones that fill two thirds of their room leave a third idle, half of a crop's worth
    assert room_cost(np.array([0.67]), 1.0, prices)[0] == pytest.approx(prices.tree * 0.5 * 0.33)
    assert worthwhile_groups(ground, placed, np.array([1.0, 1.1]), prices) == ()


def test_it_is_told_where_a_group_would_pay(
    make_plan: Callable[..., Plan],
    make_seasons: Callable[[], PlaceSeasons],
    make_choice: Callable[..., Choice],
    catalogue: Catalogue,
    wide: tuple[Ground, Layout],
) -> None:
    plan = make_plan([BLOCK])
    ground = survey(plan, catalogue)
    said = told(laid_out(plan, catalogue, make_seasons(), ground, make_choice(TREES)).notices)
    assert any("Mutsu" in line and "row_groups" in line for line in said), said
    assert not any("row_groups" in line for line in told(wide[1].notices))
