"""The crop that is coming, by leaf: the result of the Years department."""

from dataclasses import dataclass, field

import numpy as np

from topwire.growth.training import TrainingRule
from topwire.notices import Notice
from topwire.values.arrays import Floats, Integers


@dataclass(frozen=True)
class RuleOutcome:
    """What a rule on young crops comes to, means over the trees of the orchard."""

    name: str
    leaf_at_wire: float | None  # mean over the trees that get there
    never_at_wire: float  # share of trees not there within 15 leaves
    kg_to_leaf_5: float  # [kg/tree]
    kg_to_leaf_10: float
    chosen: bool


@dataclass(frozen=True)
class TrialLine:
    """One trial of a rootstock beside our forecast for the same trees."""

    trial: str
    quantity: str
    unit: str
    published: float
    thinned_to_rule: float  # grown and thinned as we advise
    as_cropped: float  # thinned to six fruits per cm2, as the trial's yields say it was
    source: str


@dataclass(frozen=True)
class ThinningRule:
    """One row of thinning_rules.csv."""

    rule: str
    condition: str
    action: str
    source: str | None
    mark: str


@dataclass(frozen=True)
class SetLine:
    """What the grower's own fruitlets of one cultivar say."""

    cultivar: str
    measured: int
    persisting: int
    share: float
    fruits_per_tree: float | None
    wanted: float | None  # fruits to leave on a tree of that leaf
    advice: str


@dataclass(frozen=True)
class SugarYear:
    """The main thinning window of one weather year, and whether sugar was short in it."""

    year: int
    first_day: int  # day of year
    last_day: int
    index: float  # relative: 0 the ordinary day after bloom of this place, below it a deficit


@dataclass(frozen=True)
class CropForecast:
    """Leaves (growing seasons in the orchard) 1 to 15 of the new trees; low, middle, high over weather years.

    `cultivars` are those of the layout, in its order.
    """

    cultivars: tuple[str, ...]
    leaf: Integers  # (leaves,)
    height: Floats  # (cultivars, leaves, 3) [m] leader height low, middle, high
    reaches_wire: Floats  # (cultivars, 3) leaf in which the top wire is reached; NaN = not within 15
    kg_per_tree: Floats  # (cultivars, leaves, 3)
    orchard_kg: Floats  # (leaves, 3) whole orchard, standing trees not counted
    fruit_target: Floats  # (cultivars, leaves) fruits to leave on a tree
    trunk_area: Floats  # (cultivars, leaves) [cm2]
    full_crop_kg_per_tree: Floats  # (cultivars,) heaviest year a wire must hold (high at full crop)
    mature_t_per_ha: tuple[float, float, float]
    beside_trials: tuple[tuple[str, float, float], ...]  # (trial, its value, ours) in kg/tree
    notices: tuple[Notice, ...]
    wire_height: float = 0.0  # [m]
    vigour: Floats = field(default_factory=lambda: np.zeros(0))  # (cultivars,) stock, scion, soil; 1 = M.9
    trees: Integers = field(default_factory=lambda: np.zeros(0, dtype=np.int64))  # (cultivars,) new trees
    rows: tuple[str, ...] = ()  # row addresses, “South 3”
    row_kg: Floats = field(default_factory=lambda: np.zeros((0, 0, 3)))  # (rows, leaves, 3)
    goal_t_per_ha: Floats = field(
        default_factory=lambda: np.zeros(0)
    )  # (leaves,) the upside: goal of specialists
    t_per_ha: Floats = field(default_factory=lambda: np.zeros((0, 3)))  # (leaves, 3)
    bearing_index: Floats = field(
        default_factory=lambda: np.zeros(0)
    )  # (cultivars,) leaves 8-15; 0 even, 1 alternate
    rules: tuple[RuleOutcome, ...] = ()
    trials: tuple[TrialLine, ...] = ()
    load_steps: Floats = field(default_factory=lambda: np.zeros(0))  # (loads,) [fruits/cm2]
    mass_by_load: Floats = field(default_factory=lambda: np.zeros((0, 0)))  # (cultivars, loads) [g]
    flowers_by_load: Floats = field(
        default_factory=lambda: np.zeros((0, 0))
    )  # (cultivars, loads) share next year
    training: tuple[TrainingRule, ...] = ()
    thinning: tuple[ThinningRule, ...] = ()
    drawn_kg: Floats = field(
        default_factory=lambda: np.zeros((0, 0))
    )  # (drawn orchards, leaves) whole orchard
    sets: tuple[SetLine, ...] = ()  # from records/fruitlets.csv
    sugar: tuple[SugarYear, ...] = ()  # empty where no daily weather was given
