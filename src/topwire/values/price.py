"""A price as a sum takes it, and what has to be said about the prices a sum rests on."""

from collections.abc import Iterable
from dataclasses import dataclass

from topwire.values.notice import Notice, assumption, warning

PROPOSED = ("proposal", "MEMORY")  # marks of prices nobody has quoted


@dataclass(frozen=True)
class Price:
    """One item's price, in its own currency; it is never converted. `mark` says whether anyone has quoted it."""

    item: str
    price: float
    currency: str
    mark: str
    source: str = ""
    low: float | None = None
    high: float | None = None

    @property
    def range(self) -> tuple[float, float]:
        """Low and high; the price itself where nobody has said."""
        return (self.price if self.low is None else self.low, self.price if self.high is None else self.high)


def price_notices(department: str, prices: Iterable[Price], currency: str) -> list[Notice]:
    """Prices in another currency than the plan's, and those that are planning figures."""
    used = sorted(prices, key=lambda price: price.item)
    notices = []
    foreign = [price for price in used if price.currency != currency]
    if foreign:
        notices.append(
            warning(
                "prices.foreign",
                setting="catalogue/prices.csv",
                concerns=[price.item for price in foreign],
                department=department,
                currency=currency,
                others=tuple(sorted({price.currency for price in foreign})),
            )
        )
    proposed = [price.item for price in used if price.mark in PROPOSED]
    if proposed:
        notices.append(
            assumption(
                "prices.proposed",
                setting="catalogue/prices.csv",
                concerns=proposed,
                department=department,
                proposed=len(proposed),
                of=len(used),
            )
        )
    return notices
