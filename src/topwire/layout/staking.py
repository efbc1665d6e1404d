"""Sheets for the crew that stakes the ground out and plants it: corners, tapes, diagonals, trees from one end."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from topwire.layout.projection import to_degrees
from topwire.layout.result import Ground, GroundBlock, GroundRow, Layout


@dataclass(frozen=True)
class Stake:
    """One point to mark. `east`, `north` [m] of the origin; `height` [m] above the block's first corner."""

    name: str
    east: float
    north: float
    height: float
    longitude: float
    latitude: float


@dataclass(frozen=True)
class Tape:
    """One distance to measure, along the ground. [m]"""

    start: str
    end: str
    length: float
    purpose: str


@dataclass(frozen=True)
class StakingSheet:
    """What it takes to mark one block's rows: points, tapes between them, and how the square is checked."""

    block: str
    stakes: tuple[Stake, ...]
    tapes: tuple[Tape, ...]
    square: str  # in words


@dataclass(frozen=True)
class PlantingLine:
    """One run on a row's sheet. Distances along the ground from the start post. [m]"""

    first: int  # place numbers, inclusive
    last: int
    cultivar: str  # "" = left empty
    rootstock: str
    start: float
    end: float
    trees: int
    standing: bool


@dataclass(frozen=True)
class PlantingSheet:
    """One row, from a stated end."""

    block: str
    row: int
    start_end: str
    length: float  # [m] post to post
    tree_spacing: float  # [m]
    first_tree: float  # [m]
    lines: tuple[PlantingLine, ...]


def staking_sheets(ground: Ground) -> tuple[StakingSheet, ...]:
    """A sheet for each block that has rows.

    The base line runs along the first row; a second line at the last row is squared off it with both diagonals; every
    other row lies between, at the row spacing along the two cross lines.
    """
    return tuple(_staking_sheet(ground, block) for block in ground.blocks if block.rows)


def planting_sheets(ground: Ground, layout: Layout) -> tuple[PlantingSheet, ...]:
    """A sheet for each row, runs in the order a crew meets them from place 1."""
    sheets = []
    for b, block in enumerate(ground.blocks):
        for r, row in enumerate(block.rows):
            here = np.flatnonzero((ground.block == b) & (ground.row == r))
            sheets.append(
                PlantingSheet(
                    block=block.name,
                    row=row.number,
                    start_end=row.start_end,
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


def _staking_sheet(ground: Ground, block: GroundBlock) -> StakingSheet:
    points: list[tuple[str, tuple[float, float], float]] = []
    for row in block.rows:
        points.append((f"row {row.number} start", row.start, row.start_height))
        points.append((f"row {row.number} end", row.end, row.end_height))
    east = np.array([point[1][0] for point in points])
    north = np.array([point[1][1] for point in points])
    longitude, latitude = to_degrees(east, north, origin=(ground.origin_longitude, ground.origin_latitude))
    stakes = tuple(
        Stake(name, float(x), float(y), height, float(lon), float(lat))
        for (name, (x, y), height), lon, lat in zip(points, longitude, latitude, strict=True)
    )
    tapes = [
        Tape(
            f"row {row.number} start", f"row {row.number} end", row.length, "length of the row, post to post"
        )
        for row in block.rows
    ]
    for before, after in zip(block.rows, block.rows[1:], strict=False):
        tapes.append(_tape(before, "start", after, "start", "from row to row"))
        tapes.append(_tape(before, "end", after, "end", "from row to row"))
    first, last = block.rows[0], block.rows[-1]
    says = "A single row: stretch the line from post to post."
    if first is not last:
        near, far = (
            _tape(first, "start", last, "end", "diagonal"),
            _tape(first, "end", last, "start", "diagonal"),
        )
        tapes += [near, far]
        says = (
            "Both diagonals are given; when they measure as here the rows are parallel and the corners right. "
            "For a right angle without instruments tie a 3-4-5 triangle."
        )
    return StakingSheet(block.name, stakes, tuple(tapes), says)


def _tape(a: GroundRow, a_end: str, b: GroundRow, b_end: str, purpose: str) -> Tape:
    def point(row: GroundRow, end: str) -> Sequence[float]:
        if end == "start":
            return (*row.start, row.start_height)
        return (*row.end, row.end_height)

    length = float(np.linalg.norm(np.subtract(point(a, a_end), point(b, b_end))))
    return Tape(f"row {a.number} {a_end}", f"row {b.number} {b_end}", length, purpose)
