"""What to graft, buy and line out: the findings of the Nursery department."""

from dataclasses import dataclass
from enum import StrEnum

from topwire.values.notice import Notice
from topwire.values.quantities import Count, GroundSquareMetres, Hours, Kilograms, Metres, Money, Ratio, Share
from topwire.values.traits import Right


@dataclass(frozen=True)
class GraftLine:
    """One cultivar's order."""

    cultivar: str
    rootstock: str
    trees: int  # wanted in the orchard
    right: Right
    grafts: int  # started, 0 where trees are bought
    bought_trees: int
    chance: Share  # that at least `trees` good ones are there in time
    scion_sticks: int
    row_from: Metres | None  # where its young trees stand along the nursery rows, laid end to end
    row_to: Metres | None
    union_remarks: tuple[str, ...]  # what to watch about the union, in the catalogue's words
    success: Share  # of its grafts that end as good trees
    buds: int  # the grafts use
    labels: int  # bundle, row and tree labels to write
    trade_marks: tuple[str, ...] = ()  # the cultivar is sold under

    @property
    def own_graft(self) -> bool:
        return self.right is Right.FREE


@dataclass(frozen=True)
class WoodLine:
    """One winter of the wood of a cultivar that is hard to get."""

    cultivar: str
    year: int  # the winter ends in
    fetched: int  # sticks from elsewhere
    own: int  # sticks cut from the mother row
    grafts: int  # they allow
    mothers: int  # of these, set as mother trees
    wanted: int  # grafts for the orchard, in its last winter; 0 before

    @property
    def short(self) -> int:
        """Grafts for the orchard that there is no wood for."""
        return max(0, self.wanted - self.grafts)


@dataclass(frozen=True)
class StockLine:
    rootstock: str
    number: int  # culls included
    protected: bool  # or the right not known: may be grafted, not multiplied at home
    culls: int = 0  # of them, unfit by trade practice: ordered beyond grafts and spares


class NurseryJob(StrEnum):
    """Work of the nursery, in the order it comes."""

    MOTHER_ROW = "mother_row"
    ORDER_STOCKS = "order_stocks"
    CUT_WOOD = "cut_wood"
    KEEP_COLD = "keep_cold"
    BENCH_GRAFT = "bench_graft"
    CALLUS = "callus"
    LINE_OUT = "line_out"
    COUNT_TAKES = "count_takes"
    BUD_FAILURES = "bud_failures"
    HEAD_WHIPS = "head_whips"
    LIFT = "lift"
    PLANT = "plant"


@dataclass(frozen=True)
class WorkDates:
    """When one job of the nursery is done."""

    job: NurseryJob
    first: str  # ISO date
    last: str  # ISO date


class Way(StrEnum):
    """A way to make sure of the trees."""

    ALONE = "alone"  # each cultivar for itself
    TOGETHER = "together"  # all cultivars jointly
    POOLED = "pooled"  # spare stocks in one pool, and August buds
    BOUGHT = "bought"  # as trees


@dataclass(frozen=True)
class Policy:
    """What one way takes and costs."""

    way: Way
    grafts: int
    spare_stocks: int
    august_buds: Count  # expected
    joint_chance: Share
    late_trees: Count  # trees a season younger, expected
    missing: Count  # trees still missing where not all are there, mean
    cost: Money
    chosen: bool


class Trouble(StrEnum):
    """Bad luck that strikes a whole batch at once."""

    BAD_WEEK = "bad week"  # a tenth fewer grafts take, of every cultivar
    LATE_FROST = "late frost"  # a fifth fewer
    BAD_WOOD = "bad wood"  # half the grafts of every tenth lot fail


@dataclass(frozen=True)
class BatchTrouble:
    """The order under one trouble."""

    trouble: Trouble
    joint_chance: Share
    missing: Count  # trees, where not all are there


@dataclass(frozen=True)
class TopworkLine:
    """Standing trees of one cultivar, if they were grafted over instead of pulled out."""

    cultivar: str
    rootstock: str
    trees: int
    scions: int
    hours: Hours
    chance_per_tree: Share  # at least half of its stubs take
    crop_lost: Kilograms  # a tree over ten years against a tree left alone, grafted over
    crop_lost_replanted: Kilograms  # the same, a new tree in its place


@dataclass(frozen=True)
class ChainSteps:
    """Shares of grafts that pass each step, and where the take rate comes from."""

    take: Share
    overwinter: Share
    grade: Share
    transplant: Share


@dataclass(frozen=True)
class NurseryFindings:
    lines: tuple[GraftLine, ...]
    stocks: tuple[StockLine, ...]
    steps: ChainSteps
    chain: Share  # of grafts that end as good trees
    take_range: tuple[Share, Share] | None  # 10th and 90th percentile of the take rate, learnt from own lots
    joint_chance: Share  # all cultivars reach their numbers
    policies: tuple[Policy, ...]
    troubles: tuple[BatchTrouble, ...]
    spare_stocks: int  # without a graft, lined out for August buds
    spare_stock: str  # the rootstock they are of
    lot_correlation: Ratio
    nursery_rows: int
    nursery_area: GroundSquareMetres
    nursery_row_length: Metres  # of all rows together
    bench_hours: Hours  # grafting
    care_hours: Hours  # lining out, weeding, lifting
    cost: Money
    currency: str
    dates: tuple[WorkDates, ...]
    wood: tuple[WoodLine, ...]  # where the plan states what is to be had
    topworking: tuple[TopworkLine, ...]
    notices: tuple[Notice, ...]
