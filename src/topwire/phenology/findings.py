"""What the place's weather years mean for every cultivar: the result of the Place department."""

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Annotated

import numpy as np
import numpy.typing as npt

from topwire.phenology.asked import WallFaced
from topwire.phenology.ranges import range_of
from topwire.values.arrays import Floats, Integers
from topwire.values.estimate import Estimate
from topwire.values.notice import Notice
from topwire.values.quantities import (
    CelsiusArray,
    DayOfYearArray,
    DaysLong,
    HoursArray,
    Kelvins,
    Plain,
    Share,
    ShareArray,
)
from topwire.values.units import Kind

DaysArray = Annotated[Floats, Plain.DAYS]
UnitsArray = Annotated[Floats, Plain.COUNT]  # portions and units of chill
HeatArray = Annotated[Floats, Kind.HEAT]


class MisfitReason(StrEnum):
    """Why a cultivar does not fit a place."""

    CHILL = "chill"  # not met
    COLD_SPRING = "cold spring"  # no bloom by midsummer
    UNRIPE = "unripe"  # before winter
    FROST = "frost"  # takes more than half the crop
    WOOD = "wood"  # hurt by midwinter cold


@dataclass(frozen=True)
class Misfit:
    """One reason, with the years it held in."""

    reason: MisfitReason
    years: int
    of: int


def _none() -> Floats:
    return np.empty(0)


@dataclass(frozen=True)
class WarmerClimate:
    """The same orchard under a warmer climate: middle values over the weather years."""

    step: Kelvins  # [K] added to every day; the mean over the year where the change differs by month
    chill_portions: Annotated[float, Plain.COUNT]
    full_bloom: DayOfYearArray  # (cultivars,) day of year, NaN = chill not met in the middle year
    harvest: DayOfYearArray  # (cultivars,) day of year
    # share of years that kill more than half the reference cultivar's bloom, over the ways days and nights can warm
    frost_low: Share
    frost_high: Share
    in_doubt: tuple[str, ...]  # cultivars that fit today and do not then
    label: str = ""  # of a change the grower stated month by month; empty for the plan's plain warming


@dataclass(frozen=True)
class OwnDatesUsed:
    """What the grower's own dates taught."""

    event: str  # "bloom" or "harvest"
    dates: int
    years: int
    place_shift: DaysLong  # [d] added for every cultivar
    place_shift_sd: DaysLong  # [d]
    cultivar_shift: dict[str, DaysLong]  # [d] on top, for the cultivars seen


@dataclass(frozen=True)
class WallSeasons:
    """Before a wall, of the reference cultivar, least and most of what the warmth may do; `open` is open ground.

    Attributes
    ----------
    bloom_sooner, ripe_sooner : middle year
    frost_open, frost : crop lost to frost in the mean year
    sunburn_open, sunburn : days a year that brown fruit in full sun
    """

    wall: WallFaced
    bloom_sooner: tuple[DaysLong, DaysLong]
    ripe_sooner: tuple[DaysLong, DaysLong]
    frost_open: Share
    frost: tuple[Share, Share]
    sunburn_open: DaysLong
    sunburn: tuple[DaysLong, DaysLong]


