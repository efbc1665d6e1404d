"""What to graft, buy and line out: the result of the Nursery department."""

from dataclasses import dataclass

from topwire.notices import Notice


@dataclass(frozen=True)
class GraftLine:
    """One cultivar's order."""

    cultivar: str
    rootstock: str
    trees: int  # wanted in the orchard
    own_graft: bool
    grafts: int  # started, 0 where trees are bought
    bought_trees: int
    chance: float  # that at least `trees` good ones are there in time
    scion_sticks: int
    stool_rows_note: str  # where its young trees stand along the nursery rows, laid end to end
    reason: str  # why bought, or what to watch about the union
    success: float = 1.0  # share of its grafts that end as good trees
    buds: int = 0  # buds the grafts use
    labels: int = 0  # bundle, row and tree labels to write


@dataclass(frozen=True)
class StockLine:
    rootstock: str
    number: int  # culls included
    note: str = ""


@dataclass(frozen=True)
class WorkDay:
    """One date of the nursery's work."""

    day: str  # ISO date
    until: str  # ISO date
    what: str
    how: str


@dataclass(frozen=True)
class Policy:
    """One way to make sure of the trees, with what it takes and costs."""

    name: str
    grafts: int
    spare_stocks: int
    august_buds: float
    joint_chance: float
    late_trees: float  # trees a season younger, mean
    cost: float
    chosen: bool


@dataclass(frozen=True)
class TopworkLine:
    """Standing trees of one cultivar, if they were grafted over instead of pulled out."""

    cultivar: str
    rootstock: str
    trees: int
    scions: int
    hours: float  # [h]
    chance_per_tree: float  # at least half of its stubs take
    crop_lost: float  # [kg/tree] over ten years against a tree left alone, grafted over
    crop_lost_replanted: float  # [kg/tree] the same, a new tree in its place


@dataclass(frozen=True)
class NurseryOrder:
    lines: tuple[GraftLine, ...]
    stocks: tuple[StockLine, ...]
    chain: float  # share of grafts that end as good trees
    joint_chance: float  # all cultivars reach their numbers
    spares_policy: str  # the cheaper way compared: pooled spares and summer budding
    nursery_area: float  # [m2]
    nursery_row_metres: float
    cost: float  # in the plan's currency
    dates: tuple[WorkDay, ...]
    notices: tuple[Notice, ...]
    policies: tuple[Policy, ...] = ()
    chain_steps: tuple[tuple[str, float], ...] = ()  # take, overwinter, grade, transplant
    lot_correlation: float = 0.0
    nursery_rows: int = 0
    bench_hours: float = 0.0  # [h] grafting
    care_hours: float = 0.0  # [h] lining out, weeding, lifting
    take_range: tuple[float, float] | None = (
        None  # 10th and 90th percentile of the take rate, learnt from own lots
    )
    topworking: tuple[TopworkLine, ...] = ()
