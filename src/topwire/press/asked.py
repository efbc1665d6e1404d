"""What the Press is asked: what the choice mixes, the press, the styles, the vessels, and the fruit."""

from collections.abc import Mapping
from dataclasses import dataclass

from topwire.cellar.tanks import Vessel
from topwire.choice.findings import BlendMade
from topwire.values.arrays import Integers
from topwire.values.price import Price
from topwire.values.quantities import DayOfYear, DaysLong, Kilograms, Money, Ratio, Share
from topwire.values.terms import CiderClass, CiderStyle, PressKind, Tannin
from topwire.values.traits import Grade


@dataclass(frozen=True)
class MadeOfJuice:
    """What becomes of the juice of one style; `None` under `style` is cider asked for by its fruit.

    Attributes
    ----------
    left : share of the juice that is in bottle, keg or cask in the end
    gravity : lowest and highest it is bottled or drawn at
    weeks : fewest and most in its tank
    volumes : of carbon dioxide it is made for
    worth : of a litre, as sold or poured
    """

    style: CiderStyle | None
    left: Share
    gravity: tuple[Ratio, Ratio]
    weeks: tuple[Ratio, Ratio]
    volumes: Ratio
    worth: Price
    source: str
    mark: str


@dataclass(frozen=True)
class PressedCultivar:
    """Cider fruit: of a cultivar that goes through the press for cider and to no table.

    Attributes
    ----------
    first, last : days it is ripe in the middle year; None where it does not ripen
    by_season : known by its season only, so they are the season's first and last, as the choice reckons with
    sweat, bins : it lies before it is pressed, and it is good in bins outdoors
    ease : of picking it by hand beside apples of 180 g
    """

    name: str
    cider_class: CiderClass | None
    first: DayOfYear | None
    last: DayOfYear | None
    sweat: DaysLong
    bins: DaysLong
    biennial: Grade | None
    tannin: Tannin | None
    ease: Ratio
    by_season: bool = False


@dataclass(frozen=True)
class HarvestWay:
    """A row of cider_harvest.csv: speed beside picking by hand from the tree, and share of the fruit that is got."""

    way: str
    speed_low: Ratio
    speed: Ratio
    speed_high: Ratio
    got: Share
    ground: str
    caution: str
    source: str | None
    mark: str | None


@dataclass(frozen=True)
class PressQuestion:
    """All the Press's sums need.

    Attributes
    ----------
    years : weather years of the choice
    blends : what is mixed of pressed fruit
    juice : litres of a kilogram, low, middle and high of that kind of press
    ends : the press's last day, where the plan says it
    a_day, days_a_week : what the press takes in a day, and days it runs; None where the plan does not say
    rate : pressing, and picking by hand [kg/h]
    bought : price of a kilogram of cider fruit
    making : what a litre costs beside its fruit
    """

    years: Integers
    blends: tuple[BlendMade, ...]
    press: PressKind
    juice: tuple[Ratio, Ratio, Ratio]
    own_juice: bool
    ends: DayOfYear | None
    a_day: Kilograms | None
    days_a_week: Ratio | None
    styles: Mapping[str, MadeOfJuice]
    vessels: tuple[Vessel, ...]
    cultivars: tuple[PressedCultivar, ...]
    ways: tuple[HarvestWay, ...]
    pressing_rate: Ratio
    picking_rate: Ratio
    bought: Price
    making: Price
    juice_worth: Price
    currency: str
    wage: Money
