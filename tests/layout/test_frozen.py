"""Frozen places keep what stands there; surveyed trees that the plan contradicts are a fault that says where."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from layout.examples import last_of
from layout.worlds import survey, told

from topwire.catalogue.model import Catalogue
from topwire.choice.findings import Choice
from topwire.layout.answer import lay_out
from topwire.layout.asked import LastLayout
from topwire.layout.findings import Ground, Layout
from topwire.layout.frozen import frozen_places
from topwire.layout.projection import to_degrees
from topwire.layout.question import layout_question
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.plan.standing import StandingTree, parse_standing
from topwire.values.fault import Faults
from topwire.values.notice import CannotAnswer

BLOCK = {
    "name": "South",
    "rectangle": {"length": "44 m", "width": "18 m"},
    "row_bearing": 0.0,
    "tree_spacing": "1 m",
    "row_spacing": "3.5 m",
}
BLOCKS = [BLOCK, BLOCK | {"name": "North"}]
TREES = {"Gala": 40, "Golden Delicious": 40, "Fuji": 40, "Liberty": 30, "Empire": 30, "GoldRush": 30}


Plant = Callable[..., tuple[Ground, Layout]]


@pytest.fixture
def plant(
    make_plan: Callable[..., Plan],
    make_seasons: Callable[[], PlaceSeasons],
    make_choice: Callable[..., Choice],
    catalogue: Catalogue,
) -> Plant:
    def planted(
        trees: Mapping[str, int], frozen: tuple[str, ...] = (), before: LastLayout | None = None
    ) -> tuple[Ground, Layout]:
        plan = make_plan(BLOCKS)
        ground = survey(plan, catalogue)
        asked = layout_question(plan, catalogue, make_seasons(), ground, make_choice(trees))
        return ground, lay_out(replace(asked, frozen=frozen, before=before))

    return planted


def test_nothing_moves_in_a_frozen_block_whatever_changes_elsewhere(plant: Plant) -> None:
    ground, layout = plant(TREES)
    before = np.array([*layout.cultivars, ""])[layout.cultivar]
    changed = {name: count + 4 for name, count in TREES.items()} | {"Cortland": 12}
    _, again = plant(changed, ("South", "north 2", "North 3, tree 4"), last_of(ground, layout))
    after = np.array([*again.cultivars, ""])[again.cultivar]
    places, unknown = frozen_places(ground, ("South", "north 2", "North 3, tree 4"))
    assert unknown == ()
    assert places.sum() == (ground.block == 0).sum() + ground.blocks[1].rows[1].places + 1
    np.testing.assert_array_equal(before[places], after[places])
    assert {name: int((after == name).sum()) for name in changed} == changed
    assert any("frozen" in line for line in told(again.notices))


def test_frozen_trees_no_longer_planted_are_told(plant: Plant) -> None:
    ground, layout = plant(TREES)
    fewer = TREES | {"Gala": 10}
    _, again = plant(fewer, ("South", "North"), last_of(ground, layout))
    assert any("30 frozen places lose their tree" in line for line in told(again.notices))
    kept = again.cultivar >= 0
    names = np.array([*again.cultivars, ""])
    before = np.array([*layout.cultivars, ""])[layout.cultivar]
    np.testing.assert_array_equal(before[kept], names[again.cultivar][kept])


def test_what_is_frozen_must_be_there(plant: Plant) -> None:
    _, layout = plant(TREES, ("West 3",))
    lines = told(layout.notices)
    assert any("West 3" in line and "names no block, row or tree" in line for line in lines), lines
    assert any("no layout in out/ yet" in line for line in lines)


@pytest.fixture
def stood(make_plan: Callable[..., Plan], catalogue: Catalogue) -> tuple[StandingTree, ...]:
    """Twenty trees surveyed where the plan put them."""
    ground = survey(make_plan([BLOCK]), catalogue)
    longitude, latitude = to_degrees(
        ground.x, ground.y, origin=(ground.origin_longitude, ground.origin_latitude)
    )
    addresses = [ground.address(index) for index in range(20)]
    return tuple(
        StandingTree("Gala", "M.9 NAKBT337", at.block, at.row, at.place, 2020, float(lon), float(lat))
        for at, lon, lat in zip(addresses, longitude, latitude, strict=False)
    )


@pytest.mark.parametrize(
    ("changed", "ground"),
    [
        ({"headland": "10 m"}, {}),
        ({"row_bearing": 8.0}, {}),
        ({}, {"gate": ["0 m", "44 m"]}),
        ({}, {"margin": "5 m"}),
    ],
)
def test_a_plan_that_moves_standing_trees_is_refused(
    changed: dict[str, Any],
    ground: dict[str, Any],
    stood: tuple[StandingTree, ...],
    make_plan: Callable[..., Plan],
    catalogue: Catalogue,
) -> None:
    survey(make_plan([BLOCK]), catalogue, standing=stood)
    with pytest.raises(CannotAnswer) as refused:
        survey(make_plan([BLOCK | changed], ground=ground), catalogue, standing=stood)
    (line,) = told(refused.value.notices)
    assert "(20 trees, from South 1, tree 1)" in line


def test_a_receivers_scatter_is_no_contradiction(
    stood: tuple[StandingTree, ...], make_plan: Callable[..., Plan], catalogue: Catalogue
) -> None:
    random = np.random.default_rng(2)
    scattered = tuple(
        replace(
            tree,
            longitude=(tree.longitude or 0) + random.normal(0, 0.8) / 86_000,
            latitude=(tree.latitude or 0) + random.normal(0, 0.8) / 111_000,
        )
        for tree in stood
    )
    assert survey(make_plan([BLOCK]), catalogue, standing=scattered).standing_year.max() == 2020


def test_longitude_and_latitude_are_read_where_they_stand(catalogue: Catalogue) -> None:
    head = "cultivar,rootstock,block,row,place,year,longitude (deg),latitude (deg)\n"
    names = catalogue.names.catalogue_name

    def read(line: str) -> tuple[StandingTree, ...]:
        return parse_standing(
            head + line,
            "planted.csv",
            cultivars=catalogue.cultivar,
            rootstocks=catalogue.rootstock,
            blocks=["South"],
            catalogue_name=names,
        )

    (tree,) = read("Gala,G.41,South,1,1,2020,-78.16,39.18\n")
    assert (tree.longitude, tree.latitude) == (-78.16, 39.18)
    (bare,) = read("Gala,G.41,South,1,1,2020,,\n")
    assert bare.longitude is None
    with pytest.raises(Faults) as wrong:
        read("Gala,G.41,South,1,1,2020,west,39.18\n")
    assert "planted.csv, line 2, longitude" in str(wrong.value.notices[0])
