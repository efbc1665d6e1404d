"""The week of an orchard on one day: where it stands, what to do, what to pick, what the kitchen gets."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from topwire.ledger.findings import Job, JobKind, WorkText
from topwire.phenology.stages import SeasonStage as SeasonStage
from topwire.protection.findings import ProtectionFindings
from topwire.season.cellar_findings import LotState
from topwire.values.estimate import Estimate
from topwire.values.notice import Notice
from topwire.values.quantities import Count, DayOfYear, DaysLong, Hours, Kilograms, Plain
from topwire.values.units import Kind, UnitSystem
from topwire.water.week import WeekAdvice

DayEstimate = Annotated[Estimate, Plain.DAY_OF_YEAR]
MassEstimate = Annotated[Estimate, Kind.MASS]


@dataclass(frozen=True)
class CultivarWeek:
    """Where a cultivar stands.

    Attributes
    ----------
    trees : in the ground this summer
    stage : reached by this day; seen : its last date was, else it is forecast
    coming : full bloom or the first pick, whichever comes next; None when the harvest is over
    day : of it; days : to it, low, middle, high
    """

    cultivar: str
    trees: Annotated[int, Plain.COUNT]
    stage: SeasonStage
    seen: bool
    coming: SeasonStage | None
    day: DayEstimate | None
    days: Annotated[Estimate, Plain.DAYS] | None


class CropSource(StrEnum):
    """What the crop of a year rests on beside the trees' age and frost."""

    PICKS = "picks of earlier years"
    CLUSTERS = "flower clusters"
    FRUITS = "fruits counted"
    SIZES = "calliper"


@dataclass(frozen=True)
class CropWeek:
    """Crop of all trees of a cultivar this year, and the fruit of one at the first pick where a calliper says it."""

    cultivar: str
    crop: MassEstimate
    sources: tuple[CropSource, ...]


@dataclass(frozen=True)
class ThinWeek:
    """A cultivar whose fruit is thinned now.

    Attributes
    ----------
    trunk : cross-section [cm2], measured or that of trees of its age
    measured : trunks of it that were measured
    target : fruits to leave on a tree; there : counted on one, as clusters where `clusters`; None = not counted
    until : day of the year to which it pays
    """

    cultivar: str
    trees: Annotated[int, Plain.COUNT]
    trunk: Annotated[float, Kind.SMALL_AREA]
    measured: Annotated[int, Plain.COUNT]
    target: Count
    there: Count | None
    clusters: bool
    until: DayOfYear

    @property
    def off(self) -> Count | None:
        """To take off a tree; of a flower cluster one fruit stays at the most."""
        return None if self.there is None else max(self.there - self.target, 0.0)


class JobState(StrEnum):
    DONE = "done"
    LATE = "late"  # its time is over and nobody has noted it as done
    NOW = "now"
    COMING = "coming"


@dataclass(frozen=True)
class JobWeek:
    """A job of the calendar in this week.

    Attributes
    ----------
    start, end : ISO dates, moved with this year's stages
    moved : later than in the middle year
    part_done : rows noted as done; of a harvest, `begun` in them
    hours : that fall into this week; None where they are counted with another job
    rows : where; empty = everywhere
    """

    job: Job
    state: JobState
    start: str
    end: str
    moved: DaysLong
    hours: Hours | None
    rows: tuple[str, ...]
    part_done: tuple[str, ...]

    @property
    def begun(self) -> bool:
        """Whether its rows are begun, not done: a crop is picked in several rounds, until its last pick."""
        return self.job.kind is JobKind.PICK and self.state is not JobState.DONE


@dataclass(frozen=True)
class PickWeek:
    """A cultivar to pick this week.

    Attributes
    ----------
    first, last : day of the harvest, low to high
    crop : of all its trees this year; left : not picked yet, middle
    this_week : share of it that falls into this week, middle
    rows : in walking order, with trees
    crates, hours : for this week's fruit
    """

    cultivar: str
    first: DayEstimate
    last: DayEstimate
    crop: MassEstimate
    left: Kilograms
    this_week: Kilograms
    rows: tuple[str, ...]
    crates: Annotated[int, Plain.COUNT]
    hours: Hours


@dataclass(frozen=True)
class PickDay:
    """One round of the picking plan: a cultivar on a day, in walking order; `wet`: rain is forecast, so nothing is.

    Attributes
    ----------
    people, hours : who picks, and each of them so long
    """

    day: str
    wet: bool
    cultivar: str
    kg: Kilograms
    crates: Annotated[int, Plain.COUNT]
    hours: Hours
    people: Annotated[int, Plain.COUNT]
    rows: tuple[str, ...]


@dataclass(frozen=True)
class KitchenWeek:
    """A need of the kitchen in this week: whole fruit wanted, and what there is for it; what is made once in a season
    is wanted in no week."""

    use: str
    dish: str
    wanted: Kilograms | None
    gets: Kilograms


@dataclass(frozen=True)
class AheadLine:
    """One of the next four weeks: cultivars that come to bloom or to harvest, jobs that begin."""

    first_day: str
    bloom: tuple[str, ...]
    harvest: tuple[str, ...]
    jobs: tuple[Job, ...]
    hours: Hours


@dataclass(frozen=True)
class WeekFindings:
    """The week from `day` on, from what was known on its morning.

    Attributes
    ----------
    leaf : growing season of the trees planted first; 0 and below before it
    weather_to : last day of weather known, ISO; None where there is none of this season
    ahead_days : days of a weather forecast taken; credit : line it asks to be printed
    lots : in the cellar, to be used first
    late : days by which all blooms are late by the dates seen this year
    """

    name: str
    units: UnitSystem
    day: str
    leaf: int
    weather_to: str | None
    credit: str
    ahead_days: Annotated[int, Plain.COUNT]
    dates_seen: Annotated[int, Plain.COUNT]
    late: DaysLong
    stages: tuple[CultivarWeek, ...]
    jobs: tuple[JobWeek, ...]
    thin: tuple[ThinWeek, ...]
    crops: tuple[CropWeek, ...]
    picks: tuple[PickWeek, ...]
    plan: tuple[PickDay, ...]
    kitchen: tuple[KitchenWeek, ...]
    lots: tuple[LotState, ...]
    ahead: tuple[AheadLine, ...]
    water: WeekAdvice | None
    works: tuple[WorkText, ...]
    threats: ProtectionFindings
    hands: Count
    hands_hours: Hours
    notices: tuple[Notice, ...]
