"""The bars of the layout on the shipped examples: pollen, walk, nothing moved without need, frozen ground."""

from dataclasses import replace

import numpy as np
import pytest
from layout.claims import reckoned
from layout.examples import CHOSEN, LARGE, asked_of, last_of, one_more

from topwire.layout.answer import lay_out
from topwire.layout.asked import LayoutQuestion
from topwire.layout.findings import Layout

LOOKED_AT = 60  # trees whose pollen is reckoned anew

Example = tuple[str, LayoutQuestion, Layout]


@pytest.fixture(scope="module", params=list(CHOSEN))
def example(request: pytest.FixtureRequest) -> Example:
    name: str = request.param
    asked, seasons, catalogue = asked_of(name)
    layout = lay_out(asked)
    every = max(1, asked.ground.capacity // LOOKED_AT)
    trees = np.flatnonzero(layout.cultivar >= 0)[::every].tolist()
    again = reckoned(asked.ground, layout, seasons, catalogue, trees)
    for tree, said in zip(trees, again, strict=True):
        assert layout.pollen[tree] == pytest.approx(said.pollen, rel=0.005, abs=0.002)
        assert layout.donors_in_reach[tree] == said.donors
    return name, asked, layout


def test_every_tree_has_pollen_in_nine_years_of_ten(example: Example) -> None:
    _, _, layout = example
    there = layout.cultivar >= 0
    assert layout.pollen[there].min() >= 1.0
    assert layout.pollen_good_years >= 0.9


def test_every_tree_has_two_donors_within_twenty_metres(example: Example) -> None:
    _, _, layout = example
    assert layout.donors_in_reach[layout.cultivar >= 0].min() >= 2


def test_the_pickers_walk_is_short(example: Example) -> None:
    name, _, layout = example
    if name in LARGE:  # eight trees in one row leave nothing to save
        assert layout.walks.here <= 0.88 * layout.walks.catalogue_order
        assert layout.walks.here <= 0.7 * layout.walks.random_trees


def test_runs_are_whole_and_standing_trees_stay(example: Example) -> None:
    name, asked, layout = example
    if name in LARGE:
        assert min(run.last - run.first + 1 for run in layout.runs) >= 5
    names = np.array([*layout.cultivars, ""])[layout.cultivar]
    for index, cultivar in enumerate(asked.ground.standing_cultivar):
        if cultivar:
            assert names[index] == cultivar
            assert layout.standing[index]
    wanted = {kind: sum(said) if isinstance(said, tuple) else said for kind, said in CHOSEN[name].items()}
    placed = {kind: layout.trees_of(kind) for kind in wanted}
    if sum(wanted.values()) <= asked.ground.capacity:
        assert placed == wanted
    else:  # the ground has fewer places than trees were chosen: it is full, and no kind is short of many
        assert sum(placed.values()) == asked.ground.capacity
        assert all(0 <= wanted[kind] - placed[kind] <= 8 for kind in wanted)


def test_the_spring_bees_have_is_told_for_every_cultivar(example: Example) -> None:
    _, asked, layout = example
    assert layout.bee_springs.shape == (len(layout.cultivars), 3)
    middle, poor, found = layout.bee_springs.T
    assert (poor <= middle).all()
    assert ((found > 0.3) & (found <= 1.0)).all()
    without = lay_out(replace(asked, bees=None, before=last_of(asked.ground, layout)))
    there = layout.cultivar >= 0
    assert layout.pollen_chance[there].mean() < without.pollen_chance[there].mean() + 1e-9


def test_one_tree_more_moves_at_most_one_in_twenty(example: Example) -> None:
    name, asked, layout = example
    if name not in LARGE:
        return
    before = last_of(asked.ground, layout)
    smallest = min((row for row in asked.cultivars if row.trees), key=lambda row: row.trees).name
    largest = max(asked.cultivars, key=lambda row: row.trees).name
    for more in (smallest, largest):
        again = lay_out(replace(one_more(asked, more), before=before))
        assert again.trees_of(more) == layout.trees_of(more) + 1
        changed = int(((layout.cultivar >= 0) & (again.cultivar != layout.cultivar)).sum())
        assert changed <= 0.05 * (layout.cultivar >= 0).sum(), (more, changed)


def test_nothing_moves_in_a_frozen_block(example: Example) -> None:
    name, asked, layout = example
    if name not in LARGE:
        return
    frozen = asked.ground.blocks[0].name
    here = asked.ground.block == 0
    outside = np.bincount(layout.cultivar[~here & (layout.cultivar >= 0)], minlength=len(layout.cultivars))
    change = dict(zip(layout.cultivars, np.minimum(outside, 8).tolist(), strict=True))
    largest = int(np.argmax(outside))
    # eight fewer of every cultivar that stands elsewhere, all of them more of another
    more = sum(change.values()) - change[layout.cultivars[largest]]
    rows = tuple(
        replace(row, trees=row.trees + (more if index == largest else -min(row.trees, change[row.name])))
        for index, row in enumerate(asked.cultivars)
    )
    before = last_of(asked.ground, layout)
    again = lay_out(replace(asked, cultivars=rows, before=before, frozen=(frozen,)))
    np.testing.assert_array_equal(again.cultivar[here], layout.cultivar[here])
    assert (again.cultivar[~here] != layout.cultivar[~here]).sum() >= more
