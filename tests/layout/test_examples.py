"""The bars of the layout on the shipped examples, with real weather and a choice as the programme made it.

The numbers of trees are those of one run of the choice, written down here so that this test needs no minute of
optimisation; the whole plan is run elsewhere.
"""

from pathlib import Path

import numpy as np
import pytest
from layout import worlds

from topwire.engine.inputs import read_inputs
from topwire.layout.planting import lay_out
from topwire.layout.result import Ground, Layout
from topwire.layout.survey import survey_ground
from topwire.phenology.answer import answer
from topwire.phenology.question import question

EXAMPLES = Path(__file__).parents[2] / "examples"
CHOSEN: dict[str, dict[str, int | tuple[int, int]]] = {
    "valley-inn": {
        "Golden Delicious": 27, "Fuji": 32, "Northern Spy": 27, "Discovery": 16, "Worcester Pearmain": 24,
        "Kidd's Orange Red": 19, "Court Pendu Plat": 14, "Yellow Transparent": 13, "Red Astrachan": 20, "Zestar": 19,
        "Sansa": 12, "Akane": 17, "Pristine": 16, "Redfree": 12, "Williams' Pride": 14, "Enterprise": 16,
        "GoldRush": 47, "Crimson Crisp": 14, "Novamac": 16, "Arkansas Black": 38, "Winesap": 88,
        "Esopus Spitzenburg": 21,
        "Roxbury Russet": 18, "Summer Rambo": 16, "King David": 16, "Ralls Janet": 18, "Carolina Red June": 13,
        "Cameo": 18, "Reinette Grise du Canada": 15, "Reine des Reinettes": 26,
    },
    "ridge-cider": {
        "Golden Delicious": 12, "Fuji": 16, "Mutsu": 13, "Northern Spy": (11, 8), "James Grieve": 12, "Discovery": 12,
        "Worcester Pearmain": 14, "Egremont Russet": 13, "Kidd's Orange Red": 11, "Holstein": 13, "Zestar": 13,
        "Sansa": 11, "Williams' Pride": 11, "Enterprise": 12, "GoldRush": 13, "Crimson Crisp": 13, "Priscilla": 12,
        "Nova Easygro": 12, "Winesap": 84, "Golden Russet": (16, 12), "Wealthy": 14,
        "Magnum Bonum": 10, "Black Limbertwig": 12, "Kingston Black": 19,
    },
    "garden-fence": {
        "Akane": 1, "Arkansas Black": 1, "Black Limbertwig": 3, "King David": 2, "Reine des Reinettes": 1,
    },
}  # fmt: skip


@pytest.fixture(scope="module", params=list(CHOSEN))
def example(request: pytest.FixtureRequest) -> tuple[str, Ground, Layout]:
    name: str = request.param
    inputs = read_inputs(EXAMPLES / name)
    ground = survey_ground(inputs.plan, inputs.catalogue, inputs.outlines, inputs.standing)
    seasons = answer(question(inputs.plan, inputs.catalogue, inputs.weather))
    choice = worlds.choice(inputs.catalogue, CHOSEN[name], stock=inputs.plan.trees.rootstock)
    return name, ground, lay_out(inputs.plan, inputs.catalogue, seasons, ground, choice)


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
    assert layout.picking_walk <= layout.picking_walk_catalogue
    if name != "garden-fence":  # eight trees in one row leave nothing to save
        assert layout.picking_walk <= 0.7 * layout.picking_walk_random


def test_runs_are_whole_and_standing_trees_stay(example: tuple[str, Ground, Layout]) -> None:
    name, ground, layout = example
    if name != "garden-fence":
        assert min(run.last - run.first + 1 for run in layout.runs) >= 5
    names = np.array([*layout.cultivars, ""])[layout.cultivar]
    for index, cultivar in enumerate(ground.standing_cultivar):
        if cultivar:
            assert names[index] == cultivar
            assert layout.standing[index]
    for cultivar, said in CHOSEN[name].items():
        assert layout.trees_of(cultivar) == (sum(said) if isinstance(said, tuple) else said)
