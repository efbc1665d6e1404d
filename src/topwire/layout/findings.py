"""The ground with its tree places (before the choice) and the planted layout (after it)."""

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Annotated

import numpy as np

from topwire.layout.fence import FenceRow
from topwire.layout.stand import Terms
from topwire.values.address import TreeAddress
from topwire.values.arrays import Booleans, Floats, Integers
from topwire.values.notice import Notice
from topwire.values.quantities import (
    Degrees,
    GroundSquareMetres,
    Metres,
    MetresArray,
    Plain,
    Ratio,
    Share,
    ShareArray,
)
from topwire.values.terms import Compass

DegreesArray = Annotated[Floats, Plain.ANGLE]
RatioArray = Annotated[Floats, Plain.RATIO]


class RowRule(StrEnum):
    """Why a row spacing is shown."""

    TAKEN = "taken"
    MACHINE = "machine"  # the least the machine passes
    HEIGHT = "height"  # as wide as the trees are high
    TIGHT = "tight"  # clear alley against the height
    ROOMY = "roomy"  # row spacing against the height


@dataclass(frozen=True)
class GroundRow:
    """One row of tree places, a straight line on the ground.

    Coordinates in metres east (x) and north (y) of the orchard's origin; `height` above it.
    Place 1 stands at the start, the end of the row nearest the gate, named in `start_side`.
    """

    block: str
    number: int  # as in the address: “South 3”
    start: tuple[Metres, Metres]  # end post at place 1's side
    end: tuple[Metres, Metres]
    start_height: Metres
    end_height: Metres
    bearing: Degrees  # from north, from start to end
    length: Metres  # end post to end post, along the ground
    tree_spacing: Metres
    first_tree: Metres  # from the start post to place 1
    places: int
    outer: bool  # one of the two outer rows on its side: takes the full wind
    start_side: Compass  # the end where counting starts


@dataclass(frozen=True)
class Candidate:
    """One row bearing weighed, and what it costs in trees."""

    bearing: Degrees
    places: int
    light: Share  # of the season's direct light, caught
    mixed_light: Share  # of all light, caught
    climb: Ratio  # rise over run along the row
    tilt: Ratio  # and across it
    broadside: Share | None  # of the storm wind's push on the row's side; None where the wind is not stated
    allowed: bool  # not too steep along the row


@dataclass(frozen=True)
class SpacingLight:
    """One row spacing and the light its wall catches and lets down."""

    row_spacing: Metres
    rule: RowRule
    caught: Share  # of the season's light an opaque wall takes, direct and diffuse in equal parts
    base: Share  # light on the lowest third of the leaves, of open sky


@dataclass(frozen=True)
class BlockLight:
    """Light on one block's wall over the growing season. Shares of the light in the open."""

    leaf_area_index: Ratio  # leaves over the ground, taken
    beam: Share  # direct light caught by an opaque wall, the upper bound
    diffuse: Share  # the same of the light of an even sky
    beam_leaves: Share  # direct light caught by a wall of leaves
    diffuse_leaves: Share
    zones: tuple[Share, Share, Share]  # light on the leaves: top, middle, bottom third of the wall
    sides: tuple[Share, Share]  # and on its left and right half, looking along the rows
    facing: tuple[Compass, Compass]  # where the two halves look
    hours: Floats  # (hours,) [h] solar time
    by_hour: ShareArray  # (3, hours) of the beam caught on 21 June: rows as laid, north-south, east-west
    spacings: tuple[SpacingLight, ...]  # the one taken, and others


@dataclass(frozen=True)
class SpacingReason:
    """Why a block's trees and rows stand as far apart as they do."""

    tree_stated: bool
    row_stated: bool
    rootstock: str
    stock_class: str  # of the table tree_spacing
    training: str
    row_from: Metres  # row spacings that were open to choice
    row_to: Metres
    wall_height: Metres
    tight: Metres  # row spacing two published rules give for that wall
    roomy: Metres


