"""The tables of the Years: crop by leaf, crop load."""

from dataclasses import dataclass


@dataclass(frozen=True)
class LeafRow:
    """One row of yield_by_leaf.csv."""

    leaf: int
    share: float
    goal_t_ha: float
    fruit_annual: float
    fruit_biennial: float
    source: str | None
    mark: str
    remark: str | None


@dataclass(frozen=True)
class LoadRow:
    """One row of crop_load.csv: fruits per cm2, or t/ha for the mature yield."""

    item: str
    low: float
    load: float
    high: float
    source: str | None
    mark: str
    remark: str | None
