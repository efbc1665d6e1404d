"""The planted layout: every tree counted, standing ones untouched, figures in the result."""

from collections import Counter
from collections.abc import Callable

import numpy as np
import pytest
from layout.worlds import laid_out, survey, told
from pydantic import TypeAdapter

from topwire.catalogue.model import Catalogue
from topwire.choice.findings import Choice
from topwire.layout.asked import LastLayout
from topwire.layout.findings import Ground, Layout
from topwire.layout.measure import least_walk, season_walk
from topwire.layout.path import free_path
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.plan.standing import StandingTree

FIELD = {
    "name": "South",
    "rectangle": {"length": "70 m", "width": "36 m"},
    "row_bearing": 0.0,
    "tree_spacing": "1 m",
    "row_spacing": "3.5 m",
    "slope": "6 %",
}
TREES = {
    "Golden Delicious": 50,
    "Gala": 60,
    "McIntosh": 40,
    "Cortland": 45,
    "Golden Russet": 70,
    "GoldRush": 55,
    "Northern Spy": 40,
    "Liberty": 35,
    "Fuji": 50,
    "Empire": 40,
}


@pytest.fixture(scope="module")
def planted(
    make_plan: Callable[..., Plan],
    make_seasons: Callable[[], PlaceSeasons],
    make_choice: Callable[..., Choice],
    catalogue: Catalogue,
) -> Callable[..., tuple[object, Layout]]:
    def plant(
        trees: dict[str, int | tuple[int, int]],
        standing: tuple[StandingTree, ...] = (),
        before: LastLayout | None = None,
        **block: object,
    ):  # type: ignore[no-untyped-def]
        plan = make_plan([FIELD | block])
        ground = survey(plan, catalogue, {}, standing)
        return ground, laid_out(plan, catalogue, make_seasons(), ground, make_choice(trees), before)

    return plant  # type: ignore[return-value]


@pytest.fixture(scope="module")
def orchard(planted):  # type: ignore[no-untyped-def]
    return planted(TREES)


def test_every_chosen_tree_stands_somewhere(orchard) -> None:  # type: ignore[no-untyped-def]
    _, layout = orchard
    assert {name: layout.trees_of(name) for name in TREES} == TREES
    assert sum(run.last - run.first + 1 for run in layout.runs) == sum(TREES.values())


def test_runs_are_no_shorter_than_stated_and_few(orchard) -> None:  # type: ignore[no-untyped-def]
    ground, layout = orchard
    assert min(run.last - run.first + 1 for run in layout.runs) >= 5
    assert len(layout.runs) <= len(TREES) + len(ground.blocks[0].rows) + 3


def test_pollen_is_enough_in_nine_years_of_ten(orchard) -> None:  # type: ignore[no-untyped-def]
    _, layout = orchard
    there = layout.cultivar >= 0
    assert layout.pollen[there].min() >= 1.0
    assert layout.donors_in_reach[there].min() >= 2
    assert layout.pollen_good_years >= 0.9


def test_no_planting_walks_less_than_the_bound(orchard) -> None:  # type: ignore[no-untyped-def]
    ground, layout = orchard
    path = free_path(ground, np.full(ground.capacity, -1))
    random = np.random.default_rng(4)
    for _ in range(40):
        ripe = np.zeros((len(layout.cultivars), 8), dtype=bool)
        first = random.integers(0, 7, len(layout.cultivars))
        ripe[np.arange(first.size), first] = ripe[np.arange(first.size), first + 1] = True
        few = np.where(
            random.random(ground.capacity) < random.random(), random.permutation(layout.cultivar), -1
        )
        for placed in (few, layout.cultivar):
            least = least_walk(ground, placed, ripe)
            assert least <= season_walk(ground, path, placed, ripe) + 1e-6
    assert 0.2 * layout.walks.here < layout.walks.least <= layout.walks.here


def test_the_walk_is_shorter_than_random_and_no_longer_than_catalogue_order(orchard) -> None:  # type: ignore[no-untyped-def]
    _, layout = orchard
    assert layout.walks.here <= 0.7 * layout.walks.random_trees
    assert layout.walks.here <= layout.walks.catalogue_order


def test_equal_plans_give_equal_layouts(orchard, planted) -> None:  # type: ignore[no-untyped-def]
    _, layout = orchard
    _, again = planted(TREES)
    np.testing.assert_array_equal(again.cultivar, layout.cultivar)
    assert again.hours == layout.hours


def test_coordinates_go_with_the_ground(orchard) -> None:  # type: ignore[no-untyped-def]
    ground, layout = orchard
    assert layout.longitude[0] == pytest.approx(ground.origin_longitude + ground.x[0] / 86_400, abs=1e-5)
    assert layout.latitude[0] == pytest.approx(ground.origin_latitude + ground.y[0] / 111_000, abs=1e-5)
    assert layout.along_row[0] == pytest.approx(0.5)
    assert layout.along_row[1] == pytest.approx(1.5)


