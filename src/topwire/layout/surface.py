"""Ground that is no plane: its height between a few measured points, how it falls, and where cold air has no way out.

The surface is the smooth one that bends least through all points (thin plate: DUCHON1977); three points, or points of
one plane, give that plane. Beyond the points it goes on nearly straight.
"""

import heapq
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from shapely import contains_xy
from shapely.geometry.base import BaseGeometry

Array = npt.NDArray[np.float64]

STEP = 1.0  # [m] at which a row's profile is looked at
ACROSS = 24  # looks across a block, for its mean slope
CELLS = 120  # of the longer side of the ground, for hollows


@dataclass(frozen=True)
class Surface:
    """`points` (n, 3): east, north [m], height [m] above the level that the ground's heights count from."""

    points: Array

    def height(self, x: Array, y: Array) -> Array:
        """Height [m] at points of any shape."""
        from scipy.interpolate import RBFInterpolator

        at = np.stack([np.ravel(x), np.ravel(y)], axis=1).astype(float)
        middle = self.points[:, :2].mean(axis=0)
        bent = RBFInterpolator(
            self.points[:, :2] - middle, self.points[:, 2], kernel="thin_plate_spline", degree=1
        )
        return np.asarray(bent(at - middle)).reshape(np.shape(x))

    def above(self, corner: tuple[float, float]) -> "Surface":
        """The same with heights counted from `corner`."""
        zero = float(self.height(np.array([corner[0]]), np.array([corner[1]]))[0])
        return Surface(self.points - np.array([0.0, 0.0, zero]))


@dataclass(frozen=True)
class Lie:
    """How a piece of ground lies. `slope` rise over run of its mean plane, which falls towards `bearing` [deg];
    `off` [m] the ground is from that plane at most."""

    slope: float
    bearing: float
    off: float


def lie_of(surface: Surface, ground: BaseGeometry) -> Lie:
    """The mean plane of a block's ground."""
    west, south, east, north = ground.bounds
    x, y = np.meshgrid(np.linspace(west, east, ACROSS), np.linspace(south, north, ACROSS))
    inside = contains_xy(ground, x, y)
    corners = np.asarray(ground.envelope.exterior.coords)[:-1]
    at = np.concatenate([np.stack([x[inside], y[inside]], axis=1), *([] if inside.sum() > 3 else [corners])])
    height = surface.height(at[:, 0], at[:, 1])
    terms = np.column_stack([at - at.mean(axis=0), np.ones(len(at))])
    found, *_ = np.linalg.lstsq(terms, height, rcond=None)
    slope = float(np.hypot(found[0], found[1]))
    bearing = float(np.degrees(np.arctan2(-found[0], -found[1])) % 360.0) if slope > 1e-9 else 180.0
    return Lie(slope, bearing, float(np.abs(height - terms @ found).max()))


@dataclass(frozen=True)
class Profile:
    """A straight line over the ground. `map` [m] from its start on the map, `ground` [m] along the ground, `height`."""

    map: Array
    ground: Array
    height: Array

    def on_map(self, along: float) -> float:
        """[m] on the map of a length along the ground; the line's end where it is longer."""
        return float(np.interp(along, self.ground, self.map))

    @property
    def sag(self) -> float:
        """[m] the ground lies below the straight line between its ends, at its deepest."""
        chord = np.interp(self.map, self.map[[0, -1]], self.height[[0, -1]])
        return float((chord - self.height).max())


def profile(surface: Surface, start: tuple[float, float], end: tuple[float, float]) -> Profile:
    """The ground from `start` to `end` [m]."""
    a, b = np.asarray(start, float), np.asarray(end, float)
    long = float(np.linalg.norm(b - a))
    share = np.linspace(0.0, 1.0, max(int(np.ceil(long / STEP)), 2) + 1)
    points = a + share[:, None] * (b - a)
    height = surface.height(points[:, 0], points[:, 1])
    steps = np.hypot(np.diff(share) * long, np.diff(height))
    return Profile(share * long, np.concatenate(([0.0], np.cumsum(steps))), height)


def least_climb(surface: Surface, ground: BaseGeometry, bearing: float) -> float:
    """The gentlest rise over run along `bearing` [deg] anywhere in a block, without sign."""
    west, south, east, north = ground.bounds
    x, y = np.meshgrid(np.linspace(west, east, ACROSS), np.linspace(south, north, ACROSS))
    turn = np.radians(bearing)
    ahead = surface.height(x + np.sin(turn) * STEP / 2, y + np.cos(turn) * STEP / 2)
    behind = surface.height(x - np.sin(turn) * STEP / 2, y - np.cos(turn) * STEP / 2)
    climb = np.abs(ahead - behind) / STEP
    return float(climb.min())


def pool_depth(surface: Surface, ground: BaseGeometry, x: Array, y: Array) -> Array:
    """[m] below the lowest way out for cold air, at points (n,); 0 where it runs off.

    The ground is looked at as far as the box around it; at its edge air is free to leave. Every cell is filled to the
    lowest rim on any way to the edge (priority flood: BARNES2014).
    """
    west, south, east, north = ground.bounds
    cell = max(east - west, north - south) / CELLS
    if cell <= 0:
        return np.zeros(x.shape)
    across, up = int((east - west) / cell) + 3, int((north - south) / cell) + 3
    gx, gy = np.meshgrid(west - cell + cell * np.arange(across), south - cell + cell * np.arange(up))
    height = surface.height(gx, gy)
    filled = _filled(height)
    column = np.clip(np.rint((x - west) / cell + 1).astype(int), 0, across - 1)
    line = np.clip(np.rint((y - south) / cell + 1).astype(int), 0, up - 1)
    return np.asarray(np.maximum(filled[line, column] - height[line, column], 0.0))


def _filled(height: Array) -> Array:
    """Height of the ground with every hollow filled to its rim."""
    lines, columns = height.shape
    filled = np.full(height.shape, np.inf)
    heap: list[tuple[float, int, int]] = []
    for line in range(lines):
        for column in range(columns):
            if line in (0, lines - 1) or column in (0, columns - 1):
                filled[line, column] = height[line, column]
                heap.append((float(height[line, column]), line, column))
    heapq.heapify(heap)
    while heap:
        level, line, column = heapq.heappop(heap)
        for down, aside in ((-1, 0), (1, 0), (0, -1), (0, 1)):
            i, j = line + down, column + aside
            if 0 <= i < lines and 0 <= j < columns and np.isinf(filled[i, j]):
                filled[i, j] = max(level, float(height[i, j]))
                heapq.heappush(heap, (float(filled[i, j]), i, j))
    return filled
