"""A bill of goods: what to buy, how much of it, at what price."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from topwire.values.mark import Mark


class SoldBy(StrEnum):
    """How goods are counted; lengths are held in metres, weights in kilograms, volumes as they say."""

    PIECE = "piece"
    LENGTH = "length"
    SET = "set"
    BAG = "bag"
    HOUR = "hour"
    KILOGRAM = "kilogram"
    LITRE = "litre"
    CUBIC_METRE = "cubic metre"


@dataclass(frozen=True)
class BillLine:
    """One kind of goods.

    Attributes
    ----------
    item : name in the catalogue
    quantity : number, or metres where it is sold by length
    price : for one, or one metre, in the plan's currency; None where nobody has quoted it
    source : key of the bibliography the price was read in; empty for a proposal or an own price
    mark : what the price rests on
    """

    item: str
    quantity: float
    sold_by: SoldBy
    price: float | None
    source: str = ""
    mark: Mark = Mark.UNSAID

    @property
    def cost(self) -> float | None:
        return None if self.price is None else self.price * self.quantity


def together(lines: Iterable[BillLine]) -> float:
    """Sum of all lines that have a price, in the plan's currency."""
    return sum(line.cost or 0.0 for line in lines)
