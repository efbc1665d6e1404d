"""Goods that last: what this orchard needs, which of them are there already, and money of one year."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from topwire.values.price_index import IndexRow, in_money_of
from topwire.values.quantities import Money, Ratio


@dataclass(frozen=True)
class CapitalRow:
    """One row of capital.csv.

    Attributes
    ----------
    per, size : "each", or one for so much: "picker", "kg a week", "store m2", "hectare"
    year : of the price's money
    lasts : until it is bought again [years]
    first : needed from "planting", or from the "first crop"
    only : conditions that all have to hold, as of work_calendar.csv
    least_ground : tree ground from which it is worth having [m2]
    """

    item: str
    per: str
    size: float
    low: float
    middle: float
    high: float
    year: int
    currency: str
    lasts: int
    first: str
    only: str | None
    least_ground: float
    source: str | None
    mark: str
    remark: str | None


@dataclass(frozen=True)
class CapitalLine:
    """Goods that last, in the money of the plan's year.

    Attributes
    ----------
    per, number : what of, "store m2", "hectare", else pieces
    low, cost, high : of all of it
    year : of the price's own money, and `factor` what it was multiplied by
    lasts : until it is bought again [years]
    have : there already, so it costs nothing
    at_planting : needed then; else with the first crop
    """

    item: str
    per: str
    number: float  # of pieces; square metres of store, hectares
    low: Money
    cost: Money
    high: Money
    year: int
    factor: Ratio
    lasts: int
    have: bool
    at_planting: bool
    source: str
    mark: str

    @property
    def spent(self) -> float:
        return 0.0 if self.have else self.cost


# Rows of capital.csv that a plan has when it states the size of its cellar or its press.
COLD_ROOMS, PRESSES = ("cold room",), ("mill and rack press", "small press")
STORE, HECTARE = "store m2", "hectare"  # what a row of capital.csv may be for, and no pieces
# Of each pair the larger makes the smaller needless.
_INSTEAD = {
    "small mower": "mower",
    "small tree sprayer": "tree sprayer on a skid",
    "tree sprayer on a skid": "air-blast sprayer",
    "small press": "mill and rack press",
}


def capital_lines(
    rows: Sequence[CapitalRow],
    index: Sequence[IndexRow],
    *,
    money_year: int,
    conditions: Sequence[str],
    ground: float,
    amounts: Mapping[str, float],
    have: Sequence[str],
) -> tuple[CapitalLine, ...]:
    """What this orchard needs.

    Parameters
    ----------
    ground : float
        Tree ground. [m2]
    amounts : mapping
        Of each `per`: pickers, kilograms in the largest week, square metres of store, hectares.
    """
    fitting = {
        row.item: row
        for row in rows
        if set((row.only or "").split()) <= set(conditions) and ground >= row.least_ground
    }
    found = []
    for row in fitting.values():
        if _INSTEAD.get(row.item) in fitting:
            continue
        wanted = amounts.get(row.per, 1.0) / row.size
        number = wanted if row.per in (HECTARE, STORE) else float(ceil(round(wanted, 6)))
        if number <= 0:
            continue
        factor = in_money_of(row.year, money_year, index)
        low, middle, high = (number * factor * price for price in (row.low, row.middle, row.high))
        found.append(
            CapitalLine(
                row.item, row.per, number, low, middle, high, row.year, factor, row.lasts, row.item in have,
                row.first == "planting", row.source or "", row.mark,
            )
        )  # fmt: skip
    return tuple(found)
