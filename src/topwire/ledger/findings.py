"""Work and money: the findings of the Ledger department, and the year's calendar."""

from dataclasses import dataclass
from enum import StrEnum

from topwire.layout.areas import Areas
from topwire.ledger.capital import CapitalLine
from topwire.ledger.tools import ToolRow
from topwire.values.arrays import Integers
from topwire.values.bill import BillLine
from topwire.values.notice import Notice
from topwire.values.quantities import (
    Count,
    DaysLong,
    GramsPerLitre,
    Hours,
    HoursArray,
    Kilograms,
    Metres,
    Money,
    MoneyArray,
    Ratio,
    Share,
    SquareMetres,
)


@dataclass(frozen=True)
class Task:
    """Hours of one task, named as in labour.csv or below."""

    name: str
    hours: HoursArray  # (years of the horizon, 52) [h]


class OwnTask(StrEnum):
    """Tasks whose hours other departments have found."""

    GRAFTING = "grafting"
    NURSERY_CARE = "nursery care"
    BUILDING = "building the trellis"


@dataclass(frozen=True)
class Maturity:
    """When a cultivar is ripe, as the tables have it."""

    starch_mature: Ratio  # on the scale of 1 to 8
    starch_over: Ratio
    firmness_short: Kilograms | None  # [kg] on an 11 mm probe, for a short keep
    firmness_long: Kilograms | None
    listed: bool  # False: a start for cultivars nobody has listed


@dataclass(frozen=True)
class WorkText:
    """What work_calendar.csv says of one kind of work, in its own words."""

    item: str
    what: str
    how: str
    caution: str
    tools: str
    lost: str = ""  # where it is left out


@dataclass(frozen=True)
class LateLine:
    """Work done once, for who starts late.

    Attributes
    ----------
    work : as of `Job`
    kind : where its words stand
    wished : ISO date it would begin were there all the time in the world
    begins : date it begins; None where its weeks are past, so that it is left out
    last : date by which it has to be done for the trees to be set on their day; None where planting does not wait
    """

    work: str
    kind: "JobKind"
    wished: str
    begins: str | None
    last: str | None


class JobKind(StrEnum):
    """Where the words of a job stand."""

    TABLE = "table"  # an item of work_calendar.csv
    NURSERY = "nursery"  # a job of the nursery
    PICK = "pick"  # picking one cultivar


@dataclass(frozen=True)
class Job:
    """One entry of the calendar.

    Attributes
    ----------
    key : its identity; the same job keeps it whatever its dates become
    work : item of work_calendar.csv, or the nursery's job
    cultivar : picked; empty for other work
    leaf : growing season of the trees planted first; None for work done once
    start, end : ISO dates
    latest : last date on which it may end without holding up what waits for it
    stage : it hangs on ("full_bloom"); empty where it goes by the calendar
    days_after : the stage; below zero before it
    after : keys of the jobs it waits for
    slipped : later than its season would have it, because of those or of frozen ground
    hours : None where they are counted with another job
    maturity : of the cultivar picked
    by_row : done row by row
    bill : its material stands on, as "trellis.bill"; empty where it takes none
    cider : fruit picked for cider
    until : stage it lasts to, where that is another than the one it hangs on
    """

    key: str
    kind: JobKind
    work: str
    cultivar: str
    leaf: int | None
    start: str
    end: str
    latest: str
    stage: str
    days_after: int
    after: tuple[str, ...]
    slipped: DaysLong
    hours: Hours | None
    people: int
    maturity: Maturity | None = None
    by_row: bool = False
    bill: str = ""
    cider: bool = False
    until: str = ""


class Spent(StrEnum):
    """What an orchard costs before its first spring."""

    TREES = "trees"
    TRELLIS = "trellis"
    IRRIGATION = "irrigation"
    SOIL = "soil"
    GROUND = "ground"
    FENCE = "fence"
    GUARDS = "guards"
    CAPITAL = "capital"
    WORK = "work"


class Running(StrEnum):
    """What it costs in a year."""

    WORK = "work"
    GOODS = "goods"
    MACHINES = "machines"
    OVERHEADS = "overheads"
    CONTAINERS = "containers"
    WATER = "water"
    CAPITAL = "capital"


class Moved(StrEnum):
    """A figure moved to its poor and its good end, all others held."""

    PRICES = "prices"
    HOURS = "hours"
    WAGE = "wage"
    INTEREST = "interest"
    BILLS = "bills"
    AS_FRUIT = "as_fruit"
    UNSOLD = "unsold"
    CROP = "crop"


@dataclass(frozen=True)
class Sensitivity:
    """The net present value with one figure at its poor and its good end."""

    moved: Moved
    low: Money
    high: Money


