"""What the Protection is asked: who stands in the rows, and of a day what was known by then."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Annotated

from topwire.choice.disease import Disease, Rating
from topwire.phenology.stages import SeasonStage
from topwire.protection.insects import InsectClock
from topwire.values.arrays import Floats
from topwire.values.quantities import DayOfYear, DaysLong, Kelvins, MetresPerSecond, Plain
from topwire.weather.record import Weather


@dataclass(frozen=True)
class Guarded:
    """A cultivar in the rows: where, how many trees, how susceptible.

    Attributes
    ----------
    rows : addresses, “South 3”
    hardier : [K] its buds than those of Red Delicious, until petal fall
    """

    name: str
    rows: tuple[str, ...]
    trees: Annotated[int, Plain.COUNT]
    ratings: Mapping[Disease, Rating]
    hardier: Kelvins


@dataclass(frozen=True)
class WeakestRow:
    """The rows that give first under a full crop, and the gust at which: low and middle of what is known."""

    rows: tuple[str, ...]
    low: MetresPerSecond
    middle: MetresPerSecond


@dataclass(frozen=True)
class ProtectionBasis:
    """What does not change from day to day.

    Attributes
    ----------
    latitude : [degrees north]
    colder : [K] the orchard's clear nights are colder than the station's
    planting : year of the autumn in which the trees were planted
    weakest : None where the trellis is not planned
    """

    latitude: float
    colder: Kelvins
    planting: int
    guarded: tuple[Guarded, ...]
    clocks: tuple[InsectClock, ...]
    weakest: WeakestRow | None


@dataclass(frozen=True)
class StageDays:
    """One cultivar's season, as it was forecast or seen by the day.

    Attributes
    ----------
    day : of the year, of each stage; NaN where not known
    margin : [d] one standard deviation of the error of its bloom dates
    seen : its full bloom was
    """

    day: Mapping[SeasonStage, DayOfYear]
    margin: DaysLong
    seen: bool


@dataclass(frozen=True)
class ProtectionQuestion:
    """All that was known on the morning of `today`.

    Attributes
    ----------
    record : days before today, of this year at least
    forecast : from today on; earlier days of it fill what the record lacks. None where there is none
    gusts : [m/s] greatest of the day at 10 m, where a forecast tells it
    stages : by cultivar
    before_min, before_max : (years, 366) [deg C] of years before, from 1 January: how the days to come may be
    hail : days on which hail or a storm tore leaves and fruit
    caught : first catch of an insect, by its name
    unwatched : of these the insects of which no empty trap was noted before it
    scabbed : more than one leaf in a hundred had scab when the leaves last fell
    """

    today: date
    basis: ProtectionBasis
    record: Weather
    forecast: Weather | None
    stages: Mapping[str, StageDays]
    before_min: Floats
    before_max: Floats
    gusts: Mapping[date, float] = field(default_factory=dict)
    hail: tuple[date, ...] = ()
    caught: Mapping[str, date] = field(default_factory=dict)
    scabbed: bool = False
    unwatched: frozenset[str] = frozenset()
