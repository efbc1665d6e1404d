"""What is found of many places: each place's answer, or why it has none; of the region, what is worth propagating."""

from dataclasses import dataclass
from typing import Annotated

from topwire.phenology.findings import Misfit
from topwire.values.arrays import Integers
from topwire.values.estimate import Estimate
from topwire.values.quantities import (
    Count,
    DayOfYearArray,
    DaysLong,
    Kelvins,
    Kilograms,
    Money,
    Plain,
    Ratio,
    Share,
    ShareArray,
)
from topwire.values.units import Kind


@dataclass(frozen=True)
class WantedThere:
    """Trees of one cultivar that a place's plan wants, and how they are to come about."""

    cultivar: str
    rootstock: str
    trees: int  # in the place's orchard
    grafted: int  # new ones to be grafted: the others stand or are bought
    success: Share  # of grafts that end as good trees


@dataclass(frozen=True)
class PlannedThere:
    """What the whole plan of a place came to."""

    wanted: Kilograms  # a year, of all needs
    served: Kilograms  # in the mean year
    trees: int
    lines: tuple[WantedThere, ...]
    winter: int  # year in which the grafting winter ends
    correlation: Ratio  # between two grafts of one scion lot
    chance: Share  # wanted for all cultivars together
    cost: Money | None  # of the nursery
    currency: str


@dataclass(frozen=True)
class PlaceAnswer:
    """One place: its climate, and every cultivar there. Arrays are (cultivars,), ranges (3, cultivars) low to high."""

    id: str
    state: str  # hash of the row, the template, the weather file and the program
    key: str  # of the Question, or Questions, answered
    latitude: Annotated[float, Plain.ANGLE]
    longitude: Annotated[float, Plain.ANGLE]
    elevation: Annotated[float, Kind.LENGTH]
    years: int
    first_year: int
    last_year: int
    chill: Estimate  # [portions]
    last_frost: Estimate | None  # day of the year
    coldest: Estimate  # [deg C]
    zone: str
    frost_years: Share  # kill more than half the reference cultivar's bloom
    bloom_trend: DaysLong  # [d a decade]
    warmer_step: Kelvins  # of the plan's warmer climate; 0 = none asked for
    frost_years_warmer: tuple[Share, Share] | None  # over the ways days and nights can warm
    cell_nights: Share  # of spring nights from a grid cell: frost figures are too mild there
    cultivars: tuple[str, ...]
    chill_met: ShareArray  # of the years
    bloom: DayOfYearArray  # full bloom
    frost_loss: ShareArray  # of a full crop
    ripens: DayOfYearArray  # first pick
    bloom_warmer: DayOfYearArray  # middle year
    ripens_warmer: DayOfYearArray
    unfit: dict[str, tuple[Misfit, ...]]
    in_doubt: tuple[str, ...]  # fit today and not in the warmer climate
    season: Integers  # part of it that it ripens in: 0 summer, 1 main season, 2 late and hanging
    not_weighed: tuple[str, ...]  # by the plan's taste, needs or stock, or nobody knows who may propagate it
    licensed: tuple[str, ...]  # propagated by leave of a breeder only
    warnings: tuple[str, ...]  # what the reading of its weather warns of, each once
    planned: PlannedThere | None = None

    @property
    def fits(self) -> tuple[str, ...]:
        """Cultivars that fit today."""
        return tuple(name for name in self.cultivars if name not in self.unfit)

    @property
    def worth(self) -> tuple[str, ...]:
        """Of the lasting, those that the choice of this plan would weigh."""
        left_out = set(self.not_weighed)
        return tuple(name for name in self.lasting if name not in left_out)

    @property
    def lasting(self) -> tuple[str, ...]:
        """Cultivars that fit today and in the warmer climate asked for."""
        return tuple(name for name in self.fits if name not in self.in_doubt)


@dataclass(frozen=True)
class NotAnswered:
    """A row without an answer, and why."""

    id: str
    line: int  # of the file, or number in the folder
    reason: str
    ours: bool = False  # the program's or the machine's fault, not the row's


@dataclass(frozen=True)
class WorthPropagating:
    """One cultivar of the region's list."""

    cultivar: str
    fits: int  # places
    fits_warmer: int
    served_by: int  # places where it lasts and is weighed
    needed_by: int  # places that the list serves, and would not without it
    season: int  # part of it that it ripens in, as in PlaceAnswer
    licensed: bool  # propagated by leave of a breeder only


@dataclass(frozen=True)
class RegionList:
    """The fewest cultivars that serve most places well."""

    lines: tuple[WorthPropagating, ...]
    places: int  # with an answer
    servable: int  # of these, where anything fits
    served: int  # by the list
    asked: Share  # of the servable places to be served
    choices: int  # cultivars to choose from in each part of the season
    bound: int  # no list is shorter than this
    gap: Share  # of the list over the bound


@dataclass(frozen=True)
class JointLine:
    """One cultivar of one winter's joint order."""

    winter: int
    cultivar: str
    rootstock: str
    places: int
    trees: int
    grafts: int  # together
    grafts_apart: int  # were every place to make sure for itself, by bench grafts alone too
    chance: Share  # that its trees are all there


@dataclass(frozen=True)
class JointWinter:
    """One winter's order for all places together."""

    winter: int
    places: int
    trees: Count
    grafts: Count
    grafts_apart: Count
    chance: Share  # that all trees of all places are there


@dataclass(frozen=True)
class RegionFindings:
    """What holds for all places together."""

    region: RegionList | None
    winters: tuple[JointWinter, ...]
    orders: tuple[JointLine, ...]
    not_answered: tuple[NotAnswered, ...]
