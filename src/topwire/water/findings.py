"""How much water, through what, and when: the findings of the Water department."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from topwire.values.arrays import Floats, Integers
from topwire.values.bill import BillLine
from topwire.values.notice import Notice
from topwire.values.quantities import (
    Count,
    CubicMetres,
    CubicMetresPerSecond,
    DayOfYear,
    Hours,
    HoursArray,
    Metres,
    Money,
    Pascals,
    Ratio,
    Share,
    SmallCubicMetres,
    SmallCubicMetresPerSecond,
    SquareMetres,
)
from topwire.values.units import Kind

RainArray = Annotated[Floats, Kind.RAIN]
VolumeArray = Annotated[Floats, Kind.VOLUME]
# Of a tree, low, middle and high over the weather years.
TreeVolumes = tuple[SmallCubicMetres, SmallCubicMetres, SmallCubicMetres]


Position = tuple[Metres, Metres, Metres]  # east, north of the origin, height of the ground


@dataclass(frozen=True)
class DripLine:
    """The line of one row, from the manifold to its last emitter."""

    address: str
    feed: Position  # of the row’s end where the riser stands
    way: tuple[float, float]  # east and north of a step along the row
    lead: Metres  # from there to the first emitter
    hangs: Metres  # above ground
    slope: Ratio  # of the ground away from the feed, rising is positive
    spacing: Metres  # between emitters
    emitters: int


@dataclass(frozen=True)
class LineHydraulics:
    """What a line’s emitters give: coefficient times head [m] to the exponent, in m3/s."""

    diameter: Metres
    barb: Metres  # of pipe that loses as much as one emitter’s body
    coefficient: float
    exponent: Ratio
    regulates_from: Metres  # of head, 0 where the emitters do not compensate


@dataclass(frozen=True)
class Zone:
    """Rows on one valve."""

    name: str  # “zone 1”
    block: str
    rows: tuple[str, ...]  # row addresses
    trees: int
    flow: CubicMetresPerSecond
    pressure: Pascals  # wanted behind the zone's valve
    uniformity: Share  # emission uniformity
    lowest_quarter: (
        Share  # mean of the lowest quarter of the emitters over the mean of all, by pressure alone
    )
    manifold: tuple[str, ...]  # pipes of the catalogue, none where one row hangs on the valve
    peak_hours: Hours  # a day
    runs_in_set: int  # zones of one set run together
    valve: Position
    least_pressure: Pascals  # at an emitter
    most_pressure: Pascals
    emitters: int
    flow_per_tree: SmallCubicMetresPerSecond
    lines: tuple[DripLine, ...]
    manifold_above: tuple[int, ...]  # line at which each line's water comes past, -1 for the one at the valve
    manifold_lengths: tuple[Metres, ...]  # of the pipe to each line, 0 at the valve
    manifold_diameters: tuple[Metres, ...]  # inside


@dataclass(frozen=True)
class Wetting:
    """What becomes of a usual watering at one leaf: shares of what leaves the emitters, together 1."""

    roots: Share
    beside: Share  # the ground roots explore
    below: Share  # the roots
    lost: Share  # leaks, uneven emitters
    width: Metres  # of the wetted ground
    depth: Metres
    to_trunk: Metres  # the longest way from a trunk to an emitter


@dataclass(frozen=True)
class BlockNeed:
    """A block's trees at one leaf; volumes are for one tree."""

    block: str
    leaf: int
    ground_cover: Share  # of the floor under the crowns
    coefficient: Ratio  # mid-season basal coefficient over the whole floor, standard climate
    wetting: Wetting
    readily_available: SmallCubicMetres  # a tree can take from its soil without stress
    season: TreeVolumes  # out of the emitters
    peak: TreeVolumes  # a day, taken up in the thirstiest week
    waterings: Count  # in a middle season
    each: SmallCubicMetres  # out of the emitters at one watering
    hours_each: Hours  # that watering runs


class NeedChange(StrEnum):
    """What could be done otherwise."""

    AS_PLANNED = "as planned"
    MULCH = "mulch"
    DEEPER_ROOTS = "deeper roots"
    HALF_AFTER_BLOOM = "half after bloom"
    HALF_AFTER_HARVEST = "half after harvest"
    NO_WATER = "no water"


