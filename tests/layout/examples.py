"""The shipped examples as the layout is asked about them: real weather, and a choice as the programme made it.

The numbers of trees are those of one run of the choice, written down here so that nothing here needs minutes of
optimisation; the whole plan is run elsewhere. Harvest weeks are those of the place.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np
from layout import worlds

from topwire.catalogue.model import Catalogue
from topwire.choice.findings import ChosenCultivar
from topwire.engine.inputs import read_inputs
from topwire.layout.asked import LastLayout, LayoutQuestion
from topwire.layout.findings import Ground, Layout
from topwire.layout.question import layout_question
from topwire.phenology.answer import answer
from topwire.phenology.findings import PlaceSeasons
from topwire.phenology.question import question

EXAMPLES = Path(__file__).parents[2] / "examples"
LARGE = ("valley-inn", "ridge-cider")
CHOSEN: dict[str, dict[str, int | tuple[int, int]]] = {
    "valley-inn": {
        "Golden Delicious": 6, "Granny Smith": 44, "Empire": 110, "Yellow Transparent": 6, "Red Astrachan": 7,
        "Co-op 32": 6, "Freedom": 110, "Enterprise": 108, "GoldRush": 6, "Novamac": 29, "Florina": 110,
        "Arkansas Black": 55, "Winesap": 110, "Esopus Spitzenburg": 6, "Maiden Blush": 39, "Summer Rambo": 9,
        "Black Limbertwig": 56, "Harrison": 12, "King David": 110, "Carolina Red June": 6, "Tom Putt": 7,
        "Stembridge Cluster": 110, "Kermerrien": 45, "Douce Moen": 110, "Father Abraham": 10,
        "Summer Limbertwig": 8, "Summer Rose": 17, "Yellow June": 6, "Benoni": 8, "Chenango Strawberry": 20,
        "Transparente de Croncels": 24,
    },
    "ridge-cider": {
        "Golden Delicious": 140, "Northern Spy": (0, 8), "Discovery": 5, "Worcester Pearmain": 5,
        "Court Pendu Plat": 140, "Akane": 5, "Freedom": 140, "Enterprise": 6, "Florina": 44,
        "Golden Russet": (0, 12), "Black Limbertwig": 77, "King David": 140, "Carolina Red June": 5,
        "Kingston Black": 5, "Stoke Red": 25, "Porter's Perfection": 140, "Binet Rouge": 115, "Kermerrien": 140,
        "Father Abraham": 17, "Benoni": 5, "Golden Harvey": 8, "Sturmer Pippin": 6,
    },
    "garden-fence": {"Liberty": 1, "Freedom": 1, "Enterprise": 3, "King David": 3},
}  # fmt: skip


def asked_of(name: str, *, scaled: Ground | None = None) -> tuple[LayoutQuestion, PlaceSeasons, Catalogue]:
    """What the layout of an example is asked; on other ground its mix of cultivars in proportion."""
    inputs = read_inputs(EXAMPLES / name)
    ground = scaled or worlds.survey(inputs.plan, inputs.catalogue, inputs.outlines, inputs.standing)
    seasons = answer(question(inputs.plan, inputs.catalogue, inputs.weather))
    trees = CHOSEN[name]
    if scaled is not None:
        whole = sum(sum(said) if isinstance(said, tuple) else said for said in trees.values())
        share = 0.99 * scaled.capacity / whole
        trees = {
            kind: int(share * (sum(said) if isinstance(said, tuple) else said))
            for kind, said in trees.items()
        }
    choice = worlds.choice(inputs.catalogue, trees, stock=inputs.plan.trees.rootstock)
    chosen = tuple(replace(row, harvest_weeks=_weeks(row, seasons)) for row in choice.chosen)
    choice = replace(choice, chosen=chosen)
    asked = layout_question(inputs.plan, inputs.catalogue, seasons, ground, choice, inputs.weather)
    return asked, seasons, inputs.catalogue


def _weeks(row: ChosenCultivar, seasons: PlaceSeasons) -> tuple[int, int]:
    """Of harvest in the middle year."""
    at = seasons.cultivars.index(row.name)
    days = [np.nanmedian(each[:, at]) for each in (seasons.harvest_first, seasons.harvest_last)]
    first, last = (int(min(52, max(1, (day - 1) // 7 + 1))) for day in days)
    return first, last


def last_of(ground: Ground, layout: Layout) -> LastLayout:
    """A layout as the next plan finds it."""
    addresses = [ground.address(index) for index in range(ground.capacity)]
    names = np.array([*layout.cultivars, ""])[layout.cultivar]
    return LastLayout(
        tuple(address.block for address in addresses),
        np.array([address.row for address in addresses]),
        np.array([address.place for address in addresses]),
        tuple(str(name) for name in names),
        layout.asked,
        layout.from_last,
    )


def one_more(asked: LayoutQuestion, name: str) -> LayoutQuestion:
    """One tree more of a cultivar, and one fewer of the largest planting where no place is free."""
    free = sum(not tree for tree in asked.ground.standing_cultivar) - sum(
        row.trees for row in asked.cultivars
    )
    largest = max((row for row in asked.cultivars if row.name != name), key=lambda row: row.trees).name
    return replace(
        asked,
        cultivars=tuple(
            replace(row, trees=row.trees + (row.name == name) - (row.name == largest and free < 1))
            for row in asked.cultivars
        ),
    )
