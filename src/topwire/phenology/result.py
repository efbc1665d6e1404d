"""What the place's weather years mean for every cultivar: the result of the Place department."""

from dataclasses import dataclass, field

import numpy as np

from topwire.notices import Notice
from topwire.values.arrays import Floats, Integers
from topwire.values.estimate import Estimate, estimate


def _none() -> Floats:
    return np.empty(0)


@dataclass(frozen=True)
class WarmerClimate:
    """The same orchard under a warmer climate: middle values over the weather years."""

    step: float  # [K] added to every day; the mean over the year where the change differs by month
    chill_portions: float
    full_bloom: Floats  # (cultivars,) day of year, NaN = chill not met in the middle year
    harvest: Floats  # (cultivars,) day of year
    frost_years: float  # share of years that kill more than half the reference cultivar's bloom
    in_doubt: tuple[str, ...]  # cultivars that fit today and do not then
    label: str = ""  # of a change the grower stated month by month; empty for the plan's plain warming


@dataclass(frozen=True)
class OwnDatesUsed:
    """What the grower's own dates taught."""

    event: str  # "bloom" or "harvest"
    dates: int
    years: int
    place_shift: float  # [d] added for every cultivar
    place_shift_sd: float  # [d]
    cultivar_shift: dict[str, float]  # [d] on top, for the cultivars seen


@dataclass(frozen=True)
class PlaceSeasons:
    """Seasons of all catalogue cultivars over all usable weather years.

    Arrays are (years, cultivars) unless said otherwise; days of year may exceed 365 (next January) and carry
    fractions, the whole number being noon; NaN = chill not met, or not ripe before winter.
    """

    years: Integers  # (years,) year of bloom and harvest
    cultivars: tuple[str, ...]
    first_bloom: Floats
    full_bloom: Floats
    petal_fall: Floats
    harvest_first: Floats
    harvest_last: Floats
    bloom_kill: Floats  # share of flower buds killed by frost, 0 to 1
    crop_after_frost: Floats  # share of a full crop that frost leaves, 0 to 1
    green_tip: Floats  # (years,) reference cultivar, day of year
    last_frost: Floats  # (years,) day of year
    first_frost: Floats  # (years,) day of year
    chill_portions: Floats  # (years,) October to March
    heat_degree_days: Floats  # (years,) [K d] base 10 deg C, April to October
    coldest: Floats  # (years,) [deg C] lowest of the winter
    hottest: Floats  # (years,) [deg C]
    normals: Floats  # (12, 3) monthly mean tmin, tmax [deg C], rain [mm/month]
    unusable_years: tuple[int, ...]
    worth_of_a_degree: (
        Floats  # (cultivars,) share of a full crop gained by 1 K on frost nights, mean over years
    )
    unfit: dict[str, str]  # cultivar -> why it does not fit this place
    warmer: tuple[WarmerClimate, ...]
    bloom_error_days: float  # [d] root-mean-square error to expect of a bloom date
    harvest_error_days: float  # [d] the same of a harvest date
    hardiness_zone: str
    notices: tuple[Notice, ...] = field(default=())
    chill_hours: Floats = field(default_factory=_none)  # (years,) [h] 0 to 7.2 deg C, October to March
    utah_units: Floats = field(default_factory=_none)  # (years,) October to March
    growing_degree_hours: Floats = field(default_factory=_none)  # (years,) [K h] January to April
    sunburn_days: Floats = field(default_factory=_none)  # (years,) days that brown fruit in full sun
    frost_chance: Floats = field(default_factory=_none)  # (cultivars, 3) of losing 10, 50, 90 % of the bloom
    winter_injury: Floats = field(default_factory=_none)  # (cultivars,) share of winters that hurt its wood
    root_injury: dict[str, float] = field(default_factory=dict)  # rootstock -> share of winters, bare soil
    learned: tuple[OwnDatesUsed, ...] = ()
    # share of a full crop, had every spring night been 2 K colder
    crop_after_harder_frost: Floats = field(default_factory=_none)

    @property
    def frost_free_days(self) -> Floats:
        """(years,) days between the last frost of spring and the first of autumn."""
        return self.first_frost - self.last_frost - 1.0

    def full_bloom_of(self, cultivar: str) -> Estimate | None:
        return estimate(self.full_bloom[:, self.cultivars.index(cultivar)])

    def harvest_of(self, cultivar: str) -> Estimate | None:
        return estimate(self.harvest_first[:, self.cultivars.index(cultivar)])
