"""Outside checks of the Choice department: compatibility of pairs, and what a dish takes from the crate.

Compatibility classes as numbers: 1 fully compatible, 0.5 half of the pollen, 0 none.
"""

from collections.abc import Callable
from functools import cache

from topwire.catalogue.model import Catalogue, Mark
from topwire.catalogue.tables import read_tables
from topwire.cellar.keeping import AGEING_PER_10_K, storage_life
from topwire.checks import Check
from topwire.choice.pollination import compatible_fraction
from topwire.choice.question import Dish

# (seed parent, donor, class, source, mark): published outcomes of crosses. READ where the outcome, or both genotypes,
# were seen in the source.
PAIRS = (
    ("Jonagold", "Golden Delicious", 0.0, "NCHIL302", Mark.READ),
    ("Mutsu", "Golden Delicious", 0.0, "NCHIL302", Mark.READ),
    ("Red Delicious", "Golden Delicious", 1.0, "GOLD1999", Mark.READ),
    ("Red Delicious", "Jonathan", 0.5, "GOLD1999", Mark.READ),
    ("Red Delicious", "Red Delicious", 0.0, "GOLD1999", Mark.READ),
    ("Fuji", "Fuji", 0.0, "JSTAGE-FUJI", Mark.READ),
    ("Honeycrisp", "Red Delicious", 1.0, "JAH2018", Mark.READ),
    ("Honeycrisp", "Golden Delicious", 0.5, "JAH2018", Mark.READ),
    ("Honeycrisp", "Gala", 0.5, "JAH2018", Mark.READ),
    ("Fuji", "Red Delicious", 0.5, "JAH2018", Mark.READ),
    ("Fuji", "Golden Delicious", 1.0, "JAH2018", Mark.READ),
    ("Gala", "Red Delicious", 1.0, "JAH2018", Mark.READ),
    ("Gala", "Golden Delicious", 0.5, "JAH2018", Mark.READ),
    ("Gala", "Jonagold", 0.0, "ONT", Mark.READ),
    ("Gala", "Mutsu", 0.0, "ONT", Mark.READ),
    ("Gala", "Rhode Island Greening", 0.0, "ONT", Mark.READ),
    ("Cox's Orange Pippin", "Kidd's Orange Red", 0.0, "BROOTHAERTS2004", Mark.MEMORY),
    ("Elstar", "Fiesta", 0.0, "BROOTHAERTS2004", Mark.MEMORY),
    ("Northern Spy", "Reine des Reinettes", 0.0, "BROOTHAERTS2004", Mark.MEMORY),
    ("Belle de Boskoop", "Golden Delicious", 0.0, "BROOTHAERTS2004", Mark.MEMORY),
    ("Cripps Pink", "Granny Smith", 0.5, "BROOTHAERTS2004", Mark.MEMORY),
    ("McIntosh", "Empire", 0.5, "BROOTHAERTS2004", Mark.MEMORY),
    ("Macoun", "McIntosh", 0.5, "BROOTHAERTS2004", Mark.MEMORY),
    ("Braeburn", "Granny Smith", 1.0, "FRWIKI", Mark.MEMORY),
    ("Cox's Orange Pippin", "Golden Delicious", 1.0, "BROOTHAERTS2004", Mark.MEMORY),
    ("Topaz", "Gala", 0.0, "FRWIKI", Mark.MEMORY),
)  # fmt: skip


@cache
def _catalogue() -> Catalogue:
    return Catalogue(read_tables())


def _pair(parent: str, donor: str) -> Callable[[], float]:
    return lambda: compatible_fraction(_catalogue().cultivar[donor], _catalogue().cultivar[parent])


def _dish(name: str) -> Callable[[], float]:
    return lambda: {row.name: row for row in _catalogue().rows("kitchen_dishes", Dish)}[name].whole_fruit


def checks() -> list[Check]:
    pairs = [
        Check(
            "Choice",
            f"share of {donor} pollen that sets {parent}",
            source,
            published,
            _pair(parent, donor),
            0.0,
            mark,
        )
        for parent, donor, published, source, mark in PAIRS
    ]
    faster = 1 / float(storage_life(1.0, 11.0, eating=False))
    return [
        *pairs,
        Check("Choice", "whole fruit in an eighth of a 9-inch pie of 3 lb [kg]", "KITCH-MSU, nine-inch pie",
              3 * 0.45359237 / 8, _dish("slice of pie"), 0.01, Mark.READ),
        Check("Choice", "whole fruit in 120 mL of sauce, 14 to 19 quarts a bushel [kg]",
              "KITCH-USDA, canned sauce", 0.12 / (16.5 * 0.946353 / 21.772434), _dish("sauce"), 0.02, Mark.READ),
        Check("Choice", "whole fruit in 200 mL of juice pressed at 0.625 L/kg [kg]", "KITCH-PRESS", 0.2 / 0.625,
              _dish("glass of juice"), 0.02, Mark.READ),
        Check("Cellar", "ageing at 11 °C beside 1 °C, times (published: 2 to 3)", "KEEP-IOWA", 2.5,
              lambda: faster, 0.5, Mark.READ),
        Check("Cellar", "ageing over 10 K, times (Golden Delicious respiration: 1.9)", "ANDRICH1998", 1.93,
              lambda: AGEING_PER_10_K, 0.75, Mark.READ),
    ]  # fmt: skip
