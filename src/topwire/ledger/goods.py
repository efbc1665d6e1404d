"""Material of the first years that no other bill has: canes, guards, paint, fence, drains, mulch, machines hired."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from topwire.values.bill import BillLine, SoldBy
from topwire.values.mark import Mark
from topwire.values.price import Price

FENCE = "deer fence"  # as a plan that has one names it
FENCE_WORK = "fence"
HIVE, HIVES_WORK = "hive for bloom", "hives in"
_HIVES = 3.7  # [1/ha] 2.5 to 5 (BEES-ACRE), and no fewer than two: one may be weak
_SOLD = {"m": SoldBy.LENGTH, "L": SoldBy.LITRE, "m3": SoldBy.CUBIC_METRE, "kg": SoldBy.KILOGRAM}


@dataclass(frozen=True)
class GoodsRow:
    """One row of first_goods.csv: what one work takes, by tree, clip of its cane, metre of fence and the like."""

    use: str
    item: str
    work: str
    per: str
    amount: float
    source: str | None
    mark: str


@dataclass(frozen=True)
class Amounts:
    """What goods are counted by; `per` of first_goods.csv.

    Attributes
    ----------
    clips : on the cane of one tree
    fence : length of a deer fence that has to be built [m]
    strip : ground of the tree strips [m2]
    ground : of the trees [m2]
    field : machines are hired; a garden does it by hand or borrows
    drain_spacing : between drains [m]
    """

    trees: int
    clips: int
    fence: float
    strip: float
    ground: float
    field: bool = True
    drain_spacing: float = 10.0

    def of(self, per: str) -> float:
        return {
            "tree": float(self.trees),
            "clip": float(self.trees * self.clips),
            "planting": float(self.field),
            "fence": float(self.fence > 0),
            "fence m": self.fence,
            "strip m2": self.strip,
            "ground m2": self.ground,
            "drain m": self.ground / self.drain_spacing,
        }[per]


def goods_bill(
    rows: Sequence[GoodsRow],
    works: Sequence[str],
    *,
    amounts: Amounts,
    prices: Mapping[str, Price],
    units: Mapping[str, str],
) -> tuple[BillLine, ...]:
    """Every line with its price, in the order of the table; what is sold by the piece in whole pieces.

    Parameters
    ----------
    works : sequence of str
        Items of work_calendar.csv this orchard has.
    units : mapping
        What each item's price is for, as in prices.csv.
    """
    wanted: dict[str, float] = {}
    for row in rows:
        if row.work in works:
            wanted[row.item] = wanted.get(row.item, 0.0) + row.amount * amounts.of(row.per)
    return tuple(_line(item, amount, units[item], prices[item]) for item, amount in wanted.items() if amount)


def fence_items(rows: Sequence[GoodsRow]) -> frozenset[str]:
    """Items of the deer fence."""
    return frozenset(row.item for row in rows if row.work == FENCE_WORK)


def yearly_bill(*, ground: float, price: Price) -> tuple[BillLine, ...]:
    """What is hired anew for every bloom.

    Parameters
    ----------
    ground : float
        Of the trees. [m2]
    """
    hives = max(2, ceil(_HIVES * ground / 1e4))
    return (_line(HIVE, float(hives), "each", price),)


def _line(item: str, amount: float, unit: str, price: Price) -> BillLine:
    mark = Mark(price.mark) if price.mark in tuple(Mark) else Mark.UNSAID
    sold = _SOLD.get(unit, SoldBy.PIECE)
    quantity = float(ceil(amount - 1e-9)) if sold is SoldBy.PIECE else amount
    return BillLine(item, quantity, sold, price.price, price.source, mark)
