"""Lines of equal height over the ground, where height points were given."""

from dataclasses import dataclass

import numpy as np
from shapely import Point as Spot
from shapely import Polygon, prepare, union_all

from topwire.layout.findings import Ground
from topwire.layout.surface import Surface
from topwire.values.arrays import Booleans, Floats
from topwire.values.units import UnitSystem

Point = tuple[float, float]

CELLS = 60  # across the ground
MOST = 10  # lines
FOOT = 0.3048
STEPS = (0.1, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 25.0, 50.0)  # between lines, in the reader's metres or feet


@dataclass(frozen=True)
class LevelLine:
    """`height` [m], told with `digits`; `pieces` short straight ones, each from point to point [m]."""

    height: float
    digits: int
    pieces: tuple[tuple[Point, Point], ...]


def level_lines(ground: Ground, system: UnitSystem) -> tuple[LevelLine, ...]:
    """In whole steps of the reader's unit, within the blocks."""
    if not ground.has_surface:
        return ()
    outlines = [
        ring for block in ground.blocks for ring in (block.outline, *block.further_outlines) if len(ring)
    ]
    drawn = union_all([Polygon(ring) for ring in outlines])
    prepare(drawn)
    west, south, east, north = drawn.bounds
    cell = max(east - west, north - south) / CELLS
    x, y = np.meshgrid(np.arange(west, east + cell, cell), np.arange(south, north + cell, cell))
    height = Surface(ground.height_points).height(x, y)
    unit = FOOT if system is UnitSystem.US else 1.0
    span = float(np.ptp(height)) / unit
    step = next((step for step in STEPS if span / step <= MOST), STEPS[-1])
    found = []
    for level in (
        np.arange(np.ceil(height.min() / unit / step), np.floor(height.max() / unit / step) + 1) * step
    ):
        pieces = [
            piece for piece in _crossings(x, y, height - level * unit) if drawn.contains(_middle(piece))
        ]
        if pieces:
            found.append(LevelLine(float(level * unit), 0 if step >= 1 else 2, tuple(pieces)))
    return tuple(found)


def _middle(piece: tuple[Point, Point]) -> Spot:
    (ax, ay), (bx, by) = piece
    return Spot((ax + bx) / 2, (ay + by) / 2)


def _crossings(x: Floats, y: Floats, above: Floats) -> list[tuple[Point, Point]]:
    """Where a grid's heights cross zero: each cell cut into two triangles, each of which a line enters and leaves."""
    found = []
    for i, j in np.argwhere(_mixed(above > 0)):
        for corners in (((i, j), (i + 1, j), (i + 1, j + 1)), ((i, j), (i, j + 1), (i + 1, j + 1))):
            cuts: list[Point] = []
            for a, b in ((0, 1), (1, 2), (2, 0)):
                one, other = corners[a], corners[b]
                if (above[one] > 0) != (above[other] > 0):
                    share = above[one] / (above[one] - above[other])
                    cuts.append(
                        (
                            float(x[one] + share * (x[other] - x[one])),
                            float(y[one] + share * (y[other] - y[one])),
                        )
                    )
            if len(cuts) == 2:
                found.append((cuts[0], cuts[1]))
    return found


def _mixed(up: Booleans) -> Booleans:
    """Cells of a grid whose corners are not all alike."""
    corners = np.stack([up[:-1, :-1], up[1:, :-1], up[:-1, 1:], up[1:, 1:]])
    return np.asarray(corners.any(axis=0) & ~corners.all(axis=0))
