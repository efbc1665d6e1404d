"""Soil before planting and feeding after it: the findings of the soil room."""

from dataclasses import dataclass
from enum import StrEnum

from topwire.soil.covers import CoverWindow
from topwire.soil.feeding import FeedLine, LeafLine
from topwire.soil.nutrients import Level, Nutrient
from topwire.values.bill import BillLine
from topwire.values.notice import Notice
from topwire.values.quantities import Count, Kilograms, KilogramsPerSquareMetre, Money, SquareMetres


@dataclass(frozen=True)
class SoilReading:
    """One figure of the test beside what is right; without a test only the range."""

    nutrient: Nutrient
    value: Count | None
    least: Count | None
    most: Count | None
    verdict: Level | None
    source: str


class LimeBy(StrEnum):
    """What the lime is reckoned from, surest first."""

    ACIDITY = "acidity"
    BUFFER = "buffer"
    CAROLINA = "carolina"
    TEXTURE = "texture"


@dataclass(frozen=True)
class LimeLine:
    """One way to reckon the lime.

    Attributes
    ----------
    pure : calcium carbonate for the depth worked
    as_spread : of the lime at hand
    chosen : the surest the test allows
    """

    by: LimeBy
    pure: KilogramsPerSquareMetre
    as_spread: KilogramsPerSquareMetre
    chosen: bool
    source: str


@dataclass(frozen=True)
class Dressing:
    """One spreading of lime; `months` before planting."""

    months: int
    on_ground: KilogramsPerSquareMetre
    amount: Kilograms


class Given(StrEnum):
    """What is worked in before planting."""

    PHOSPHATE = "phosphate"  # P2O5
    POTASH = "potash"  # K2O
    BORON = "boron"
    GYPSUM = "gypsum"


@dataclass(frozen=True)
class WorkedIn:
    """Nutrient to work in, over the blocks, from the milder to the fuller rule."""

    given: Given
    least: Kilograms
    most: Kilograms
    source: str


@dataclass(frozen=True)
class SoilFindings:
    """Soil and feeding of the new orchard.

    Attributes
    ----------
    tested : there is a test to go by, at least a pH
    lime : empty where none is needed or nothing is known
    dolomitic : magnesium is low: lime with magnesium in it; None: not tested
    covers : sown before planting, with their weeks here
    """

    tested: bool
    readings: tuple[SoilReading, ...]
    lime: tuple[LimeLine, ...]
    dolomitic: bool | None
    dressings: tuple[Dressing, ...]
    amounts: tuple[WorkedIn, ...]
    covers: tuple[CoverWindow, ...]
    feeding: tuple[FeedLine, ...]
    leaf: tuple[LeafLine, ...]
    area: SquareMetres
    bill: tuple[BillLine, ...]
    cost: Money
    currency: str
    notices: tuple[Notice, ...]