def test_standing_trees_stay_and_gaps_are_filled_with_their_own(planted) -> None:  # type: ignore[no-untyped-def]
    standing = tuple(
        StandingTree("Golden Russet", "M.9 NAKBT337", "South", 2, place, 2015)
        for place in range(1, 41)
        if place not in (7, 8, 30)
    )
    ground, layout = planted(TREES | {"Golden Russet": (33, 37), "Empire": 30}, standing)
    names = np.array([*layout.cultivars, ""])[layout.cultivar]
    for tree in standing:
        at = next(
            i
            for i in range(ground.capacity)
            if str(ground.address(i)) == f"South {tree.row}, tree {tree.place}"
        )
        assert names[at] == "Golden Russet"
        assert layout.standing[at]
        assert layout.year_planted[at] == 2015
    assert len(layout.gaps) == 3
    assert [str(gap.first) for gap in layout.gaps] == [f"South 2, tree {place}" for place in (7, 8, 30)]
    assert layout.gaps[0].planted == ("Golden Russet",)
    for place in (7, 8, 30):
        at = next(i for i in range(ground.capacity) if str(ground.address(i)) == f"South 2, tree {place}")
        assert names[at] == "Golden Russet"
        assert not layout.standing[at]
        assert layout.year_planted[at] == 2027
    assert Counter(names)["Golden Russet"] == 70


def test_a_gap_without_new_trees_of_its_kind_stays_empty(planted) -> None:  # type: ignore[no-untyped-def]
    standing = tuple(
        StandingTree("Jonagold", "M.9 NAKBT337", "South", 1, place, 2015)
        for place in range(1, 20)
        if place != 9
    )
    ground, layout = planted({"Gala": 50, "Fuji": 50}, standing)
    at = next(i for i in range(ground.capacity) if str(ground.address(i)) == "South 1, tree 9")
    assert layout.cultivar[at] == -1
    assert (layout.gaps[0].wanted, layout.gaps[0].planted) == ("Jonagold", ())


def test_a_wide_gap_takes_a_run_of_new_trees(planted) -> None:  # type: ignore[no-untyped-def]
    standing = tuple(
        StandingTree("Jonagold", "M.9 NAKBT337", "South", 1, place, 2015)
        for place in range(1, 40)
        if not 10 <= place <= 21
    )
    _, layout = planted({"Gala": 150, "Fuji": 150}, standing)
    assert len(layout.gaps) == 1
    assert (str(layout.gaps[0].first), layout.gaps[0].last) == ("South 1, tree 10", 21)
    assert layout.gaps[0].planted


def test_too_many_trees_are_cut_down_and_told(planted) -> None:  # type: ignore[no-untyped-def]
    ground, layout = planted({"Gala": 600, "Fuji": 500})
    assert (layout.cultivar >= 0).sum() == ground.capacity
    assert any("find no place" in line for line in told(layout.notices))


def test_a_lone_cultivar_is_told_it_has_no_donor(planted) -> None:  # type: ignore[no-untyped-def]
    _, layout = planted({"Gala": 60})
    assert layout.exact
    assert any("fewer than two useful donor" in line for line in told(layout.notices))


def test_weak_and_strong_pairs_are_told(
    make_plan: Callable[..., Plan],
    make_seasons: Callable[[], PlaceSeasons],
    make_choice: Callable[..., Choice],
    catalogue: Catalogue,
) -> None:
    plan = make_plan([FIELD], trellis={"wire_heights": ["1 m", "3.2 m"]})
    ground = survey(plan, catalogue, {}, ())
    weak = laid_out(
        plan, catalogue, make_seasons(), ground, make_choice({"Honeycrisp": 20, "Gala": 20}, "B.9")
    )
    assert any("Honeycrisp on B.9 is a weak pair" in line for line in told(weak.notices))
    strong = laid_out(
        plan, catalogue, make_seasons(), ground, make_choice({"Mutsu": 20, "Gala": 20}, "MM.106")
    )
    assert any("Mutsu on MM.106 is a strong pair" in line for line in told(strong.notices))


def test_the_layout_survives_being_written_and_read(orchard) -> None:  # type: ignore[no-untyped-def]
    _, layout = orchard
    adapter = TypeAdapter(Layout)
    again = adapter.validate_json(adapter.dump_json(layout))
    np.testing.assert_array_equal(again.cultivar, layout.cultivar)
    np.testing.assert_allclose(again.pollen, layout.pollen)
    assert again.runs == layout.runs


def last(ground: Ground, layout: Layout) -> LastLayout:
    """The layout as the next plan finds it."""
    addresses = [ground.address(index) for index in range(ground.capacity)]
    names = np.array([*layout.cultivars, ""])
    return LastLayout(
        tuple(address.block for address in addresses),
        np.array([address.row for address in addresses]),
        np.array([address.place for address in addresses]),
        tuple(str(name) for name in names[layout.cultivar]),
        layout.asked,
        layout.from_last,
    )


def test_one_tree_more_leaves_nearly_all_where_they_stood(orchard, planted) -> None:  # type: ignore[no-untyped-def]
    ground, layout = orchard
    before = last(ground, layout)
    _, same = planted(TREES, before=before)
    np.testing.assert_array_equal(same.cultivar, layout.cultivar)
    assert same.moved == ()
    _, more = planted(TREES | {"Gala": TREES["Gala"] + 1}, before=before)
    assert more.trees_of("Gala") == TREES["Gala"] + 1
    changed = sum(move.places for move in more.moved if move.was)
    assert changed <= 0.05 * sum(TREES.values())
    assert changed == int(((layout.cultivar >= 0) & (more.cultivar != layout.cultivar)).sum())
    assert any("change their cultivar" in line or "planted that were" in line for line in told(more.notices))
