"""What the grower's own dates teach: the result of the Learning, beside the plan's own figures."""

from dataclasses import dataclass
from typing import Annotated

from topwire.phenology.calibration import Teaching
from topwire.phenology.findings import OwnDatesUsed
from topwire.values.estimate import Estimate
from topwire.values.notice import Notice
from topwire.values.quantities import DaysLong, Plain


@dataclass(frozen=True)
class CultivarLearnt:
    """One cultivar's dates of bloom, or of harvest, beside the forecast.

    Attributes
    ----------
    event : "bloom" or "harvest"
    shift : to add to the catalogue's forecast in an ordinary spring, place and cultivar together
    error : to expect of a date then, one standard deviation
    before, after : root-mean-square error of the catalogue's forecast, and of one that had not seen the year; None
        where there is only one year
    last_year : the last year of its dates; last_before, last_after : what the two missed by then, dates before it known
    """

    cultivar: str
    event: str
    dates: Annotated[int, Plain.COUNT]
    shift: DaysLong
    error: DaysLong
    before: DaysLong | None
    after: DaysLong | None
    last_year: int
    last_before: DaysLong
    last_after: DaysLong | None


@dataclass(frozen=True)
class EventLearnt:
    """How far the dates of bloom, or of harvest, carry.

    Attributes
    ----------
    stage : days, heat, or the response to warmth too
    slope : of a spring's departure, on top of what the forecast follows
    step_year, step : from which on dates lie so many days later than before; older ones are then left out
    """

    event: str
    stage: Teaching
    slope: Annotated[float, Plain.RATIO]
    step_year: int | None
    step: DaysLong | None


@dataclass(frozen=True)
class CultivarNow:
    """A cultivar in the season under way; days of the year. seen : its full bloom was."""

    cultivar: str
    seen: bool
    bloom: Estimate
    pick: Estimate | None


@dataclass(frozen=True)
class ThisYear:
    """The season under way: days of weather known from 1 October on, dates of bloom seen, how late all are by them."""

    year: int
    days: Annotated[int, Plain.COUNT]
    seen: Annotated[int, Plain.COUNT]
    late: DaysLong
    cultivars: tuple[CultivarNow, ...]


@dataclass(frozen=True)
class LearntDates:
    """What all dates teach; `used_until` is the last year whose dates the plan's figures rest on."""

    used_until: int | None
    learned: tuple[OwnDatesUsed, ...]
    events: tuple[EventLearnt, ...]
    cultivars: tuple[CultivarLearnt, ...]
    this_year: ThisYear | None
    notices: tuple[Notice, ...]
