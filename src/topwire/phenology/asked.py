"""What the Place is asked: the weather record, every cultivar's traits, the grower's own dates, other climates."""

from dataclasses import dataclass

from topwire.phenology.traits import Traits
from topwire.values.own_date import OwnDate
from topwire.values.quantities import Celsius, Kelvins
from topwire.weather.climate_change import MonthlyChange
from topwire.weather.record import Weather


@dataclass(frozen=True)
class RootCold:
    """Soil temperature that kills about half the roots of a stock, middle of the tests."""

    rootstock: str
    lethal: Celsius


@dataclass(frozen=True)
class WallFaced:
    """A wall or solid fence in the sun; `low`, `high`: how much warmer it is before it."""

    name: str
    low: Kelvins
    high: Kelvins


@dataclass(frozen=True)
class PlaceQuestion:
    """All the Place's sums need.

    Attributes
    ----------
    weather : temperatures and rain of the record; what the place does not read is left out
    latitude : [degrees north]
    colder : [K] the orchard's clear nights are colder than the station's
    warming : [K] of the plan's warmer climate; 0 = none
    ways : ways of warming by one kelvin over the year, month by month, the plainest first
    changes : further climates, month by month
    rootstocks : stocks the plan names
    remembered_bloom, remembered_harvest : cultivars whose offset was not read in a source
    own_mornings : clear mornings of the orchard's own thermometer that `colder` was measured by; 0 where it is stated
    walls : in the sun, that trees stand before
    """

    weather: Weather
    latitude: float
    colder: Kelvins
    traits: Traits
    own_dates: tuple[OwnDate, ...]
    warming: Kelvins
    ways: tuple[MonthlyChange, ...]
    changes: tuple[MonthlyChange, ...]
    roots: tuple[RootCold, ...]
    rootstocks: tuple[str, ...]
    remembered_bloom: int
    remembered_harvest: int
    own_mornings: int = 0
    walls: tuple[WallFaced, ...] = ()
