"""The ground with its tree places (before the choice) and the planted layout (after it)."""

from dataclasses import dataclass, field

import numpy as np

from topwire.notices import Notice
from topwire.values.arrays import Booleans, Floats, Integers


@dataclass(frozen=True)
class GroundRow:
    """One row of tree places, a straight line on the ground.

    Coordinates in metres east (x) and north (y) of the orchard's origin; `height` above it.
    Place 1 stands at the start, the end of the row nearest the gate side named in `start_end`.
    """

    block: str
    number: int  # as in the address: “South 3”
    start: tuple[float, float]  # [m] end post at place 1's side
    end: tuple[float, float]  # [m]
    start_height: float  # [m]
    end_height: float  # [m]
    bearing: float  # [deg from north] from start to end
    length: float  # [m] end post to end post, along the ground
    tree_spacing: float  # [m]
    first_tree: float  # [m] from the start post to place 1
    places: int
    outer: bool  # one of the two outer rows on its side: takes the full wind
    start_end: str  # “south end”: where counting starts


@dataclass(frozen=True)
class Candidate:
    """One row bearing weighed, and what it costs in trees."""

    bearing: float
    places: int
    light: float  # season share of light caught, direct beam
    note: str


@dataclass(frozen=True)
class SpacingLight:
    """One row spacing and the light its wall catches and lets down."""

    row_spacing: float  # [m]
    why: str
    caught: float  # share of the season's light an opaque wall takes, direct and diffuse in equal parts
    base: float  # light on the lowest third of the leaves, share of open sky


@dataclass(frozen=True)
class BlockLight:
    """Light on one block's wall over the growing season. Shares of the light in the open."""

    leaf_area_index: float  # [m2/m2] leaves over the ground, taken
    beam: float  # direct light caught by an opaque wall, the upper bound
    diffuse: float  # the same of the light of an even sky
    beam_leaves: float  # direct light caught by a wall of leaves
    diffuse_leaves: float
    zones: tuple[float, float, float]  # light on the leaves: top, middle, bottom third of the wall
    sides: tuple[float, float]  # and on its left and right half, looking along the rows
    side_names: tuple[str, str]  # “west”, “east”
    hours: Floats  # (hours,) [h] solar time
    by_hour: Floats  # (3, hours) share of the beam caught on 21 June: rows as laid, north-south, east-west
    spacings: tuple[SpacingLight, ...]  # the one taken, and others


@dataclass(frozen=True)
class GroundBlock:
    name: str
    outline: Floats  # (corners, 2) [m]
    holes: tuple[Floats, ...]
    area: float  # [m2]
    slope: float
    slope_bearing: float
    row_bearing: float
    row_spacing: float  # [m]
    tree_spacing: float  # [m]
    rows: tuple[GroundRow, ...]
    candidates: tuple[Candidate, ...]
    along_fence: bool
    spacing_reason: str
    further_outlines: tuple[Floats, ...] = ()  # parts of a block that lie apart from the first
    light: BlockLight | None = None  # None for a single row along a fence


@dataclass(frozen=True)
class Ground:
    """Every place a tree can stand. Place arrays are (places,), ordered by block, row, place."""

    origin_latitude: float
    origin_longitude: float
    blocks: tuple[GroundBlock, ...]
    block: Integers  # index into blocks
    row: Integers  # index into that block's rows
    place: Integers  # number in the row, from 1
    x: Floats
    y: Floats
    height: Floats  # [m] above the origin
    standing_cultivar: tuple[str, ...]  # "" where the place is free
    standing_rootstock: tuple[str, ...]
    standing_year: Integers  # year planted, 0 where free
    wall_height: float  # [m] canopy height aimed at, the top wire plus a little
    obstacles: tuple[Floats, ...]
    gate: tuple[float, float] | None
    notices: tuple[Notice, ...]
    fence: tuple[Floats, ...] = ()  # [m] line of a deer fence around the blocks

    @property
    def capacity(self) -> int:
        return len(self.x)

    @property
    def ground_per_tree(self) -> float:
        """[m2] row spacing times tree spacing, mean over all places."""
        areas = [block.row_spacing * block.tree_spacing for block in self.blocks]
        return float(np.mean([areas[at] for at in self.block])) if self.capacity else 0.0

    def address(self, index: int) -> str:
        """ "South 3, tree 41"."""
        block = self.blocks[self.block[index]]
        return f"{block.name} {block.rows[self.row[index]].number}, tree {self.place[index]}"


@dataclass(frozen=True)
class Run:
    """Neighbouring trees of one cultivar in one row."""

    block: str
    row: int  # the row's number
    first: int  # place numbers, inclusive
    last: int
    cultivar: str


@dataclass(frozen=True)
class Layout:
    """Who stands where. Arrays are (places,), in the order of `Ground`."""

    cultivars: tuple[str, ...]
    cultivar: Integers  # index into cultivars, -1 = left empty
    rootstock: tuple[str, ...]  # (cultivars,) stock of the new trees
    year_planted: Integers  # 0 where empty
    standing: Booleans  # a tree that already stood
    longitude: Floats
    latitude: Floats
    along_row: Floats  # [m] running distance from the start post
    pollen: Floats  # (places,) useful pollen in the worst weather year of ten, 1 = threshold
    donors_in_reach: (
        Integers  # (places,) useful donor cultivars within 20 m that flower with it in 9 years of 10
    )
    runs: tuple[Run, ...]
    picking_walk: float  # [m] over the season
    picking_walk_random: float  # [m] the same trees in random order
    picking_walk_catalogue: float  # [m] planted in catalogue order
    bound: float | None  # lower bound on the objective where known
    objective: float
    gaps: tuple[str, ...]  # places left empty or lost, and what should stand there
    notices: tuple[Notice, ...]
    picking_walk_random_runs: float = 0.0  # [m] whole runs in random order
    pollen_threshold: float = 0.0  # useful share of all pollen about a tree that counts as enough
    pollen_good_years: float = 0.0  # least share of weather years in which a tree is above the threshold
    terms: dict[str, float] = field(default_factory=dict)  # what the planting was weighed by, 0 = best
    tried: int = 0  # plantings looked at
    exact: bool = False  # every order of runs was tried

    def trees_of(self, cultivar: str) -> int:
        return int((self.cultivar == self.cultivars.index(cultivar)).sum())
