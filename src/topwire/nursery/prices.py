"""Prices of the trade, from prices.csv, and the rule that no currency is ever converted."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from topwire.catalogue.model import Catalogue
from topwire.notices import Notice, assumption, warning


@dataclass(frozen=True)
class Price:
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

    @property
    def range(self) -> tuple[float, float]:
        return (
            self.price if self.low is None else self.low,
            self.price if self.high is None else self.high,
        )


def read_prices(catalogue: Catalogue) -> Mapping[str, Price]:
    """All prices by item."""
    return {row.item: row for row in catalogue.rows("prices", Price)}


def price_notices(
    prices: Mapping[str, Price], used: Iterable[str], currency: str, where: str
) -> list[Notice]:
    """What has to be said about the prices a sum rests on: another currency, and proposals nobody has quoted."""
    names = sorted(set(used))
    foreign = [name for name in names if prices[name].currency != currency]
    notices = []
    if foreign:
        others = ", ".join(sorted({prices[name].currency for name in foreign}))
        notices.append(
            warning(
                where,
                f"The plan counts in {currency}, but these prices are in {others} and are never converted: "
                f"{', '.join(foreign)}. Every sum made of them is wrong by the rate of exchange.",
                f"Put your own prices in catalogue/prices.csv with currency {currency}.",
            )
        )
    guesses = [name for name in names if prices[name].mark in ("proposal", "MEMORY")]
    if guesses:
        notices.append(
            assumption(
                where,
                f"{len(guesses)} of {len(names)} prices are planning figures, quoted by nobody: {', '.join(guesses)}.",
                "Replace them in catalogue/prices.csv with quotations.",
            )
        )
    return notices
