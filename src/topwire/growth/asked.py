"""What the Years are asked: the new trees, the ground they stand on, weather years, the tables of crop and load."""

from dataclasses import dataclass
from typing import Annotated

from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Limits
from topwire.choice.supply import Supply
from topwire.layout.areas import Areas
from topwire.values.arrays import Floats, Integers
from topwire.values.quantities import (
    CelsiusArray,
    Degrees,
    GroundSquareMetres,
    Kilograms,
    KilogramsPerSquareMetre,
    Metres,
    Ratio,
    Share,
)
from topwire.values.terms import Training
from topwire.values.traits import Grade, ReplantTolerance, StockPrecocity
from topwire.values.units import Kind


@dataclass(frozen=True)
class NewTrees:
    """New trees of one cultivar on one stock, with what is known of both; None = not known.

    Attributes
    ----------
    by_row : trees in each row of the question
    stock_vigour, stock_vigour_low, stock_vigour_high : trunk beside that of M.9 NAKBT337
    scion_vigour : a triploid is strong
    load : fruits per cm2 of trunk it may carry
    own_graft : raised at home
    kitchen_crop : of a full-grown tree, as the choice of cultivars counts on; None where it does not
    crop_after_frost : (years,) share of a full crop that frost leaves
    full_bloom : (years,) day of the year
    for_cider : cider fruit, which no one thins by hand to a number
    """

    cultivar: str
    rootstock: str
    by_row: tuple[int, ...]
    ground_per_tree: GroundSquareMetres
    stock_vigour: Ratio | None
    stock_vigour_low: Ratio | None
    stock_vigour_high: Ratio | None
    replant: ReplantTolerance | None
    stock_precocity: StockPrecocity | None
    scion_vigour: Grade
    scion_precocity: Grade | None
    biennial: Grade | None
    fruit_mass: Annotated[float, Kind.SMALL_MASS] | None
    load: float
    own_graft: bool
    kitchen_crop: Kilograms | None
    crop_after_frost: Floats
    full_bloom: Floats
    for_cider: bool = False

    @property
    def trees(self) -> int:
        return sum(self.by_row)


@dataclass(frozen=True)
class GrowingSoil:
    fertility: str  # poor, medium, fertile
    depth: Metres  # roots can use
    texture: str  # class of the United States Department of Agriculture
    replanted: bool


@dataclass(frozen=True)
class MatureYield:
    """What a full-grown orchard bears on its tree ground."""

    low: KilogramsPerSquareMetre
    middle: KilogramsPerSquareMetre
    high: KilogramsPerSquareMetre


@dataclass(frozen=True)
class SpringWeather:
    """Days of each weather year in which thinning windows fall, (years, days); NaN where the record says nothing."""

    day: Integers  # (days,) of the year
    coldest: CelsiusArray
    warmest: CelsiusArray
    sun: Floats  # [MJ/m2/d]
    green_tip: Floats  # (years,) day of the year


@dataclass(frozen=True)
class YoungKitchen:
    """What the kitchen wants of the fruit before full crop.

    Attributes
    ----------
    supply : cultivars of the choice, in a good, a middling and a bad weather year
    standing : (cultivars,) trees that crop in full from the start
    planted : (autumns, cultivars) new trees; all in the first autumn unless the plan asks for more of them
    first : year of the first planting autumn
    """

    supply: Supply
    needs: tuple[WeeklyNeed, ...]
    limits: Limits
    standing: Integers
    planted: Integers
    first: int


@dataclass(frozen=True)
class TrialRow:
    """One row of crop_trials.csv."""

    trial: str
    cultivar: str
    rootstock: str
    trees_per_ha: float
    vigour: float
    height_m: float
    kg_leaf_5: float
    kg_to_leaf_5: float
    source: str
    mark: str


@dataclass(frozen=True)
class ThinningRule:
    """One row of thinning_rules.csv; measures in its texts are written in both systems."""

    rule: str
    condition: str
    action: str
    source: str | None
    mark: str


@dataclass(frozen=True)
class FruitletRow:
    """A row of records/fruitlets.csv: one tagged fruitlet, measured twice; no second measure: it fell."""

    fruitlet: str
    cultivar: str
    leaf: int  # of the tree
    cluster: str
    clusters_per_tree: float | None  # counted on the sample trees
    first_mm: float
    second_mm: float | None
    remark: str | None


@dataclass(frozen=True)
class YearsQuestion:
    """All the Years' sums need.

    Attributes
    ----------
    rows : addresses of the rows, “South 3”
    heat : (years,) [K d] warmth of each weather year
    wires : heights of the training wires, lowest first
    wire : height of the top wire; wall_height : where the knife holds the leaders
    whips : home-grafted trees are planted after one season, not two
    form : how the tree is trained
    share_by_leaf : (leaves,) share of a full crop in leaf 2 and on
    goal_by_leaf : (leaves,) what specialists aim at in leaf 1 and on [kg/m2]
    """

    trees: tuple[NewTrees, ...]
    rows: tuple[str, ...]
    any_standing: bool
    areas: Areas
    latitude: Degrees
    years: Integers
    heat: Floats
    spring: SpringWeather
    soil: GrowingSoil
    wire: Metres
    wires: tuple[Metres, ...]
    wall_height: Metres
    whips: bool
    form: Training
    share_by_leaf: tuple[Share, ...]
    goal_by_leaf: tuple[KilogramsPerSquareMetre, ...]
    mature: MatureYield
    kitchen: YoungKitchen
    trials: tuple[TrialRow, ...]
    thinning: tuple[ThinningRule, ...]
    fruitlets: tuple[FruitletRow, ...]
