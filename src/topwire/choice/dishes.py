"""Dishes to whole fruit: what a portion takes from the crate."""

from dataclasses import dataclass
from difflib import get_close_matches

from topwire.catalogue.model import Catalogue
from topwire.notices import Faults, fault
from topwire.plan.kitchen import Dishes


@dataclass(frozen=True)
class Dish:
    """One row of kitchen_dishes.csv: whole fruit [kg] in a portion, low to high."""

    name: str
    use: str
    whole_fruit_low_kg: float
    whole_fruit_high_kg: float
    portion: str
    source: str | None
    mark: str | None

    @property
    def whole_fruit(self) -> float:
        return (self.whole_fruit_low_kg + self.whole_fruit_high_kg) / 2


def whole_fruit_per_week(dishes: Dishes, catalogue: Catalogue) -> float:
    """Whole fruit a week. [kg]

    Raises
    ------
    Faults
        When the kitchen table has no such dish.
    """
    table = {row.name: row for row in catalogue.rows("kitchen_dishes", Dish)}
    if dishes.dish not in table:
        near = get_close_matches(dishes.dish, table, n=1)
        remedy = f"Did you mean {near[0]}?" if near else f"There are {', '.join(table)}."
        raise Faults([fault("plan.yaml, kitchen.needs", f"there is no dish “{dishes.dish}”.", remedy)])
    return dishes.guests_per_week * dishes.share * table[dishes.dish].whole_fruit