@dataclass(frozen=True)
class GroundBlock:
    name: str
    outline: MetresArray  # (corners, 2)
    holes: tuple[MetresArray, ...]
    area: GroundSquareMetres
    slope: Ratio
    slope_bearing: Degrees
    row_bearing: Degrees
    row_spacing: Metres
    tree_spacing: Metres
    rows: tuple[GroundRow, ...]
    candidates: tuple[Candidate, ...]
    along_fence: bool
    spacing: SpacingReason
    further_outlines: tuple[MetresArray, ...] = ()  # parts of a block that lie apart from the first
    light: BlockLight | None = None  # None for a single row along a fence
    fence: FenceRow | None = None  # of such a row; its `width` stands as the row spacing
    lies_where_stated: bool = True  # False: a rectangle drawn beside the others, for the grower to place

    @property
    def closest(self) -> float:
        """[m] between trees of its closest row: rows in groups have distances of their own."""
        return min((row.tree_spacing for row in self.rows), default=self.tree_spacing)


class ClearFor(StrEnum):
    """What ground is kept clear for."""

    SETBACK = "setback"
    PATH = "path"


@dataclass(frozen=True)
class KeptClear:
    """Ground along a line without trees."""

    name: str
    what: ClearFor
    outline: MetresArray  # (corners, 2)


@dataclass(frozen=True)
class Ground:
    """Every place a tree can stand. Place arrays are (places,), ordered by block, row, place."""

    origin_latitude: float
    origin_longitude: float
    blocks: tuple[GroundBlock, ...]
    block: Integers  # index into blocks
    row: Integers  # index into that block's rows
    place: Integers  # number in the row, from 1
    x: MetresArray
    y: MetresArray
    height: MetresArray  # above the block's first corner; with height points above the first block's
    standing_cultivar: tuple[str, ...]  # "" where the place is free
    standing_rootstock: tuple[str, ...]
    standing_year: Integers  # year planted, 0 where free
    wall_height: Metres  # canopy height aimed at, the top wire plus a little
    obstacles: tuple[MetresArray, ...]
    gate: tuple[Metres, Metres] | None
    notices: tuple[Notice, ...]
    fence: tuple[MetresArray, ...] = ()  # line of a deer fence around the blocks
    declination: Degrees | None = None  # of a compass needle, east of true north
    kept_clear: tuple[KeptClear, ...] = ()
    first_corner: tuple[Metres, Metres] = (0.0, 0.0)  # of the first block, from which the plan states places
    height_points: MetresArray = field(
        default_factory=lambda: np.empty(0)
    )  # (points, 3) east, north, height that the surface goes through; none: each block is a plane
    pool_depth: MetresArray = field(
        default_factory=lambda: np.empty(0)
    )  # (places,) below the lowest way out for cold air; none where there are no height points

    @property
    def has_surface(self) -> bool:
        """Whether heights are those of one surface under all blocks."""
        return len(self.height_points) > 0

    @property
    def capacity(self) -> int:
        return len(self.x)

    @property
    def ground_per_tree(self) -> float:
        """[m2] row spacing times tree spacing, mean over all places."""
        return float(self.place_area.mean()) if self.capacity else 0.0

    @property
    def between_trees(self) -> Floats:
        """(places,) [m] distance between trees of each place's row."""
        found = np.zeros(len(self.x))
        for number, block in enumerate(self.blocks):
            here = self.block == number
            found[here] = np.array([row.tree_spacing for row in block.rows])[self.row[here]]
        return found

    @property
    def place_area(self) -> Floats:
        """(places,) [m2] row spacing times tree spacing."""
        across = np.array([block.row_spacing for block in self.blocks])
        return np.asarray(across[self.block] * self.between_trees)

    def address(self, index: int) -> TreeAddress:
        block = self.blocks[self.block[index]]
        return TreeAddress(block.name, block.rows[self.row[index]].number, int(self.place[index]))


