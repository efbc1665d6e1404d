"""What threatens, what threatened, and where every cultivar stands: the result of the Protection."""

from dataclasses import dataclass
from datetime import date
from enum import IntEnum, StrEnum
from typing import Annotated

from topwire.phenology.stages import SeasonStage
from topwire.values.notice import Notice
from topwire.values.quantities import Celsius, Plain, Share


class Threat(StrEnum):
    SCAB = "scab"
    FIRE_BLIGHT = "fire blight"
    CEDAR_RUST = "cedar apple rust"
    QUINCE_RUST = "quince rust"
    MILDEW = "powdery mildew"
    BLACK_ROT = "black rot and frogeye leaf spot"
    BITTER_ROT = "bitter rot"
    GLOMERELLA = "Glomerella leaf spot"
    MARSSONINA = "Marssonina blotch"
    SOOTY_BLOTCH = "sooty blotch and flyspeck"
    CODLING_MOTH = "codling moth"
    ORIENTAL_FRUIT_MOTH = "oriental fruit moth"
    PLUM_CURCULIO = "plum curculio"
    APPLE_MAGGOT = "apple maggot"
    SAN_JOSE_SCALE = "San Jose scale"
    DOGWOOD_BORER = "dogwood borer"
    BLACK_STEM_BORER = "black stem borer"
    OTHER_INSECT = "another insect"
    FROST = "frost"
    SUNBURN = "sunburn"
    WIND = "wind"


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
    usual : it reaches beyond the days known and forecast: warmth there is that of the years before
    reason : the facts that made it a window, as a notice of its own code
    exposed : susceptible cultivars first; empty where all trees are alike to it
    look_from, look_to : when signs can be seen; None where nothing is to be seen
    bees : flowers are open somewhere in it
    """

    threat: Threat
    danger: Danger
    first: date
    last: date
    forecast: bool
    estimated: bool
    usual: bool
    reason: Notice
    exposed: tuple[Exposed, ...]
    look_from: date | None = None
    look_to: date | None = None
    bees: bool = False


@dataclass(frozen=True)
class FrostLine:
    """One cultivar in one night.

    Attributes
    ----------
    night : day on whose morning it is coldest
    low : lowest temperature at the trees, measured or forecast
    ten, ninety : that kill a tenth and nine tenths of its buds at this stage
    killed : share of buds; _low_error, _high_error : were the low wrong by its usual error, colder and warmer;
        _colder, _warmer : by one kelvin
    killed_so_far : share of buds, with all nights since silver tip up to this
    left, left_low, left_high : of a full crop after them, low and high were every low wrong by its usual error
    """

    cultivar: str
    night: date
    stage: SeasonStage
    low: Celsius
    ten: Celsius
    ninety: Celsius
    killed_low_error: Share
    killed: Share
    killed_high_error: Share
    killed_colder: Share
    killed_warmer: Share
    killed_so_far: Share
    left_low: Share
    left: Share
    left_high: Share
    rows: tuple[str, ...]
    trees: Annotated[int, Plain.COUNT]


@dataclass(frozen=True)
class ProtectionFindings:
    """All windows that matter on `today`, the most urgent first.

    Attributes
    ----------
    known_to : last day with weather measured; None where none of this year is
    forecast_to : last day of the forecast; None where there is none
    open_bloom : cultivars with open flowers today: nothing that harms bees
    frost : nights of the past fortnight and of the forecast that may kill buds
    spores : share of the year's scab spores that are ripe by today, by two clocks, low and high; None out of season
    """

    today: date
    known_to: date | None
    forecast_to: date | None
    windows: tuple[ThreatWindow, ...]
    open_bloom: tuple[str, ...]
    frost: tuple[FrostLine, ...]
    spores: tuple[Share, Share] | None
    notices: tuple[Notice, ...]
