"""Rates, hours and numbers of propagation."""

from dataclasses import dataclass


@dataclass(frozen=True)
class PropagationRow:
    """One row of propagation.csv; shares run from 0 to 1."""

    item: str
    low: float
    middle: float
    high: float
    unit: str
    source: str | None
    mark: str
    remark: str | None
