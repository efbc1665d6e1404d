"""What the grower's own dates teach: the result of the Learning, beside the plan's own figures."""

from dataclasses import dataclass
from typing import Annotated

from topwire.phenology.findings import OwnDatesUsed
from topwire.values.notice import Notice
from topwire.values.quantities import DaysLong, Plain


@dataclass(frozen=True)
class CultivarLearnt:
    """One cultivar's dates of bloom, or of harvest, beside the forecast.

    Attributes
    ----------
    event : "bloom" or "harvest"
    shift : to add to the catalogue's forecast, place and cultivar together
    error : to expect of a date then, one standard deviation
    """

    cultivar: str
    event: str
    dates: Annotated[int, Plain.COUNT]
    shift: DaysLong
    error: DaysLong


@dataclass(frozen=True)
class LearntDates:
    """What all dates teach; `used_until` is the last year whose dates the plan's figures rest on."""

    used_until: int | None
    learned: tuple[OwnDatesUsed, ...]
    cultivars: tuple[CultivarLearnt, ...]
    notices: tuple[Notice, ...]
