"""The crop that is coming, by leaf: the findings of the Years."""

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Annotated

import numpy as np

from topwire.growth.asked import ThinningRule
from topwire.growth.sugar import SugarYear
from topwire.growth.training import TrainingRule
from topwire.growth.whip import WhipTraining
from topwire.layout.areas import Areas
from topwire.values.arrays import Floats, Integers
from topwire.values.notice import Measured, Notice
from topwire.values.quantities import (
    Count,
    Kilograms,
    KilogramsArray,
    KilogramsPerSquareMetre,
    Metres,
    MetresArray,
    Plain,
    Share,
)
from topwire.values.units import Kind

CountArray = Annotated[Floats, Plain.COUNT]
RatioArray = Annotated[Floats, Plain.RATIO]
CropArray = Annotated[Floats, Kind.CROP]
FineMetresArray = Annotated[Floats, Kind.FINE_LENGTH]


class YoungCrop(StrEnum):
    """When a young tree may carry fruit."""

    AT_THE_WIRE = "at the wire"  # none before the leader is there
    LIGHT_FROM_SECOND_LEAF = "light from leaf 2"


@dataclass(frozen=True)
class RuleOutcome:
    """What a rule on young crops comes to, means over the trees of the orchard."""

    rule: YoungCrop
    leaf_at_wire: Count | None  # mean over the trees that get there
    never_at_wire: Share  # of the trees not there within 15 leaves
    kg_to_leaf_5: Kilograms  # a tree
    kg_to_leaf_10: Kilograms
    chosen: bool


class TrialFigure(StrEnum):
    """What a trial weighed or measured."""

    HEIGHT = "height"
    CROP_IN_LEAF_5 = "crop in leaf 5"
    CROP_TO_LEAF_5 = "crop to leaf 5"


@dataclass(frozen=True)
class TrialLine:
    """One trial of a rootstock beside our forecast for the same trees."""

    trial: str
    figure: TrialFigure
    published: Measured
    thinned_to_rule: Measured  # grown and thinned as we advise
    as_cropped: Measured  # thinned to six fruits per cm2, as the trial's yields say it was
    source: str


class SetAdvice(StrEnum):
    """What the fruits that will stay, beside those wanted, ask for."""

    COUNT_CLUSTERS = "count clusters"  # how many would stay on a tree is not known
    THIN_ON = "thin on"
    STOP = "stop"
    LEAVE = "leave"


@dataclass(frozen=True)
class SetLine:
    """What the grower's own fruitlets of one cultivar say."""

    cultivar: str
    measured: int
    persisting: int
    share: Share
    fruits_per_tree: Count | None
    wanted: Count | None  # fruits to leave on a tree of that leaf
    advice: SetAdvice


@dataclass(frozen=True)
class FruitSize:
    """Fruit of one cultivar at the load it may carry, and with half as many fruits again left on the tree."""

    cultivar: str
    load: Annotated[float, Kind.FRUIT_LOAD]
    mass: Annotated[float, Kind.SMALL_MASS]
    width: Annotated[float, Kind.FINE_LENGTH]
    flowers_next_year: Share  # of a full set
    mass_overloaded: Annotated[float, Kind.SMALL_MASS]
    width_overloaded: Annotated[float, Kind.FINE_LENGTH]
    flowers_overloaded: Share


@dataclass(frozen=True)
class KitchenYear:
    """Service in a year after planting, mean over a good, a middling and a bad weather year."""

    leaf: int  # growing season of the trees planted first
    year: int  # calendar year of that harvest
    served: tuple[Share, ...]  # of each need, in the order of the choice's needs


@dataclass(frozen=True)
class CropForecast:
    """Leaves (growing seasons in the orchard) 1 to 15 of the new trees; low, middle, high over weather years.

    `cultivars` are those of the layout, in its order. This is the only crop by leaf of the house.
    """

    cultivars: tuple[str, ...]
    leaf: Integers  # (leaves,)
    height: MetresArray  # (cultivars, leaves, 3) leader height low, middle, high
    reaches_wire: CountArray  # (cultivars, 3) leaf in which the top wire is reached; NaN = not within 15
    kg_per_tree: KilogramsArray  # (cultivars, leaves, 3)
    orchard_kg: KilogramsArray  # (leaves, 3) whole orchard, standing trees not counted
    fruit_target: CountArray  # (cultivars, leaves) fruits to leave on a tree
    full_crop_kg_per_tree: KilogramsArray  # (cultivars,) heaviest year a wire must hold (high at full crop)
    mature_crop: tuple[
        KilogramsPerSquareMetre, KilogramsPerSquareMetre, KilogramsPerSquareMetre
    ]  # tree ground
    notices: tuple[Notice, ...]
    areas: Areas = field(default_factory=lambda: Areas(0.0, 0.0, None, 0.0))
    wire_height: Metres = 0.0
    vigour: RatioArray = field(
        default_factory=lambda: np.zeros(0)
    )  # (cultivars,) stock, scion, soil; 1 = M.9
    trees: Integers = field(default_factory=lambda: np.zeros(0, dtype=np.int64))  # (cultivars,) new trees
    rows: tuple[str, ...] = ()  # row addresses, “South 3”
    row_kg: KilogramsArray = field(default_factory=lambda: np.zeros((0, 0, 3)))  # (rows, leaves, 3)
    crop_on_ground: CropArray = field(default_factory=lambda: np.zeros((0, 3)))  # (leaves, 3) of tree ground
    goal_on_ground: CropArray = field(
        default_factory=lambda: np.zeros(0)
    )  # (leaves,) what specialists aim at
    bearing_index: RatioArray = field(
        default_factory=lambda: np.zeros(0)
    )  # (cultivars,) leaves 8-15; 0 even, 1 every other year
    trunk_width: FineMetresArray = field(
        default_factory=lambda: np.zeros((0, 0))
    )  # (cultivars, leaves) middle
    gauge_width: FineMetresArray = field(default_factory=lambda: np.zeros(0))  # (widths,) of a trunk
    gauge_fruits: CountArray = field(default_factory=lambda: np.zeros((0, 0)))  # (cultivars, widths) to leave
    drawn_kg: KilogramsArray = field(
        default_factory=lambda: np.zeros((0, 0))
    )  # (drawn orchards, leaves) whole orchard
    kitchen: tuple[KitchenYear, ...] = ()
    sizes: tuple[FruitSize, ...] = ()
    rules: tuple[RuleOutcome, ...] = ()
    trials: tuple[TrialLine, ...] = ()
    training: tuple[TrainingRule, ...] = ()
    thinning: tuple[ThinningRule, ...] = ()
    sets: tuple[SetLine, ...] = ()  # from the grower's own fruitlets
    sugar: tuple[SugarYear, ...] = ()  # empty where the record has no spring without gaps
    whips: WhipTraining | None = None  # None where no whip is planted
