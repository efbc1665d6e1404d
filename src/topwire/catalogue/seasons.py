"""Rows of the tables on seasons: bloom groups, hardiness of wood and roots, harvest lists, stated climates."""

from dataclasses import dataclass
from enum import StrEnum

from topwire.values.traits import Chill


@dataclass(frozen=True)
class BloomGroup:
    """A row of bloom_groups.csv: chill [portions] without which there is no bloom."""

    group: Chill
    required: float
    source: str | None
    mark: str | None
    remark: str | None


@dataclass(frozen=True)
class ShapeFigure:
    """A row of bloom_shape.csv: a figure all cultivars and places share, with its standard error.

    `covariance` is that with the first six figures, in their order.
    """

    parameter: str
    value: float
    error: float
    covariance: str | None
    source: str | None
    mark: str | None
    remark: str | None


@dataclass(frozen=True)
class WoodHardiness:
    """A row of wood_hardiness.csv."""

    name: str
    hardiness: str
    source: str | None
    mark: str | None


@dataclass(frozen=True)
class RootHardiness:
    """A row of root_hardiness.csv: soil [deg C] that killed half the roots, in the tenderest and hardiest test read."""

    rootstock: str
    tenderest_c: float
    hardiest_c: float
    source: str | None
    mark: str | None
    remark: str | None

    @property
    def lethal(self) -> float:
        """Middle of the tests read [deg C]."""
        return (self.tenderest_c + self.hardiest_c) / 2.0


@dataclass(frozen=True)
class HarvestListed:
    """A row of harvest_lists.csv: a date in one place's list, in days from Golden Delicious in the same list."""

    entry: str
    cultivar: str
    place: str
    days_from_golden_delicious: float
    source: str | None
    mark: str | None


class ClimatePart(StrEnum):
    """What a row changes: days and nights in kelvin, rain and spread (of warm and cold spells) by a factor."""

    DAYS = "days"
    NIGHTS = "nights"
    RAIN = "rain"
    SPREAD = "spread"


@dataclass(frozen=True)
class MonthlyRow:
    """A figure of each month; `entry` is any word no other row has."""

    entry: str
    part: ClimatePart
    jan: float
    feb: float
    mar: float
    apr: float
    may: float
    jun: float
    jul: float
    aug: float
    sep: float
    oct: float
    nov: float
    dec: float

    @property
    def months(self) -> list[float]:
        return [
            *(self.jan, self.feb, self.mar, self.apr, self.may, self.jun),
            *(self.jul, self.aug, self.sep, self.oct, self.nov, self.dec),
        ]


@dataclass(frozen=True)
class StatedMonths(MonthlyRow):
    """A row of climate_changes.csv. Rows of one `change` belong together."""

    change: str


@dataclass(frozen=True)
class WarmingRow(MonthlyRow):
    """A row of warming_ways.csv: days or nights of a `way` [K for a kelvin over the year]."""

    way: str
    source: str | None
    mark: str | None
    remark: str | None
