"""Ways for pipes: the shortest net that joins points on the ground, around ponds, rocks and buildings."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import shapely
from scipy.sparse.csgraph import dijkstra
from shapely.geometry.base import BaseGeometry

from topwire.values.quantities import Metres
from topwire.water.sizing import shortest_net, spanning_tree

Array = npt.NDArray[np.float64]
Place = tuple[Metres, Metres, Metres]  # east, north, height of the ground

BESIDE = 1.0  # [m] that a pipe keeps from an obstacle it goes around; common practice, no source
CROSSING = 60.0  # [m] of pipe more that are laid around an obstacle before one crosses it; a modelling choice
_COARSE = 0.3  # [m] by which the line around an obstacle is straightened


@dataclass(frozen=True)
class Obstacles:
    """What a pipe goes around.

    Attributes
    ----------
    rings : corners of each, with the height of the ground by it
    """

    rings: tuple[tuple[Place, ...], ...] = ()

    @cached_property
    def shapes(self) -> tuple[BaseGeometry, ...]:
        return tuple(shapely.Polygon([place[:2] for place in ring]).buffer(-1e-3) for ring in self.rings)

    @cached_property
    def whole(self) -> BaseGeometry:
        return shapely.union_all(list(self.shapes))

    @cached_property
    def corners(self) -> tuple[Place, ...]:
        """Where a pipe may turn on its way around."""
        ground = np.array([place for ring in self.rings for place in ring])
        kept = [
            shapely.Polygon([place[:2] for place in ring]).buffer(BESIDE).simplify(_COARSE)
            for ring in self.rings
        ]
        spots = shapely.get_coordinates([shape for shape in kept if not shape.is_empty])
        near = [int(np.hypot(*(ground[:, :2] - spot).T).argmin()) for spot in spots]
        return tuple(
            (float(spot[0]), float(spot[1]), float(ground[at, 2]))
            for spot, at in zip(spots, near, strict=True)
        )

    def beside(self, spot: tuple[float, float]) -> tuple[float, float]:
        """The place itself, or the nearest beside the obstacle it lies in: the bank of a pond, the wall of a house."""
        point = shapely.Point(spot)
        if not self.rings or not self.whole.contains(point):
            return spot
        bank = self.whole.buffer(BESIDE).boundary
        nearest = bank.interpolate(bank.project(point))
        return (float(nearest.x), float(nearest.y))

    def met(self, one: Array, other: Array) -> npt.NDArray[np.bool_]:
        """(pairs,) whether the straight line between two points (pairs, 2) meets an obstacle."""
        lines = shapely.linestrings(np.stack([one, other], axis=1))
        shapely.prepare(self.whole)
        return np.asarray(shapely.intersects(self.whole, lines))

    def crossed(self, way: Sequence[Place]) -> tuple[int, ...]:
        """Numbers, from 1, of the obstacles that a way crosses."""
        line = shapely.LineString([place[:2] for place in way])
        return tuple(number for number, shape in enumerate(self.shapes, start=1) if shape.intersects(line))


NOTHING = Obstacles()


@dataclass(frozen=True)
class PipeNet:
    """Points joined by ways that branch and never meet again.

    Attributes
    ----------
    above : point from which each is reached; -1 for the one where the net begins
    ways : of each, all places from the point above to it; empty where the net begins
    """

    above: tuple[int, ...]
    ways: tuple[tuple[Place, ...], ...]

    @property
    def lengths(self) -> Array:
        """(points,) of the way to each, along the ground. [m]"""
        return np.array([_length(way) for way in self.ways])

    @property
    def on_map(self) -> Array:
        """(points,) of the way to each. [m]"""
        return np.array([_length([(x, y, 0.0) for x, y, _ in way]) for way in self.ways])

    @property
    def order(self) -> list[int]:
        """Points, each after the one above it."""
        return downward(self.above)

    @property
    def tips(self) -> list[int]:
        """Points from which nothing goes on."""
        return [
            point for point in range(len(self.above)) if point not in self.above and self.above[point] >= 0
        ]

    def beyond(self, drawn: Array) -> Array:
        """(points,) what passes the way to each, where every point draws `drawn`."""
        total = np.array(drawn, dtype=float)
        for point in reversed(self.order):
            if self.above[point] >= 0:
                total[self.above[point]] += total[point]
        return total

    def passed(self, point: int) -> list[int]:
        """Points whose ways are gone on the way to `point`, itself first."""
        found = []
        while self.above[point] >= 0:
            found.append(point)
            point = self.above[point]
        return found

    def from_middle(self) -> "PipeNet":
        """The same net begun at the point that leaves the least beyond its largest branch, the last of equals."""
        count = len(self.above)
        below = self.beyond(np.ones(count))
        largest = [
            max([count - below[point], *(below[one] for one in range(count) if self.above[one] == point)])
            for point in range(count)
        ]
        return self._begun_at(max(range(count), key=lambda point: (-largest[point], point)))

    def _begun_at(self, begin: int) -> "PipeNet":
        above, ways = list(self.above), list(self.ways)
        line = [*self.passed(begin), self.order[0]]
        for one, other in pairwise(line):
            above[other], ways[other] = one, self.ways[one][::-1]
        above[begin], ways[begin] = -1, ()
        return PipeNet(tuple(above), tuple(ways))


def downward(above: Sequence[int]) -> list[int]:
    """Points of a net, each after the one above it: one branch to its end, then the next."""
    below: dict[int, list[int]] = {}
    for point, over in enumerate(above):
        below.setdefault(over, []).append(point)
    found: list[int] = []
    waiting = below.get(-1, [])[:1]
    while waiting:
        found.append(waiting.pop())
        waiting += reversed(below.get(found[-1], []))
    return found


def shortest(points: Sequence[Place], around: Obstacles = NOTHING) -> PipeNet:
    """The shortest net that joins all points, begun at the first; around obstacles where that is within reach.

    An obstacle is crossed where the way around it is longer by more than `CROSSING`.
    """
    spots = np.array([point[:2] for point in points])
    above = spanning_tree(spots[:, 0], spots[:, 1])
    if around.rings and len(points) > 1 and around.met(spots[above[1:]], spots[1:]).any():
        return _around(points, around)
    return PipeNet(
        tuple(above.tolist()),
        ((), *((points[over], points[at]) for at, over in enumerate(above.tolist()) if over >= 0)),
    )


def _around(points: Sequence[Place], around: Obstacles) -> PipeNet:
    every = [*points, *around.corners]
    spots, count = np.array([place[:2] for place in every]), len(points)
    one, other = np.triu_indices(len(every), 1)
    straight = np.hypot(*(spots[one] - spots[other]).T)
    open_ = ~around.met(spots[one], spots[other])
    graph = np.zeros((len(every), len(every)))
    graph[one[open_], other[open_]] = np.maximum(straight[open_], 1e-6)
    away, back = dijkstra(graph, directed=False, indices=np.arange(count), return_predecessors=True)
    direct = np.hypot(*(spots[:count, None] - spots[None, :count]).transpose(2, 0, 1)) + CROSSING
    above = shortest_net(lambda point: np.minimum(away[point, :count], direct[point]), count)
    ways: list[tuple[Place, ...]] = [()]
    for at, over in enumerate(above.tolist()):
        if over < 0:
            continue
        way = [at]
        while away[over, at] <= direct[over, at] and way[-1] != over:
            way.append(int(back[over, way[-1]]))
        ways.append(tuple(every[place] for place in (way[::-1] if way[-1] == over else (over, at))))
    return PipeNet(tuple(above.tolist()), tuple(ways))


def _length(way: Sequence[Place]) -> float:
    return float(sum(np.linalg.norm(np.subtract(other, one)) for one, other in pairwise(way)))