@dataclass(frozen=True)
class WhatIf:
    """What a change does to full-grown trees of the largest block."""

    change: NeedChange
    season: TreeVolumes  # of a tree
    transpiration_lost: tuple[Share, Share, Share]  # of full transpiration, low to high year


class WaterJob(StrEnum):
    OPEN = "open"
    TEST_BACKFLOW = "test backflow"
    BEGIN = "begin"
    FLUSH = "flush"
    LAST = "last"
    EMPTY = "empty"


@dataclass(frozen=True)
class WaterDay:
    """One of the year's jobs with the water."""

    job: WaterJob
    day: DayOfYear


class Shortcoming(StrEnum):
    """Why a drip line was not taken."""

    AWAY = "away"  # its emitters stand away from the trunks of a first summer
    DEARER = "dearer"  # than the system chosen, even with the narrowest pipes
    HOURS = "hours"  # it runs longer than allowed
    UNEVEN = "uneven"  # emission uniformity cannot be had with it here
    PRESSURE = "pressure"  # it wants more than the source has
    FLOW = "flow"  # one row alone takes more than the source gives


@dataclass(frozen=True)
class LineTried:
    """A drip line of the catalogue, with what the whole system would cost and want with it."""

    name: str
    cost: Money | None  # None where its system was not built
    misses: tuple[Shortcoming, ...]  # none: it would do
    hours: Hours  # a day at the peak
    pressure: Pascals | None  # wanted at the source


class LossPart(StrEnum):
    """Where pressure goes."""

    HEIGHT = "height"  # of the valve above the source
    MAIN = "main"
    FITTING = "fitting"  # the item's own, dirty, at the source
    VALVE = "valve"  # the item's own, at a zone
    ZONE = "zone"  # wanted behind the valve


@dataclass(frozen=True)
class PressureLoss:
    part: LossPart
    item: str  # of the catalogue, empty where it is none
    pressure: Pascals


class PipeKind(StrEnum):
    MAIN = "main"
    MANIFOLD = "manifold"


class PointKind(StrEnum):
    """What stands on a pipe."""

    ARRIVAL = "source pipe"  # where it reaches the first block; filter, meter and guard stand at the source
    SOURCE = "source"  # where the plan says its place, with filter, meter and guard
    VALVE = "valve"  # of a zone, with its regulator, in a box
    AIR = "air"
    DRAIN = "drain"
    FLUSH = "flush"  # end of a manifold


@dataclass(frozen=True)
class PipeRun:
    """One buried pipe from point to point."""

    kind: PipeKind
    zone: str  # of a manifold
    item: str  # pipe of the catalogue
    start: Position | None  # None: the source, where the plan does not say its place
    end: Position
    length: Metres
    diameter: Metres  # inside
    flow: CubicMetresPerSecond  # the most it carries


@dataclass(frozen=True)
class PipePoint:
    kind: PointKind
    zone: str  # empty on the main
    position: Position | None  # None: at the source, where the plan does not say its place


@dataclass(frozen=True)
class Trench:
    depth: Metres
    frost: Metres | None  # to which the ground freezes in nine winters of ten; None where nobody knows
    below_frost: bool  # else the pipes are drained every autumn


