"""What the Nursery is asked: trees to raise or buy, rates of each step, prices, the grower's own counts."""

from dataclasses import dataclass

from topwire.choice.wood import WoodRates
from topwire.nursery.learning import Lot
from topwire.values.price import Price
from topwire.values.quantities import Kilograms, Metres, Money, Share
from topwire.values.traits import Right, UnionRisk


@dataclass(frozen=True)
class TreesWanted:
    """New trees of one cultivar on one stock, with what is known of the pair."""

    cultivar: str
    rootstock: str
    trees: int
    right: Right
    union: UnionRisk | None
    virus_sensitive: bool
    union_remarks: tuple[str, ...]  # the catalogue's own words
    stock_protected: bool  # the stock may not be multiplied at home, or nobody knows
    trade_marks: tuple[str, ...] = ()  # the cultivar is sold under


@dataclass(frozen=True)
class StandingTrees:
    """Trees of one cultivar that stand already, and what each bears full grown."""

    cultivar: str
    rootstock: str
    trees: int
    full_crop: Kilograms


@dataclass(frozen=True)
class AutumnShare:
    """Trees wanted in one of several planting autumns, by cultivar."""

    autumn: int
    trees: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class PropagationRates:
    """Planning figures of propagation.csv at the grafter's skill; shares 0 to 1."""

    take: Share
    overwinter: Share
    grade: Share
    transplant: Share
    chip_bud_take: Share
    bark_graft_take: Share
    bench_grafts_per_hour: float
    buds_per_hour: float
    care_minutes: float  # a graft and season
    buds_per_graft: float
    usable_buds_per_stick: float
    wood_margin: float  # factor on the sticks to cut
    stock_culls: Share
    stock_lives_after_failure: Share
    lot_correlation: float
    weak_union_penalty: Share  # off the take where the union is known to break


@dataclass(frozen=True)
class NurseryPrices:
    graft_stock: Price
    scion_wood: Price
    grafting_goods: Price
    care_goods: Price
    bought_tree: Price  # of an order
    bought_few: Price  # of a few, one by one
    royalty: Price

    @property
    def all(self) -> tuple[Price, ...]:
        return (
            self.graft_stock, self.scion_wood, self.grafting_goods, self.care_goods, self.bought_tree,
            self.bought_few, self.royalty,
        )  # fmt: skip


@dataclass(frozen=True)
class NurseryQuestion:
    """All the Nursery's sums need.

    Attributes
    ----------
    chance : wanted that the trees are there in time; `jointly`: for all cultivars together
    own_take_rate : the grower's own share of grafts that take, as the plan states it
    spring_shift : [d] how much later spring work starts than at 40 degrees north at sea level
    buy : all trees are bought
    autumns : planting autumns, where the plan asks for several; empty else
    """

    wanted: tuple[TreesWanted, ...]
    standing: tuple[StandingTrees, ...]
    autumns: tuple[AutumnShare, ...]
    rates: PropagationRates
    prices: NurseryPrices
    lots: tuple[Lot, ...]
    buy: bool
    skill: str
    chance: Share
    jointly: bool
    own_take_rate: Share | None
    wood: dict[str, int]  # sticks to be had in a winter, where the plan states it
    wood_winters: int
    wood_rates: WoodRates
    seasons: int
    planting_year: int
    spring_shift: int
    tree_spacing: Metres
    row_spacing: Metres
    wage: Money  # an hour
    currency: str
