"""From the question to what the search works on: the free places, the cultivars, the prices."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.choice.neighbours import Outside
from topwire.choice.pollination import bloom_overlap
from topwire.layout import pollen as pollination
from topwire.layout.asked import LastLayout, LayoutQuestion
from topwire.layout.findings import Ground
from topwire.layout.measure import rows_of
from topwire.layout.path import Path, off_grid
from topwire.layout.stand import EMPTY, FreePlaces, Kinds, Prices

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]

COLD_AIR = 0.1  # [K/m] a frost night is milder a metre higher up a slope: common practice, no source
POOL = 5.0  # metres of slope that a metre deep in a hollow without outlet counts as: a modelling choice, no source
WEEKS = 52


@dataclass(frozen=True)
class Cast:
    """The cultivars of the layout in figures: `standing` (places,) who stands already, -1 = free; `match` (years,
    donors, parents) overlap times compatible fraction; `ripe` (cultivars, weeks)."""

    names: tuple[str, ...]
    standing: Index
    match: Array
    ripe: npt.NDArray[np.bool_]
    outside: Outside | None = None

    @property
    def steady(self) -> Array:
        """(donors, parents) match that holds in nine years of ten."""
        years = self.match.shape[0]
        return pollination.dependable(self.match.reshape(years, -1)).reshape(self.match.shape[1:])


def cast_of(asked: LayoutQuestion) -> Cast:
    names = tuple(cultivar.name for cultivar in asked.cultivars)
    number = {name: index for index, name in enumerate(names)}
    ripe = np.zeros((len(names), WEEKS), dtype=bool)
    for kind, cultivar in enumerate(asked.cultivars):
        if cultivar.weeks is not None:
            first, last = cultivar.weeks
            weeks = range(first, last + 1) if first <= last else [*range(first, 53), *range(1, last + 1)]
            ripe[kind, [week - 1 for week in weeks if 1 <= week <= WEEKS]] = True
    overlap = bloom_overlap(asked.first_bloom, asked.petal_fall)
    return Cast(
        names,
        np.array([number.get(name, EMPTY) for name in asked.ground.standing_cultivar], dtype=np.int64),
        pollination.useful_matrix(overlap, asked.compatible),
        ripe,
        asked.outside,
    )


def stand_of(asked: LayoutQuestion, cast: Cast, placed: Index, path: Path) -> FreePlaces:
    """The free places of a ground on which `placed` (places,) stands already."""
    ground = asked.ground
    here, there = path.place, np.flatnonzero(placed != EMPTY)
    rows = rows_of(ground)
    line = path.line.copy()
    block_of_line: list[int] = []
    for number in range(len(ground.blocks)):
        own = ground.block == number
        line[own] += len(block_of_line)
        block_of_line += [number] * (int(path.line[own].max(initial=-1)) + 1)
    return FreePlaces(
        row=path.row_of[here],
        line=line[here],
        step=path.step[here],
        along=path.along[here],
        height=_cold_height(ground)[here],
        one_level=ground.has_surface,
        off_grid=off_grid(ground, path.step),
        between=np.array([row.tree_spacing for block in ground.blocks for row in block.rows]),
        to_gate=np.hypot(ground.x[here] - rows.gate[0], ground.y[here] - rows.gate[1]),
        last=path.last,
        before=before_of(ground, asked.before, cast)[here],
        rows=rows,
        block_of_line=np.array(block_of_line, dtype=np.int64),
        row_spacing=np.array([block.row_spacing for block in ground.blocks]),
        tree_spacing=np.array([block.closest for block in ground.blocks]),
        standing_kind=placed[there],
        standing_line=line[there],
        standing_step=path.step[there],
        standing_row=path.row_of[there],
        standing_along=path.along[there],
    )


def _cold_height(ground: Ground) -> Array:
    """(places,) [m] height as cold air has it: lower in a hollow it does not leave."""
    return ground.height - POOL * ground.pool_depth if ground.has_surface else ground.height


def before_of(ground: Ground, last: LastLayout | None, cast: Cast) -> Index:
    """(places,) who stood there in the last layout; EMPTY where nobody, or one that is planted no more."""
    found = np.full(ground.capacity, EMPTY, dtype=np.int64)
    if last is None:
        return found
    number = {name: index for index, name in enumerate(cast.names)}
    then = {
        (block, int(row), int(place)): number.get(name, EMPTY)
        for block, row, place, name in zip(last.block, last.row, last.place, last.cultivar, strict=True)
    }
    for index in range(ground.capacity):
        address = ground.address(index)
        found[index] = then.get((address.block, address.row, address.place), EMPTY)
    return found


def kinds_of(asked: LayoutQuestion, cast: Cast, new: Index) -> Kinds:
    """The cultivars as the search weighs them; `new` (cultivars,) trees to plant."""
    rows = asked.cultivars
    return Kinds(
        trees=new,
        match=cast.steady,
        ripe=cast.ripe,
        care=np.array([row.care for row in rows]),
        frost=np.array([row.frost_worth for row in rows]) * COLD_AIR * asked.tree_worth,
        favourite=np.array([row.favourite for row in rows]),
        story=np.array([np.nan if row.story is None else float(row.story) for row in rows]),
        shortest=np.full(len(rows), asked.shortest_run),
        wanted=np.array([row.wanted_spacing for row in rows]),
    )


def prices_of(asked: LayoutQuestion) -> Prices:
    return Prices(crew=asked.crew, tree=asked.tree_worth)
