"""Fruit through the press: litres by style, press weeks and lots, tanks, what the fruit wants, what it is worth."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from topwire.values.arrays import Integers
from topwire.values.calendar import WEEKS
from topwire.values.estimate import Estimate
from topwire.values.notice import Notice
from topwire.values.quantities import (
    CubicMetres,
    DayOfYear,
    GramsPerLitre,
    Hours,
    Kilograms,
    KilogramsArray,
    Money,
    Pascals,
    Ratio,
    Share,
    SmallCubicMetres,
)
from topwire.values.terms import Blended, CiderClass, CiderStyle, PressKind, Tannin
from topwire.values.traits import Grade


@dataclass(frozen=True)
class Drink:
    """What is made of the juice of one need, in the middle year and over the years.

    Attributes
    ----------
    wanted : finished volume the plan asks for; None where it asks for fruit
    made : finished volume over the weather years
    fruit, juice : in the middle year
    alcohol : least and most in the bottle [% by volume]; dry : were it fermented dry
    ends : gravity it is bottled or drawn at
    within, chance : share of years within its bounds, by the middle figures, and with juice as it strays
    measured, ph_measured : share of its fruit that someone has measured
    pressure : in a closed bottle at 20 deg C; below zero none
    drops : in gravity that make its gas in the bottle
    left : share of the juice that is in bottle, keg or cask in the end
    vinegar : acetic acid [g/100 mL]; None of what is no vinegar
    price : of a litre, low, middle and high; value, making, bought : of the mean year's litres, what making them
        costs beside the fruit, and what their fruit would cost to buy
    """

    need: int
    product: Blended
    style: CiderStyle | None
    fermented: bool
    wanted: SmallCubicMetres | None
    made: Estimate
    mean_made: SmallCubicMetres
    mean_fruit: Kilograms
    fruit: Kilograms
    juice: SmallCubicMetres
    left: Share
    gravity: Ratio
    sugar: Ratio
    acid: GramsPerLitre
    tannin: GramsPerLitre
    ph: Ratio
    ph_spread: Ratio
    dry: tuple[Ratio, Ratio] | None
    alcohol: tuple[Ratio, Ratio] | None
    ends: tuple[Ratio, Ratio] | None
    within: Share
    chance: Share
    measured: Share
    ph_measured: Share
    pressure: Pascals | None
    drops: Ratio | None
    vinegar: Ratio | None
    price: tuple[Money, Money, Money]
    value: Money
    making: Money
    bought: Money


@dataclass(frozen=True)
class PressLot:
    """What is pressed for one drink in one week of the middle year.

    Attributes
    ----------
    alcohol : were it fermented dry, by its middle figures [% by volume]
    sulphite : total SO2 makers add at that pH; None where none is added or the juice wants acid first
    sharpen : the juice wants acid before anything else
    vessels : names of those it runs into
    of : cultivars with their fruit, most first
    """

    need: int
    week: int
    product: Blended
    fermented: bool
    fruit: Kilograms
    juice: SmallCubicMetres
    gravity: Ratio
    acid: GramsPerLitre
    tannin: GramsPerLitre
    ph: Ratio
    alcohol: Ratio
    sulphite: GramsPerLitre | None
    sharpen: bool
    vessels: tuple[str, ...]
    of: tuple[tuple[str, Kilograms], ...]


@dataclass(frozen=True)
class PressWeek:
    """A week of pressing: mean over the weather years, and the middle year; `days` the press runs in that one."""

    week: int
    mean: Kilograms
    hours: Hours
    fruit: Kilograms
    juice: SmallCubicMetres
    days: Ratio | None


@dataclass(frozen=True)
class VesselUse:
    """A vessel in the middle year; `full` is the week its last juice runs in, `product` empty where it stays free."""

    name: str
    barrel: bool
    holds: SmallCubicMetres
    product: str
    juice: SmallCubicMetres
    begins: int | None
    full: int | None
    weeks: tuple[Ratio, Ratio] | None


@dataclass(frozen=True)
class CiderFruit:
    """How the fruit of a cultivar comes to the press.

    Attributes
    ----------
    ripe, over : first ripe, and last of it down, in the middle year; of the whole season where it is known `by_season`
    sweated : from then on some of it is ready
    by : the last of it is to be milled
    """

    cultivar: str
    cider_class: CiderClass | None
    fruit: Kilograms
    ripe: DayOfYear
    over: DayOfYear
    sweated: DayOfYear
    by: DayOfYear
    biennial: Grade | None
    tannin: Tannin | None
    by_season: bool = False


@dataclass(frozen=True)
class PickedBy:
    """A way of getting the cider fruit down and up."""

    way: str
    hours: tuple[Hours, Hours, Hours]
    got: Share
    fermented_only: bool
    caution: str
    source: str
    mark: str


@dataclass(frozen=True)
class JuiceBalance:
    """Where the fruit of the middle year goes; what sugar, acid and tannin its juice holds, in all drinks together."""

    fruit: Kilograms
    juice: SmallCubicMetres
    pomace: Kilograms
    drinks: SmallCubicMetres
    lees: SmallCubicMetres
    sugar: Kilograms
    acid: Kilograms
    tannin: Kilograms

    @property
    def mixed(self) -> tuple[GramsPerLitre, GramsPerLitre]:
        """Acid and tannin, were all of it in one tank."""
        return self.acid / self.juice, self.tannin / self.juice


@dataclass(frozen=True)
class PressFindings:
    """Shapes: (52,) weeks of the calendar year.

    Attributes
    ----------
    year : the middle year, by what is pressed
    fruit_by_week : mean over the weather years
    juice_of_fruit : litres of a kilogram, low, middle, high
    lacking : vessels' volume that is wanted beyond those there are, by product
    swing : share by which the fruit pressed for cider in the poorest fifth of years lies below the mean
    """

    year: int
    press: PressKind
    juice_of_fruit: tuple[Ratio, Ratio, Ratio]
    drinks: tuple[Drink, ...]
    weeks: tuple[PressWeek, ...]
    lots: tuple[PressLot, ...]
    vessels: tuple[VesselUse, ...]
    lacking: Mapping[str, CubicMetres]
    fruit: tuple[CiderFruit, ...]
    ways: tuple[PickedBy, ...]
    balance: JuiceBalance | None
    swing: Share
    currency: str
    notices: tuple[Notice, ...]
    fruit_by_week: KilogramsArray = field(default_factory=lambda: np.zeros(WEEKS))
    years: Integers = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
