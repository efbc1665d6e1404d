"""Prices of the trade."""

from dataclasses import dataclass


@dataclass(frozen=True)
class PriceRow:
    """One row of prices.csv: middle, low and high of one item, in its own currency."""

    item: str
    price: float
    low: float | None
    high: float | None
    unit: str
    currency: str
    source: str | None
    mark: str
    remark: str | None
