"""Material of the first years that no other bill has: canes, clips, ties, guards, paint, the fence."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from topwire.values.bill import BillLine, SoldBy
from topwire.values.mark import Mark
from topwire.values.price import Price

FENCE = "deer fence"


@dataclass(frozen=True)
class GoodsRow:
    """One row of first_goods.csv: what one work takes, by tree or by clip of its cane."""

    use: str
    item: str
    work: str
    per: str
    amount: float
    source: str | None
    mark: str


def goods_bill(
    rows: Sequence[GoodsRow],
    works: Sequence[str],
    *,
    trees: int,
    clips: int,
    fence: float,
    prices: Mapping[str, Price],
) -> tuple[BillLine, ...]:
    """Every line with its price, in the order of the table.

    Parameters
    ----------
    works : sequence of str
        Items of work_calendar.csv this orchard has.
    clips : int
        On the cane of one tree.
    fence : float
        Length of the deer fence. [m]
    """
    number = {"tree": float(trees), "clip": float(trees * clips)}
    amounts: dict[str, float] = {}
    for row in rows:
        if row.work in works:
            amounts[row.item] = amounts.get(row.item, 0.0) + row.amount * number[row.per]
    lines = [_line(item, amount, SoldBy.PIECE, prices[item]) for item, amount in amounts.items() if amount]
    if fence > 0:
        lines.append(_line(FENCE, fence, SoldBy.LENGTH, prices[FENCE]))
    return tuple(lines)


def _line(item: str, amount: float, sold: SoldBy, price: Price) -> BillLine:
    mark = Mark(price.mark) if price.mark in tuple(Mark) else Mark.UNSAID
    return BillLine(item, amount, sold, price.price, price.source, mark)
