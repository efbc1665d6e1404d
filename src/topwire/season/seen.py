"""What the records say of an orchard by a day: the only picture of them the season's sums see."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from topwire.records.lots import LotDrawn
from topwire.values.address import TreeAddress
from topwire.values.own_date import OwnDate


@dataclass(frozen=True)
class DaySeen(OwnDate):
    """A date that was noted so many times, of several trees or by several people."""

    times: int = 1


@dataclass(frozen=True)
class TreeCount:
    """Flower clusters or fruits counted on so many trees of a cultivar; `flowers` where it was clusters."""

    cultivar: str
    day: date
    flowers: bool
    per_tree: float
    trees: int


@dataclass(frozen=True)
class SizeSample:
    """Diameters of fruit of a cultivar on one day: mean and standard deviation [m] of so many."""

    cultivar: str
    day: date
    mean: float
    spread: float
    fruits: int


@dataclass(frozen=True)
class RipeTest:
    """A sample put to the tests of ripeness: starch 1 to 8, firmness [N] on an 11 mm plunger, sugar [deg Brix]."""

    cultivar: str
    day: date
    fruits: int
    starch: float | None
    firmness: float | None
    brix: float | None


@dataclass(frozen=True)
class WorkNoted:
    """A job noted as done, in the grower's words, and where; `where` empty = all of it; `hours` of all hands.

    `by_yield`: nobody noted it as a job: water run, fruit picked or pressed say that it was done.
    """

    day: date
    job: str
    cultivar: str
    where: str
    hours: float = 0.0
    by_yield: bool = False


@dataclass(frozen=True)
class TreeNoted:
    """What the records say last of a tree's place.

    Attributes
    ----------
    stands : a tree does; cultivar : of it, empty = the one of before, or of the plan
    planted : year after whose summer it was set or grafted over, as the plan counts
    anew : it stands in the place of another
    """

    tree: TreeAddress
    stands: bool
    cultivar: str
    planted: int
    anew: bool


@dataclass(frozen=True)
class PestNoted:
    """A pest, a disease or damage, in the grower's words; `on` what part, `share` of those looked at."""

    day: date
    what: str
    on: str
    count: int | None
    share: float | None


@dataclass(frozen=True)
class PressedNoted:
    """Fruit of a cultivar pressed [kg], and for what, in the grower's words; empty where nothing was said."""

    day: date
    cultivar: str
    product: str
    kg: float


@dataclass(frozen=True)
class PhNoted:
    """pH a meter read of a juice, and the fruit it was pressed of [kg, or parts], by cultivar."""

    day: date
    ph: float
    fruit: Mapping[str, float]


@dataclass(frozen=True)
class LotLeft:
    """Fruit in the cellar.

    Attributes
    ----------
    picked : middle day of its picks
    kg : picked and not taken out; taken : of it, taken out by now
    grade : table, kitchen, press or windfall
    sound, checked : share found sound when it was last looked through, and when
    """

    lot: str
    cultivar: str
    picked: date
    kg: float
    taken: float
    grade: str
    stored: str
    sound: float | None
    checked: date | None


@dataclass(frozen=True)
class Seen:
    """By the evening of `day`.

    Attributes
    ----------
    dates : of bloom and first picks: this year's as they were noted, of earlier years one a cultivar and event
    work : noted this year
    picked : this year, by cultivar [kg]; picked_before : by year and cultivar
    picked_on : days of this year on which sound fruit was, by cultivar
    over : cultivars whose harvest is noted as over this year
    trees : of those that died, were taken out, replaced or grafted over, and of those noted as planted
    trunks : cross-section [cm2] measured lately, mean and number of trees, by cultivar
    runs : hours of water run this year, by block; the empty block is all of them
    pests : noted this year and in the autumn before
    drawn : lots out of which more was noted as taken than was picked into them
    lots : in the cellar; cellar : its temperature as last read [deg C]
    ph : of juices measured this season
    pressed : in the year before the day
    """

    day: date
    dates: tuple[OwnDate, ...] = ()
    work: tuple[WorkNoted, ...] = ()
    picked: Mapping[str, float] = field(default_factory=dict)
    picked_before: Mapping[tuple[int, str], float] = field(default_factory=dict)
    picked_on: Mapping[str, tuple[date, ...]] = field(default_factory=dict)
    over: tuple[str, ...] = ()
    trees: tuple[TreeNoted, ...] = ()
    counts: tuple[TreeCount, ...] = ()
    sizes: tuple[SizeSample, ...] = ()
    tests: tuple[RipeTest, ...] = ()
    trunks: Mapping[str, tuple[float, int]] = field(default_factory=dict)
    runs: Mapping[str, Sequence[tuple[date, float]]] = field(default_factory=dict)
    pests: tuple[PestNoted, ...] = ()
    lots: tuple[LotLeft, ...] = ()
    drawn: tuple[LotDrawn, ...] = ()
    cellar: float | None = None
    ph: tuple[PhNoted, ...] = ()
    pressed: tuple[PressedNoted, ...] = ()

    @property
    def this_year(self) -> tuple[OwnDate, ...]:
        return tuple(row for row in self.dates if row.date.year == self.day.year)
