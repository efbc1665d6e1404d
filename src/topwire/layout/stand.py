"""What a search for the planting is given: the free places along the path, what stands already, who is planted."""

import math
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from topwire.layout.walk import RowLines
from topwire.values.quantities import Hours

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]
Booleans = npt.NDArray[np.bool_]

EMPTY = -1


@dataclass(frozen=True)
class FreePlaces:
    """The free places along the path, and what stands already.

    Arrays are (places,) along the path: `row` indexes `rows`; `line` numbers the row lines of all blocks, those of one
    block following one another, `step` places along a line; `along` [m] from the row's start; `height` [m]; `last` is
    the path index after the last place of the unbroken stretch a place belongs to; `before` the cultivar a place had in
    the last layout, EMPTY where none or none that is still planted.

    `one_level` says whether heights compare between blocks; `off_grid` (blocks,) by how many steps two places may be
    farther apart along the rows than `step` says, none = 0; `between` (rows,) [m] between trees, none = all alike.

    `block_of_line` (lines,); `row_spacing`, `tree_spacing` (blocks,) [m]. Standing trees, (trees,) each:
    `standing_kind`, `standing_line`, `standing_step`, `standing_row`, `standing_along`.
    """

    row: Index
    line: Index
    step: Index
    along: Array
    height: Array
    to_gate: Array
    last: Index
    before: Index
    rows: RowLines
    block_of_line: Index
    row_spacing: Array
    tree_spacing: Array
    standing_kind: Index
    standing_line: Index
    standing_step: Index
    standing_row: Index
    standing_along: Array
    one_level: bool = False
    off_grid: tuple[float, ...] = ()
    between: Array = field(default_factory=lambda: np.empty(0))

    @property
    def places(self) -> int:
        return int(self.row.size)

    @property
    def steps(self) -> int:
        """Places of the longest row line."""
        return int(max(self.step.max(initial=0), self.standing_step.max(initial=0))) + 1


@dataclass(frozen=True)
class Kinds:
    """The cultivars to plant, and those that only stand already.

    trees : (kinds,) to plant; match : (kinds, kinds) donor, parent: overlap times compatible fraction that holds in
    nine years of ten; ripe : (kinds, weeks) picked in that week; care : (kinds,) need of sprays and thinning, 0 to 1;
    frost : (kinds,) [h/m/year] hours' worth of crop a tree gains for each metre it stands higher; favourite : (kinds,)
    0 to 1, what guests want to pick; story : (kinds,) place in the story (the year), NaN for cultivars not part of it;
    shortest : (kinds,) trees of a run that is not a stump; wanted : (kinds,) [m] each pair wants in the row, none = all
    alike.
    """

    trees: Index
    match: Array
    ripe: Booleans
    care: Array
    frost: Array
    favourite: Array
    story: Array
    shortest: Index
    wanted: Array = field(default_factory=lambda: np.empty(0))


@dataclass(frozen=True)
class Prices:
    """What each thing costs in hours of work a year: the one currency in which plantings are compared.

    A sum of money counts as the hours its wage would pay. Where no source is named the price is common practice.

    Attributes
    ----------
    pace : [m/h] of a crew that walks from tree to tree with its crates
    crew : people who walk together; `rounds` : a week, one to look at ripeness and one to pick
    tree : [h/year] worth of one tree's crop; what a tree without pollen, or with its one donor frozen, loses
    bouquet : [h/year] to bring cut donor branches in bloom to a tree short of pollen, or of a second donor
    lone_donor : share of years in which a tree's only donor fails it: it bears every other year, or freezes
    row, metre : [h/year] a built row (its two ends) and a metre of it, over their life
    stump : [h/year] a run shorter than the plan allows: as good as forbidden
    part : [h/year] a cultivar in one more place: one more look at ripeness each week, one more stop
    care : [h/year] to set the sprayer and the thinning anew between cultivars that want all and nothing
    story : [h/year] that heritage cultivars standing in the order of their years are worth, over all of them
    gate : [h/year] that guests' favourites at the gate and not at the far end are worth, over all of them
    cut : [h/year] more pruning of a tree that wants twice the room it has
    idle : share of a full crop that ground no tree fills would have carried
    moved : [h] for a tree that stands elsewhere than in the last layout: label, sheet and bundle made anew
    """

    pace: float = 3000.0
    rounds: float = 2.0
    crew: float = 3.0
    tree: float = 1.5
    bouquet: float = 0.17
    lone_donor: float = 0.1
    row: float = 0.8
    metre: float = 0.03
    stump: float = 2.0
    part: float = 0.3
    care: float = 0.15
    story: float = 1.0
    gate: float = 0.5
    cut: float = 0.1
    idle: float = 0.5
    moved: float = 0.05


@dataclass(frozen=True)
class Terms:
    """One planting in hours of work a year; `pollen` is 0 where no tree is short."""

    walk: Hours
    pollen: Hours
    frost: Hours
    trellis: Hours
    runs: Hours
    care: Hours
    story: Hours
    gate: Hours
    moved: Hours
    room: Hours = 0.0

    @property
    def total(self) -> float:
        return math.fsum(vars(self).values())