class Budget(StrEnum):
    """A published figure ours is set beside."""

    SMALL_FARM_HOURS = "small_farm_hours"  # [h/m2] of tree ground
    PYRAMID_BY_AREA = "pyramid_by_area"  # [money/m2] of tree ground
    PYRAMID_BY_TREE = "pyramid_by_tree"  # [money]
    SPINDLE_BY_AREA = "spindle_by_area"
    SPINDLE_BY_TREE = "spindle_by_tree"
    RECOVERED = "recovered"  # [years]
    RETURN_LEAST = "return_least"  # [-]
    RETURN_MOST = "return_most"


@dataclass(frozen=True)
class BesideBudget:
    budget: Budget
    published: Ratio
    ours: Ratio
    source: str


@dataclass(frozen=True)
class ShortWeek:
    """A week that needs more hours than the hands give."""

    year: int  # index into the horizon, 0 = planting year
    week: int
    beyond: Hours


@dataclass(frozen=True)
class Deepest:
    """The year by whose end most money is out, and how much."""

    year: int
    out: Money
    work: Money  # own hours in it, at the plan's wage


@dataclass(frozen=True)
class Ruin:
    """A figure at its poor end that leaves less than nothing over the horizon."""

    moved: Moved
    left: Money  # net present value then


@dataclass(frozen=True)
class Sized:
    """An orchard of so many trees on ground of the plan's shape.

    Attributes
    ----------
    ground : of the blocks; fence : around it, 0 where there is none to build
    cost : to establish it, the plan's own bills in proportion
    served, worst_fifth : share of the kilograms the kitchen wants, all needs alike
    own : the plan's own size
    """

    trees: Count
    rows: Count
    ground: SquareMetres
    fence: Metres
    cost: Money
    served: Share
    worst_fifth: Share
    own: bool


@dataclass(frozen=True)
class BreakEven:
    """When a full-grown middle year just covers its running costs, with a year's part of the goods that wear out; the
    cost of establishing is not in it.

    Attributes
    ----------
    crop, worth : of that year [kg] and of a kilogram in it
    worth_needed : of a kilogram, at that crop
    crop_needed : at that worth; None where a kilogram is worth less than picking it costs
    """

    crop: Kilograms
    worth: Money
    worth_needed: Money
    crop_needed: Kilograms | None


@dataclass(frozen=True)
class Sulphite:
    """Free sulphur dioxide that keeps a dry cider of one acidity."""

    acidity: Ratio  # pH
    free: GramsPerLitre


@dataclass(frozen=True)
class Ledger:
    """Work and money of the horizon; the first year is that of the planting autumn.

    Attributes
    ----------
    npv : 10th, 50th, 90th percentile over drawn orchard lives
    payback_year : years after the planting year
    payback_discounted : the same at the plan's interest
    value_by_use : worth of a full-grown middle year, of what reaches kitchen and press by use; what no use takes
        under "surplus"; what is picked and rots in store is in neither
    cost_by_kind : cost of that year
    outdoor_hours : of that year, pressing and preserving left out
    calendar : every job from the soil test to the end of the horizon, in order of date
    planted_in_spring : the trees are held cold over their first winter
    goods : bill of the first years
    deepest : how deep the cash goes, in low, middle and high years
    ruins : what turns the plan into a loss, worst first
    late : every work done once, with its last date and what begins when
    """

    currency: str
    years: Integers
    areas: Areas
    tasks: tuple[Task, ...]
    hands_hours_per_week: Hours
    short_weeks: tuple[ShortWeek, ...]
    establishment: dict[Spent, Money]
    yearly_cost: MoneyArray  # (years,)
    value: MoneyArray  # (years, 3) low, middle, high
    cash_flow: MoneyArray  # (years, 3)
    npv: tuple[Money, Money, Money]
    payback_year: int | None
    payback_discounted: int | None
    internal_rate: Share | None
    sensitivity: tuple[Sensitivity, ...]
    value_by_use: dict[str, Money]
    cost_by_kind: dict[Running, Money]
    outdoor_hours: Hours
    break_even: BreakEven | None  # None where nothing is borne
    beside: tuple[BesideBudget, ...]
    sulphite: tuple[Sulphite, ...]  # empty where no cider is made
    works: tuple[WorkText, ...]
    calendar: tuple[Job, ...]
    planted_in_spring: bool
    late: tuple[LateLine, ...]
    goods: tuple[BillLine, ...]
    yearly: tuple[BillLine, ...]  # hired anew for every bloom
    tools: tuple[ToolRow, ...]  # all there are, not only those this orchard needs
    capital: tuple[CapitalLine, ...]
    money_year: int
    deepest: tuple[Deepest, Deepest, Deepest]
    ruins: tuple[Ruin, ...]
    notices: tuple[Notice, ...]
    sizes: tuple[Sized, ...] = ()  # the plan's own among them, fewest trees first
    targets: tuple[tuple[Share, Sized | None], ...] = ()  # share of all that is wanted, and the size it takes

    @property
    def cost_to_establish(self) -> float:
        return sum(self.establishment.values())
