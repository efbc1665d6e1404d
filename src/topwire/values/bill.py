"""A bill of goods: what to buy, how much of it, at what price."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from math import isclose

from topwire.values.mark import Mark

QUANTITY_NEAR, PRICE_NEAR = 2e-3, 5e-4  # share by which a figure of a bill may be off as it is printed


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


def digits_by_hand(value: float, near: float, least: int = 0) -> int:
    """Decimals of a figure of a bill, so many that it is right within the share `near`: quantity times price is then
    the cost, as whoever checks the bill by hand works it out."""
    return next((at for at in range(least, 5) if isclose(round(value, at), value, rel_tol=near)), 5)
