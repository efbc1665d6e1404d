"""Sheets for the crew that stakes the ground out and plants it: corners, tapes, diagonals, trees from one end."""

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np

from topwire.layout.findings import Ground, GroundBlock, GroundRow, Layout
from topwire.layout.projection import to_degrees
from topwire.values.quantities import Degrees, Metres
from topwire.values.terms import Compass


class RowEnd(StrEnum):
    START = "start"  # where places are counted from
    END = "end"


class Purpose(StrEnum):
    """What a tape is stretched for."""

    LENGTH = "length"  # of a row, post to post
    ROWS = "rows"  # from row to row
    DIAGONAL = "diagonal"  # checks the square


@dataclass(frozen=True)
class EndPost:
    """An end post of a row."""

    row: int
    end: RowEnd


@dataclass(frozen=True)
class Stake:
    """One point to mark. `east`, `north` of the origin; `height` above the block's first corner."""

    post: EndPost
    east: Metres
    north: Metres
    height: Metres
    longitude: Degrees
    latitude: Degrees


@dataclass(frozen=True)
class Tape:
    """One distance to measure, along the ground."""

    start: EndPost
    end: EndPost
    length: Metres
    purpose: Purpose


@dataclass(frozen=True)
class StakingSheet:
    """What it takes to mark one block's rows: posts and the tapes between them."""

    block: str
    stakes: tuple[Stake, ...]
    tapes: tuple[Tape, ...]


@dataclass(frozen=True)
class PlantingLine:
    """One run on a row's sheet. Distances along the ground from the start post."""

    first: int  # place numbers, inclusive
    last: int
    cultivar: str  # "" = left empty
    rootstock: str
    start: Metres
    end: Metres
    trees: int
    standing: bool


@dataclass(frozen=True)
class PlantingSheet:
    """One row, from a stated end."""

    block: str
    row: int
    start_side: Compass
    length: Metres  # post to post
    tree_spacing: Metres
    first_tree: Metres
    lines: tuple[PlantingLine, ...]


def staking_sheets(ground: Ground, layout: Layout | None = None) -> tuple[StakingSheet, ...]:
    """A sheet for each block that has rows; where a layout is given, of its rows with trees alone.

    The base line runs along the first row; a second line at the last row is squared off it with both diagonals; every
    other row lies between, at the row spacing along the two cross lines.
    """
    found = []
    for number, block in enumerate(ground.blocks):
        rows = [row for index, row in enumerate(block.rows) if has_trees(ground, layout, number, index)]
        if rows:
            found.append(_staking_sheet(ground, block, rows))
    return tuple(found)


def has_trees(ground: Ground, layout: Layout | None, block: int, row: int) -> bool:
    """Whether a row of a block is planted at all; where there is no layout every row is."""
    return layout is None or bool((layout.cultivar[(ground.block == block) & (ground.row == row)] >= 0).any())


def planting_sheets(ground: Ground, layout: Layout) -> tuple[PlantingSheet, ...]:
    """A sheet for each row, runs in the order a crew meets them from place 1."""
    sheets = []
    for b, block in enumerate(ground.blocks):
        for r, row in enumerate(block.rows):
            # places beyond the end of a row that was closed early are no part of it
            here = np.flatnonzero((ground.block == b) & (ground.row == r) & (ground.place <= row.places))
            sheets.append(
                PlantingSheet(
                    block=block.name,
                    row=row.number,
                    start_side=row.start_side,
                    length=row.length,
                    tree_spacing=row.tree_spacing,
                    first_tree=row.first_tree,
                    lines=_lines(ground, layout, here),
                )
            )
    return tuple(sheets)


def _lines(ground: Ground, layout: Layout, here: np.ndarray) -> tuple[PlantingLine, ...]:
    kind, old = layout.cultivar[here], layout.standing[here]
    cuts = np.flatnonzero((np.diff(kind) != 0) | (np.diff(old.astype(int)) != 0)) + 1
    found = []
    for piece in np.split(here, cuts):
        first, last = int(piece[0]), int(piece[-1])
        number = int(layout.cultivar[first])
        stands = bool(layout.standing[first])
        stock = (
            ground.standing_rootstock[first] if stands else (layout.rootstock[number] if number >= 0 else "")
        )
        found.append(
            PlantingLine(
                int(ground.place[first]),
                int(ground.place[last]),
                layout.cultivars[number] if number >= 0 else "",
                stock,
                float(layout.along_row[first]),
                float(layout.along_row[last]),
                len(piece) if number >= 0 else 0,
                stands,
            )
        )
    return tuple(found)


def _staking_sheet(ground: Ground, block: GroundBlock, rows: list[GroundRow]) -> StakingSheet:
    points = [(EndPost(row.number, end), *_point(row, end)) for row in rows for end in RowEnd]
    east = np.array([point[1] for point in points])
    north = np.array([point[2] for point in points])
    longitude, latitude = to_degrees(east, north, origin=(ground.origin_longitude, ground.origin_latitude))
    stakes = tuple(
        Stake(post, x, y, height, float(lon), float(lat))
        for (post, x, y, height), lon, lat in zip(points, longitude, latitude, strict=True)
    )
    tapes = [
        Tape(EndPost(row.number, RowEnd.START), EndPost(row.number, RowEnd.END), row.length, Purpose.LENGTH)
        for row in rows
    ]
    for before, after in pairwise(rows):
        tapes += [_tape(before, end, after, end, Purpose.ROWS) for end in RowEnd]
    first, last = rows[0], rows[-1]
    if first is not last:
        tapes.append(_tape(first, RowEnd.START, last, RowEnd.END, Purpose.DIAGONAL))
        tapes.append(_tape(first, RowEnd.END, last, RowEnd.START, Purpose.DIAGONAL))
    return StakingSheet(block.name, stakes, tuple(tapes))


def _tape(a: GroundRow, a_end: RowEnd, b: GroundRow, b_end: RowEnd, purpose: Purpose) -> Tape:
    length = float(np.linalg.norm(np.subtract(_point(a, a_end), _point(b, b_end))))
    return Tape(EndPost(a.number, a_end), EndPost(b.number, b_end), length, purpose)


def _point(row: GroundRow, end: RowEnd) -> tuple[float, float, float]:
    if end is RowEnd.START:
        return (*row.start, row.start_height)
    return (*row.end, row.end_height)