@dataclass(frozen=True)
class Run:
    """Neighbouring trees of one cultivar in one row."""

    block: str
    row: int  # the row's number
    first: int  # place numbers, inclusive
    last: int
    cultivar: str


@dataclass(frozen=True)
class Gap:
    """Places without trees between standing trees of one row."""

    first: TreeAddress
    last: int  # place number, inclusive
    wanted: str  # the neighbours' cultivar; empty where the gap is wide enough for a run of any
    planted: tuple[str, ...]  # cultivars of the new trees that stand there now


@dataclass(frozen=True)
class Move:
    """Neighbouring places of a row where another cultivar stands than in the last layout; "" = none."""

    first: TreeAddress
    last: int  # place number, inclusive
    was: str
    now: str

    @property
    def places(self) -> int:
        return self.last - self.first.place + 1


@dataclass(frozen=True)
class Mend:
    """A donor that makes the pollen of a weak tree, and of others about it, surer."""

    donor: str
    crab: bool  # one of the catalogue that is not planted
    place: TreeAddress
    beside: TreeAddress | None  # the donor stands between the two as a slender pole; None = at a free place
    tree: TreeAddress  # the weak one
    cultivar: str
    before: Share  # its chance of enough
    after: Share
    after_all: Share  # once all donors named stand
    lifted: int  # trees that are no longer weak with it


@dataclass(frozen=True)
class Walks:
    """The pickers' walk over a season, beside that of other plantings of the same trees."""

    here: Metres
    catalogue_order: Metres
    random_runs: Metres  # whole runs in random order
    random_trees: Metres  # tree by tree
    least: Metres = 0.0  # that no planting of these trees can go below


@dataclass(frozen=True)
class Layout:
    """Who stands where. Arrays are (places,), in the order of `Ground`."""

    cultivars: tuple[str, ...]
    codes: tuple[str, ...]  # (cultivars,) short, the same on every map and sheet
    cultivar: Integers  # index into cultivars, -1 = left empty
    rootstock: tuple[str, ...]  # (cultivars,) stock of the new trees
    year_planted: Integers  # 0 where empty
    standing: Booleans  # a tree that already stood
    longitude: DegreesArray
    latitude: DegreesArray
    along_row: MetresArray  # running distance from the start post
    pollen: RatioArray  # (places,) useful pollen in the worst weather year of ten, 1 = enough
    donors_in_reach: (
        Integers  # (places,) useful donor cultivars in reach that flower with it in 9 years of 10
    )
    pollen_chance: RatioArray  # (places,) of enough: years, bees, bloom dates and untested alleles drawn
    pollen_without_best: RatioArray  # (places,) as `pollen`, were the donor that gives it most not there
    known_donor: Booleans  # (places,) a useful donor in reach is tested, and so is the tree
    runs: tuple[Run, ...]
    walks: Walks
    gaps: tuple[Gap, ...]
    hours: Terms | None  # what the planting costs a year, and for what; None where nothing was to be planted
    tried: int  # changes of plantings looked at
    exact: bool  # every order of runs was tried
    pollen_good_years: Share  # least share of weather years in which a tree has enough
    asked: str  # key of the question, its last layout left out
    from_last: bool  # it was searched for from a last layout
    moved: tuple[Move, ...]  # against the last layout, where there was one
    early_above: Metres  # the fifth of the trees that flowers first, against the mean of its blocks
    notices: tuple[Notice, ...]
    mends: tuple[Mend, ...] = ()  # for the trees whose chance is least
    # (cultivars, 3) of the bloom: hours fit for bees in the middle spring and in the worst of ten, [h], and the share
    # of flowers they find in the worst of ten; none where no weather is known
    bee_springs: Floats = field(default_factory=lambda: np.empty(0))

    def trees_of(self, cultivar: str) -> int:
        return int((self.cultivar == self.cultivars.index(cultivar)).sum())
