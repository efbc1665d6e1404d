"""The bars of the layout on the shipped examples, with real weather and a choice as the programme made it.

The numbers of trees are those of one run of the choice, written down here so that this test needs no minute of
optimisation; the whole plan is run elsewhere.
"""

from pathlib import Path

import numpy as np
import pytest
from layout import worlds
from layout.claims import reckoned

from topwire.engine.inputs import read_inputs
from topwire.layout.findings import Ground, Layout
from topwire.phenology.answer import answer
from topwire.phenology.question import question

EXAMPLES = Path(__file__).parents[2] / "examples"
LOOKED_AT = 60  # trees whose pollen is reckoned anew
CHOSEN: dict[str, dict[str, int | tuple[int, int]]] = {
    "valley-inn": {
        "Golden Delicious": 9, "Fuji": 9, "Granny Smith": 9, "Rome Beauty": 11, "Northern Spy": 14,
        "Discovery": 7, "Worcester Pearmain": 22, "Kidd's Orange Red": 11, "Court Pendu Plat": 8,
        "Yellow Transparent": 6, "Red Astrachan": 14, "Minnewashta": 7, "Co-op 32": 6, "GoldRush": 35,
        "Arkansas Black": 36, "Winesap": 110, "Esopus Spitzenburg": 6, "Wealthy": 35, "Summer Rambo": 13,
        "Black Limbertwig": 41, "King David": 17, "Carolina Red June": 6, "Reine des Reinettes": 23,
        "Annie Elizabeth": 29, "Grenadier": 8, "Golden Noble": 110, "Porter's Perfection": 110,
        "Brown's Apple": 110, "Tom Putt": 8, "Sweet Alford": 57, "Medaille d'Or": 110, "Binet Rouge": 22,
        "Kermerrien": 110, "Douce Moen": 110,
    },
    "ridge-cider": {
        "Golden Delicious": 10, "Fuji": 6, "Rome Beauty": 24, "Northern Spy": (0, 8), "Discovery": 5,
        "Worcester Pearmain": 5, "Court Pendu Plat": 84, "GoldRush": 5, "Winesap": 111,
        "Golden Russet": (0, 12), "Wealthy": 7, "Summer Rambo": 5, "Black Limbertwig": 9,
        "Carolina Red June": 5, "Reine des Reinettes": 8, "Kingston Black": 5, "Stoke Red": 130,
        "Brown's Apple": 135, "Medaille d'Or": 140, "Reine des Pommes": 92, "Vilberie": 140, "Kermerrien": 140,
        "Judaine": 117,
    },
    "garden-fence": {
        "Akane": 1, "Arkansas Black": 1, "Black Limbertwig": 3, "King David": 2, "Reine des Reinettes": 1,
    },
}  # fmt: skip


@pytest.fixture(scope="module", params=list(CHOSEN))
def example(request: pytest.FixtureRequest) -> tuple[str, Ground, Layout]:
    name: str = request.param
    inputs = read_inputs(EXAMPLES / name)
    ground = worlds.survey(inputs.plan, inputs.catalogue, inputs.outlines, inputs.standing)
    seasons = answer(question(inputs.plan, inputs.catalogue, inputs.weather))
    choice = worlds.choice(inputs.catalogue, CHOSEN[name], stock=inputs.plan.trees.rootstock)
    layout = worlds.laid_out(inputs.plan, inputs.catalogue, seasons, ground, choice)
    every = max(1, ground.capacity // LOOKED_AT)
    trees = np.flatnonzero(layout.cultivar >= 0)[::every].tolist()
    again = reckoned(ground, layout, seasons, inputs.catalogue, trees)
    for tree, said in zip(trees, again, strict=True):
        assert layout.pollen[tree] == pytest.approx(said.pollen, rel=0.005, abs=0.002)
        assert layout.donors_in_reach[tree] == said.donors
    return name, ground, layout


def test_every_tree_has_pollen_in_nine_years_of_ten(example: tuple[str, Ground, Layout]) -> None:
    _, _, layout = example
    there = layout.cultivar >= 0
    assert layout.pollen[there].min() >= 1.0
    assert layout.pollen_good_years >= 0.9


def test_every_tree_has_two_donors_within_twenty_metres(example: tuple[str, Ground, Layout]) -> None:
    _, _, layout = example
    assert layout.donors_in_reach[layout.cultivar >= 0].min() >= 2


def test_the_pickers_walk_is_short(example: tuple[str, Ground, Layout]) -> None:
    name, _, layout = example
    if name != "garden-fence":  # eight trees in one row leave nothing to save
        assert layout.walks.here <= 0.7 * layout.walks.random_trees


def test_runs_are_whole_and_standing_trees_stay(example: tuple[str, Ground, Layout]) -> None:
    name, ground, layout = example
    if name != "garden-fence":
        assert min(run.last - run.first + 1 for run in layout.runs) >= 5
    names = np.array([*layout.cultivars, ""])[layout.cultivar]
    for index, cultivar in enumerate(ground.standing_cultivar):
        if cultivar:
            assert names[index] == cultivar
            assert layout.standing[index]
    wanted = {kind: sum(said) if isinstance(said, tuple) else said for kind, said in CHOSEN[name].items()}
    placed = {kind: layout.trees_of(kind) for kind in wanted}
    if sum(wanted.values()) <= ground.capacity:
        assert placed == wanted
    else:  # the ground has fewer places than trees were chosen: it is full, and no kind is short of many
        assert sum(placed.values()) == ground.capacity
        assert all(0 <= wanted[kind] - placed[kind] <= 8 for kind in wanted)
