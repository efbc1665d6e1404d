"""What a day of the season is asked of: the planted orchard as far as a week reads it, kept beside the plan."""

from dataclasses import dataclass, field

import numpy as np

from topwire.choice.needs import WeeklyNeed
from topwire.choice.supply import CandidateCultivar
from topwire.ledger.findings import Job, Maturity, WorkText
from topwire.protection.asked import ProtectionBasis
from topwire.values.arrays import Floats
from topwire.values.quantities import (
    Celsius,
    Count,
    DayOfYear,
    DaysLong,
    Degrees,
    Hours,
    Kelvins,
    Kilograms,
    KilogramsArray,
    Metres,
    Ratio,
    Share,
)
from topwire.values.traits import Grade
from topwire.values.units import UnitSystem
from topwire.water.asked import WaterQuestion
from topwire.water.findings import WaterPlan


@dataclass(frozen=True)
class RowTrees:
    """Trees of one cultivar in one row; places count from the row's start. Where others stand between them, `runs` are
    the first and last of each stretch."""

    row: str
    trees: int
    first: int
    last: int
    runs: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True)
class GrownCultivar:
    """A cultivar of the planting.

    Attributes
    ----------
    rows : in the order they are walked
    planted : year and number of the new trees planted in it
    kg_per_tree : (leaves, 3) of a new tree, low, middle, high
    trunk_area : (leaves,) middle [cm2]; fruit_target : (leaves,) fruits to leave on a tree
    standing, standing_kg : trees that stood before, and the crop of each
    fruit_mass : of one fruit at its normal load; None where not known
    load : fruits per cm2 of trunk it may carry
    best_weeks : it keeps in cold air; None where not known
    mellow_weeks : in store before it is good at table
    pressed_only : of such a kind that it is grown for the press alone, as guests are told
    for_cider : cider fruit by the choice, which no one thins by hand to a number
    usual : (5,) first bloom, full bloom, petal fall, first and last pick in the middle year, as the calendar has them;
        NaN where there is none
    """

    name: str
    rows: tuple[RowTrees, ...]
    planted: tuple[tuple[int, int], ...]
    kg_per_tree: KilogramsArray
    trunk_area: Floats
    fruit_target: Floats
    standing: int
    standing_kg: Kilograms
    fruit_mass: Kilograms | None
    load: Count
    biennial: Grade
    maturity: Maturity | None
    best_weeks: Count | None
    mellow_weeks: Count
    pressed_only: bool
    usual: Floats = field(default_factory=lambda: np.full(5, np.nan))
    for_cider: bool = False

    def bearing(self, year: int) -> int:
        """Trees in the ground in that summer."""
        return self.standing + sum(trees for planted, trees in self.planted if planted < year)


@dataclass(frozen=True)
class MadeOnce:
    """What is made once a year and then lies on the shelf or in the cask, the plan saying no period of use.

    Attributes
    ----------
    first, last : first and last day it is made in the middle year; beyond 365 after New Year
    ripens : after the last is made it is ready; None = it is good as it is made, the first from its first day
    keeps : so long after the last is made; None = until the next year's is ready
    """

    first: DayOfYear
    last: DayOfYear
    ripens: DaysLong | None
    keeps: DaysLong | None


@dataclass(frozen=True)
class KitchenNeed:
    """A need of the plan: whole fruit wanted, and served in the middle weather year; (52,) [kg]. What is `made_once` is
    wanted in no week: it is made when its fruit is ripe.

    Attributes
    ----------
    stock : of what is made once; None where it is no food or never made
    season : of what has its weeks, first day it may be made in the year; a week's share is of fruit since then
    brought_by : by week, the cultivars that bring it in the mean year, most first
    """

    use: str
    dish: str
    wanted: KilogramsArray
    served: KilogramsArray
    made_once: bool = False
    stock: MadeOnce | None = None
    brought_by: tuple[tuple[str, ...], ...] = ()
    season: DayOfYear | None = None


@dataclass(frozen=True)
class KitchenBasis:
    """What the kitchen's programme is made of: the planted cultivars, the needs and what holds them.

    Attributes
    ----------
    board : different table cultivars wanted
    press_week : fruit pressed in a week at the most; juice : litres from a kilogram, in m3/kg
    """

    cultivars: tuple[CandidateCultivar, ...]
    needs: tuple[WeeklyNeed, ...]
    board: int
    press_week: Kilograms | None
    juice: Ratio


@dataclass(frozen=True)
class WeekBasis:
    """The planted orchard as far as a week reads it.

    Attributes
    ----------
    colder : the orchard's clear nights are colder than the station's
    crop_share : (cultivars,) share of a full crop that frost leaves, mean over the weather years
    cellar, cellar_holds : temperature, and fruit it holds where the plan says so
    young : share of each need that is served in the years before full crop
    picking : hours of one picker for a kilogram
    rows : of the orchard, in the order they are walked
    """

    name: str
    units: UnitSystem
    latitude: Degrees
    longitude: Degrees
    elevation: Metres
    planting: int
    colder: Kelvins
    cultivars: tuple[GrownCultivar, ...]
    crop_share: Floats
    needs: tuple[KitchenNeed, ...]
    kitchen: KitchenBasis
    young: dict[int, tuple[Share, ...]]
    board: Floats
    jobs: tuple[Job, ...]
    works: tuple[WorkText, ...]
    cellar: Celsius
    cellar_holds: Kilograms | None
    own_dates_until: int | None
    picking: Hours
    hands: Count
    hours_a_week: Hours
    water_asked: WaterQuestion | None
    water: WaterPlan | None
    protection: ProtectionBasis
    rows: tuple[str, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(line.name for line in self.cultivars)
