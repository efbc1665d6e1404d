"""The first stage of the choice: how many trees of each cultivar. One function per condition, in the trade's words."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from topwire.choice.hands import Picking, picked_by_week
from topwire.choice.model import Index, Model
from topwire.choice.pollination import donors_wanted
from topwire.choice.supply import Supply
from topwire.values.terms import Risk

Array = npt.NDArray[np.float64]
Donors = npt.NDArray[
    np.int64
]  # 1 where a donor is to be counted on; how many beyond the orchard on the diagonal

TREE_COST = (
    1.0  # [weighted kg a year] what a tree has to bring to be worth its place and care: planning figure
)


WORST_WEIGHT = {Risk.CAREFUL: 0.3, Risk.EVEN: 0.0}  # what the worst fifth of years counts beside the mean


@dataclass(frozen=True)
class Held:
    """A condition on a planting: of_trees @ trees + of_planted @ planted is no more than `most`. (cultivars,) each."""

    of_trees: Array
    of_planted: Array
    most: float


@dataclass(frozen=True)
class Limits:
    """What the plan says of numbers."""

    places: int  # trees there is room for, standing ones included
    fewest_trees: int
    most_trees: int
    fewest_cultivars: int
    most_cultivars: int
    heritage_share: float
    must_have: tuple[str, ...]
    standing: dict[str, int]  # trees already there
    tree_cost: Array  # (cultivars,) times TREE_COST
    board: int  # different table cultivars wanted
    press_week: float | None  # [kg]
    cellar: float | None  # [kg]
    at_least: int = 0  # trees, standing ones included
    few: tuple[
        str, ...
    ] = ()  # cultivars of which no more than the fewest are planted: disease would take them
    wood: Mapping[str, int] = field(
        default_factory=dict
    )  # most trees of a cultivar, where its wood is scarce
    risk: Risk = Risk.CAREFUL
    prime: bool = False  # fruit past its prime counts less at table
    picking: Picking | None = None  # most that may be picked in a week
    most_lost: float | None = None  # share of all that is wanted that may be lost with any one cultivar
    held: tuple[Held, ...] = ()  # what that asks of a planting, as far as is known

    @property
    def worst_weight(self) -> float:
        """What the worst fifth of years counts beside the mean."""
        return WORST_WEIGHT[self.risk]

    def some(self, keep: Sequence[int] | Index) -> "Limits":
        """The limits for some of the cultivars."""
        which = np.asarray(keep)
        held = tuple(Held(row.of_trees[which], row.of_planted[which], row.most) for row in self.held)
        return replace(self, tree_cost=self.tree_cost[which], held=held)

    def there(self, supply: Supply) -> Array:
        """(cultivars,) trees already standing."""
        return np.array([self.standing.get(row.name, 0) for row in supply.cultivars], dtype=float)

    def fewest(self, supply: Supply) -> Array:
        """(cultivars,) fewest trees of a cultivar that is planted. Standing trees count to them."""
        there = self.there(supply)
        fewest = np.where(there > 0, np.minimum(there, self.fewest_trees), self.fewest_trees)
        least: Array = np.minimum(fewest, self.most(supply))
        return least

    def most(self, supply: Supply) -> Array:
        """(cultivars,) most trees of a cultivar."""
        held = np.array([row.name in self.few for row in supply.cultivars])
        most = np.where(held, min(self.fewest_trees, self.most_trees), self.most_trees)
        wood = np.array([self.wood.get(row.name, self.most_trees) for row in supply.cultivars])
        there = self.there(supply)
        within: Array = np.maximum(np.minimum(most, there + wood), there)
        return within

    def stays(self, supply: Supply) -> npt.NDArray[np.bool_]:
        """(cultivars,) whether it has to be there."""
        must = np.array([row.name in self.must_have for row in supply.cultivars])
        return np.asarray(must | (self.there(supply) > 0))


@dataclass(frozen=True)
class FirstStage:
    """Columns of the first stage: trees, and whether a cultivar is planted at all."""

    trees: Index
    planted: Index


def add_planting(
    model: Model, supply: Supply, limits: Limits, useful: Donors, *, parts: bool = False
) -> FirstStage:
    """Trees of each cultivar under all conditions of the plan.

    Parameters
    ----------
    useful : (donors, parents) dependable pollen donors
    parts : trees may be parts of trees where decisions are whole
    """
    planting = plant(model, supply, limits, parts=parts)
    within_the_ground(model, planting, limits)
    number_of_cultivars(model, planting, limits)
    none_or_enough(model, supply, planting, limits)
    heritage(model, supply, planting, limits)
    enough_donors(model, planting, useful, limits.most_cultivars)
    loss_is_limited(model, planting, limits)
    hands_are_enough(model, supply, planting, limits)
    return planting


def allowed(supply: Supply, limits: Limits, useful: Donors, trees: Array, planted: Array) -> bool:
    """Whether the plan allows a planting, parts of trees and of decisions too; (cultivars,) each."""
    model = Model()
    planting = add_planting(model, supply, limits, useful)
    values = np.zeros(model.width)
    values[planting.trees], values[planting.planted] = trees, planted
    return model.holds(values)


def hands_are_enough(model: Model, supply: Supply, planting: FirstStage, limits: Limits) -> Index:
    """In the mean of the weather years no more is picked in any week than may be; the rows that say so."""
    if limits.picking is None:
        return np.zeros(0, dtype=np.int64)
    ease = np.array([limits.picking.ease.get(row.name, 1.0) for row in supply.cultivars])
    picked = picked_by_week(supply).mean(axis=0) / ease[:, None]
    weeks = np.flatnonzero(picked.any(axis=0))
    rows = model.add_rows(np.full(weeks.size, -np.inf), limits.picking.most)
    cultivar, week = np.nonzero(picked[:, weeks])
    model.put(rows[week], planting.trees[cultivar], picked[:, weeks][cultivar, week])
    return rows


def loss_is_limited(model: Model, planting: FirstStage, limits: Limits) -> None:
    """What is missing without any one cultivar is no more than the plan allows, as far as is known of it."""
    for row in limits.held:
        at = model.add_rows(-np.inf, row.most)
        model.put(at, planting.trees, row.of_trees)
        model.put(at, planting.planted, row.of_planted)


def plant(model: Model, supply: Supply, limits: Limits, *, parts: bool = False) -> FirstStage:
    """Trees of each cultivar, and whether it is planted at all. Standing trees are there already."""
    trees = model.add_columns(
        TREE_COST * limits.tree_cost, low=limits.there(supply), high=limits.most(supply), whole=not parts
    )
    planted = model.add_columns(
        np.zeros(trees.size), low=limits.stays(supply).astype(float), high=1.0, whole=True
    )
    return FirstStage(trees, planted)


def within_the_ground(model: Model, planting: FirstStage, limits: Limits) -> None:
    """No more trees than places, and no fewer than asked for."""
    model.put(model.add_rows(float(limits.at_least), float(limits.places)), planting.trees, 1.0)


def number_of_cultivars(model: Model, planting: FirstStage, limits: Limits) -> None:
    rows = model.add_rows(float(limits.fewest_cultivars), float(limits.most_cultivars))
    model.put(rows, planting.planted, 1.0)


def none_or_enough(model: Model, supply: Supply, planting: FirstStage, limits: Limits) -> None:
    """A cultivar has no tree, or at least the fewest and at most the most."""
    count = planting.trees.size
    at_most = model.add_rows(np.full(count, -np.inf), 0.0)
    model.put(at_most, planting.trees, 1.0)
    model.put(at_most, planting.planted, -limits.most(supply))
    at_least = model.add_rows(np.zeros(count), np.inf)
    model.put(at_least, planting.trees, 1.0)
    model.put(at_least, planting.planted, -limits.fewest(supply))


def heritage(model: Model, supply: Supply, planting: FirstStage, limits: Limits) -> None:
    """The least share of trees of cultivars known before 1900."""
    if limits.heritage_share > 0:
        old = np.array([float(row.heritage) for row in supply.cultivars])
        model.put(model.add_rows(0.0, np.inf), planting.trees, old - limits.heritage_share)


def enough_donors(model: Model, planting: FirstStage, useful: Donors, most_cultivars: int) -> None:
    """Every planted cultivar has its useful donors among the planted or beyond the orchard, two at the least."""
    rows = model.add_rows(np.zeros(planting.planted.size), np.inf)
    donor, parent = np.nonzero(useful)
    wanted = -donors_wanted(useful, most_cultivars).astype(float)
    inside = donor != parent
    model.put(rows[parent[inside]], planting.planted[donor[inside]], 1.0)
    model.put(rows, planting.planted, wanted + np.diagonal(useful))
