"""Money of one year in that of another."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class IndexRow:
    """One row of price_index.csv."""

    year: int
    index: float
    source: str | None
    mark: str


def in_money_of(year: int, wanted: int, index: Iterable[IndexRow]) -> float:
    """Factor from the money of one year to that of another, straight between the years known; held beyond them."""
    rows = sorted(index, key=lambda row: row.year)
    years, values = [row.year for row in rows], [row.index for row in rows]
    return float(np.interp(wanted, years, values) / np.interp(year, years, values))