@dataclass(frozen=True)
class PlaceSeasons:
    """Seasons of all catalogue cultivars over all usable weather years.

    Arrays are (years, cultivars) unless said otherwise; days of year may exceed 365 (next January) and carry
    fractions, the whole number being noon; NaN = chill not met, or not ripe before winter.
    """

    years: Integers  # (years,) year of bloom and harvest
    cultivars: tuple[str, ...]
    first_bloom: DayOfYearArray
    full_bloom: DayOfYearArray
    petal_fall: DayOfYearArray
    harvest_first: DayOfYearArray
    harvest_last: DayOfYearArray
    bloom_kill: ShareArray  # share of flower buds killed by frost, 0 to 1
    crop_after_frost: ShareArray  # share of a full crop that frost leaves, 0 to 1
    green_tip: DayOfYearArray  # (years,) reference cultivar, day of year
    last_frost: DayOfYearArray  # (years,) day of year
    first_frost: DayOfYearArray  # (years,) day of year
    chill_portions: UnitsArray  # (years,) October to March
    heat_degree_days: HeatArray  # (years,) [K d] base 10 deg C, April to October
    coldest: CelsiusArray  # (years,) [deg C] lowest of the winter
    hottest: CelsiusArray  # (years,) [deg C]
    normals: Floats  # (12, 3) monthly mean tmin, tmax [deg C], rain [mm/month]
    unusable_years: tuple[int, ...]
    worth_of_a_degree: (
        ShareArray  # (cultivars,) of a full crop gained by 1 K on frost nights, mean over years
    )
    unfit: dict[str, tuple[Misfit, ...]]  # by cultivar, why it does not fit this place
    today_from: int  # first of the years that stand for today's climate
    bloom_trend: DaysLong  # [d a decade] the reference cultivar's full bloom over the record
    frost_years_today: Share  # of the years of today, kill more than half the reference cultivar's bloom
    warmer: tuple[WarmerClimate, ...]
    bloom_error_days: DaysLong  # [d] root-mean-square error to expect of a bloom date
    harvest_error_days: DaysLong  # [d] the same of a harvest date
    bloom_error: DaysArray  # (cultivars,) the same of each cultivar's bloom dates, one standard deviation
    harvest_error: DaysArray  # (cultivars,)
    offset_error: (
        DaysArray  # (cultivars,) of its part in a difference to another in bloom, the same in all years
    )
    single_error: DaysLong  # of its part in one year's difference, on top
    hardiness_zone: str
    notices: tuple[Notice, ...] = field(default=())
    chill_hours: HoursArray = field(default_factory=_none)  # (years,) [h] 0 to 7.2 deg C, October to March
    utah_units: UnitsArray = field(default_factory=_none)  # (years,) October to March
    growing_degree_hours: Annotated[Floats, Plain.COUNT] = field(
        default_factory=_none
    )  # (years,) [K h] January to April
    sunburn_days: DaysArray = field(default_factory=_none)  # (years,) days that brown fruit in full sun
    frost_chance: ShareArray = field(
        default_factory=_none
    )  # (cultivars, 3) of losing 10, 50, 90 % of the bloom
    winter_injury: ShareArray = field(
        default_factory=_none
    )  # (cultivars,) share of winters that hurt its wood
    root_injury: dict[str, Share] = field(default_factory=dict)  # rootstock -> share of winters, bare soil
    learned: tuple[OwnDatesUsed, ...] = ()
    by_season: tuple[str, ...] = ()  # cultivars whose harvest is known by its season only
    # days of bloom in fire blight weather, with water on the blossoms; and were they wetted every day
    blight_bloom: DaysArray = field(default_factory=_none)
    blight_warm: DaysArray = field(default_factory=_none)
    wet_spring: DaysArray = field(default_factory=_none)  # (years,) wet days of April to June
    # share of a full crop, had every spring night been 2 K colder
    crop_after_harder_frost: ShareArray = field(default_factory=_none)
    cell_nights: Share = 0.0  # of the nights of April and May whose lowest comes from a grid cell
    own_mornings: int = (
        0  # of the orchard's own thermometer, by which a cell's nights were brought to the orchard
    )
    walls: tuple[WallSeasons, ...] = ()

    @property
    def frost_free_days(self) -> Floats:
        """(years,) days between the last frost of spring and the first of autumn."""
        return self.first_frost - self.last_frost - 1.0

    def full_bloom_of(self, cultivar: str) -> Estimate | None:
        """Over the years of today and the model's error; None where it never blooms."""
        at = self.cultivars.index(cultivar)
        return range_of(self.full_bloom[self.of_today, at], float(self.bloom_error[at]))

    def harvest_of(self, cultivar: str) -> Estimate | None:
        """First pick over the years of today and the model's error; None where it has none."""
        at = self.cultivars.index(cultivar)
        return range_of(self.harvest_first[self.of_today, at], float(self.harvest_error[at]))

    @property
    def of_today(self) -> npt.NDArray[np.bool_]:
        """(years,) which of them stand for today's climate."""
        return np.asarray(self.years >= self.today_from)
