"""What threatens, what threatened, and where every cultivar stands: the result of the Protection."""

from dataclasses import dataclass
from datetime import date
from enum import IntEnum, StrEnum
from typing import Annotated

from topwire.values.notice import Notice
from topwire.values.quantities import Plain, Share


class Threat(StrEnum):
    SCAB = "scab"
    FIRE_BLIGHT = "fire blight"


class Danger(IntEnum):
    """How much a window matters, the least first."""

    WATCH = 1  # one thing is still missing, or it is a date to look
    LIGHT = 2
    MODERATE = 3
    SEVERE = 4


@dataclass(frozen=True)
class Exposed:
    """A cultivar a window concerns.

    Attributes
    ----------
    step : on the scale from 0 (very resistant) to 4 (very susceptible); None where cultivars are not rated for it
    rated : somebody rated it; else it is taken as its class or kind
    open_bloom : it has open flowers in the window
    """

    cultivar: str
    step: Annotated[float, Plain.RATIO] | None
    rated: bool
    rows: tuple[str, ...]
    trees: Annotated[int, Plain.COUNT]
    open_bloom: bool = False


@dataclass(frozen=True)
class ThreatWindow:
    """A span of days in which something threatened or may.

    Attributes
    ----------
    first, last : both inclusive
    forecast : some of its days lie ahead
    estimated : its hours were made out of daily weather, not measured
    reason : the facts that made it a window, as a notice of its own code
    exposed : susceptible cultivars first
    look_from, look_to : when signs can be seen; None where nothing is to be seen
    """

    threat: Threat
    danger: Danger
    first: date
    last: date
    forecast: bool
    estimated: bool
    reason: Notice
    exposed: tuple[Exposed, ...]
    look_from: date | None = None
    look_to: date | None = None

    @property
    def bees(self) -> bool:
        """Flowers are open in it: bees fly."""
        return any(one.open_bloom for one in self.exposed)


@dataclass(frozen=True)
class ProtectionFindings:
    """All windows that matter on `today`, the most urgent first.

    Attributes
    ----------
    known_to : last day with weather measured; None where none of this year is
    forecast_to : last day of the forecast; None where there is none
    open_bloom : cultivars with open flowers today: nothing that harms bees
    spores : share of the year's scab spores that are ripe by today, by two clocks, low and high; None out of season
    """

    today: date
    known_to: date | None
    forecast_to: date | None
    windows: tuple[ThreatWindow, ...]
    open_bloom: tuple[str, ...]
    spores: tuple[Share, Share] | None
    notices: tuple[Notice, ...]