@dataclass(frozen=True)
class PipeMap:
    source_height: Metres
    source_distance: Metres  # to where its pipe arrives; 0 where the map has the source itself
    runs: tuple[PipeRun, ...]
    points: tuple[PipePoint, ...]
    trench: Trench

    @property
    def begin(self) -> Position:
        """Where the source's pipe reaches the first block; the source itself where the plan says its place."""
        kinds = (PointKind.ARRIVAL, PointKind.SOURCE)
        return next(point.position for point in self.points if point.kind in kinds and point.position)

    @property
    def shows_source(self) -> bool:
        """Whether the plan says where the source is."""
        return self.count(PointKind.SOURCE) > 0

    @property
    def mains(self) -> tuple[PipeRun, ...]:
        return tuple(run for run in self.runs if run.kind is PipeKind.MAIN)

    def stands(self, point: PipePoint) -> tuple[str, Metres | None, Metres | None, Metres]:
        """Of which part of the net it is, east, north and height; of the source the height alone is known."""
        if point.position is None:
            return ("source", None, None, self.source_height)
        return (point.zone or "main", *point.position)

    @property
    def drained_at_source(self) -> bool:
        """Whether water left in the pipes stands behind the check valve at a source that is on no map."""
        return any(point.kind is PointKind.DRAIN and point.position is None for point in self.points)

    def name_of(self, point: PipePoint) -> str:
        """On a map, which cannot show what stands at the source: where its pipe arrives that is said."""
        at_source = (
            " (filter and drain at the source)" if self.drained_at_source else " (filter at the source)"
        )
        said = f"{point.kind}{at_source if point.kind is PointKind.ARRIVAL else ''}"
        return f"{point.zone} {said}".strip()

    def count(self, kind: PointKind) -> int:
        return sum(point.kind is kind for point in self.points)


@dataclass(frozen=True)
class StoreMonth:
    """A store's month, middle of the years."""

    rain: CubicMetres  # onto it
    runoff: CubicMetres  # from the catchment, or what the source gives
    lost: CubicMetres  # evaporated and seeped away
    draw: CubicMetres  # the trees want
    level: CubicMetres  # at its end
    dry_level: CubicMetres  # at its end, in one year of ten no higher


@dataclass(frozen=True)
class Store:
    """A pond or tank day by day over all years, trees full grown."""

    size: CubicMetres
    surface: SquareMetres
    dry_years: int  # in which the trees want more than it holds
    carries_over: bool  # from year to year; else it is taken as full when the irrigation opens
    months: tuple[StoreMonth, ...]


@dataclass(frozen=True)
class QualityNote:
    """What a laboratory should look for; remarks are the catalogue's: what it does, what to do."""

    name: str
    measure: str  # the laboratory's unit
    well_below: float
    trouble_above: float
    remarks: tuple[str, str]
    source: str
    found: float | None = None  # by the plan's own test


@dataclass(frozen=True)
class WaterPlan:
    """The water. Years are those of the weather record; low, middle, high stand over them."""

    reference_et: RainArray  # (12, 3) mean of a day by month, low middle high
    peak_need: TreeVolumes  # a day, full-grown
    years: Integers
    season_need: (
        VolumeArray  # (years,) whole orchard, full-grown, after rain that counts, out of the emitters
    )
    need_by_leaf: VolumeArray  # (leaves,) middle year, whole orchard
    emitter: str
    hydraulics: LineHydraulics
    emitters_per_tree: Count
    longest_row: Metres  # a level line of it may be
    zones: tuple[Zone, ...]
    most_flow: CubicMetresPerSecond  # that runs at one time
    pressure_wanted: Pascals  # at the source
    source_pressure: Pascals
    booster_pressure: Pascals  # a pump must add, 0 where the source has enough
    booster_power: float  # [W] at its shaft
    source_enough: bool
    hours_at_peak: Hours  # a day, all sets together
    hours_allowed: Hours  # a day
    zone_hours: HoursArray  # (zones, leaves, 2, 52) a week: middle of the years, and enough in nine of ten
    storage_wanted: CubicMetres | None  # so that nine years in ten are served; None where no store does that
    store: Store | None  # the one at hand, or of that size; None where none is wanted
    blocks: tuple[BlockNeed, ...]
    what_ifs: tuple[WhatIf, ...]
    calendar: tuple[WaterDay, ...]
    losses: tuple[PressureLoss, ...]
    pipes: PipeMap
    lines_tried: tuple[LineTried, ...]
    quality: tuple[QualityNote, ...]
    bill: tuple[BillLine, ...]
    cost: Money
    water_cost_per_year: Money
    notices: tuple[Notice, ...]


@dataclass(frozen=True)
class RowsWatered:
    """The water of the rows, whichever cultivars stand in them.

    Attributes
    ----------
    plan : without its what-ifs, and without what hangs on bloom among its notices
    taken_up : (years,) [mm] by full-grown trees of the block with most trees
    """

    plan: WaterPlan
    taken_up: Floats
