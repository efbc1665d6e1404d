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
    stool_rows_note: str
    reason: str  # why bought, or what to watch about the union


@dataclass(frozen=True)
class StockLine:
    rootstock: str
    number: int


@dataclass(frozen=True)
class WorkDay:
    """One date of the nursery's work."""

    day: str  # ISO date
    until: str  # ISO date
    what: str
    how: str


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
