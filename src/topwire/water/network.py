"""Pipes that branch and never meet again: main, manifolds and every emitter line solved as one tree.

Newton's method on heads and flows together. In a tree each step is an elimination from the tips to the root and back,
so its work grows with the number of nodes; nodes of one depth are handled together.
"""

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from topwire.water.emitter import Emitter
from topwire.water.friction import Law, blasius

Array = npt.NDArray[np.float64]
Indices = npt.NDArray[np.int64]

_CLOSE = 1e-7  # [m] greatest change of a head in the last step
_STEPS = 60


class NotSolved(Exception):
    """The heads of a network did not settle; its inputs are outside what pipes can do."""


@dataclass(frozen=True)
class Tree:
    """A branching network. Arrays are (nodes,); node 0 is fed and has no pipe above it.

    Attributes
    ----------
    parent : node the pipe above comes from; -1 for node 0; always a smaller number than the node's own
    length : [m] of the pipe above, with the length its fittings stand for
    diameter : [m] inside, of the pipe above
    height : [m] of the node
    outlets : emitters at the node; 0 where it only passes water on
    """

    parent: Indices
    length: Array
    diameter: Array
    height: Array
    outlets: Array

    @cached_property
    def order(self) -> "NodeOrder":
        """How its nodes are gone through: the same at whatever head it is solved."""
        return _order(self.parent)


@dataclass(frozen=True)
class DepthLevel:
    """Nodes of one depth, `part` of the nodes in order.

    Attributes
    ----------
    above : the nodes above, for each of them
    alone : whether each is the only one below its own: what comes of it need not be summed
    """

    part: slice
    above: slice | Indices
    alone: bool


@dataclass(frozen=True)
class NodeOrder:
    """Nodes sorted by depth, and by parent within a depth.

    Attributes
    ----------
    nodes : numbers of the nodes in order
    levels : from the second depth on
    """

    nodes: Indices
    levels: tuple[DepthLevel, ...]


@dataclass(frozen=True)
class Solution:
    """A solved network."""

    head: Array  # (nodes,) [m] pressure head
    flow: Array  # (nodes,) [m3/s] in the pipe above the node
    outlet: Array  # (nodes,) [m3/s] leaving at the node
    steps: int

    @property
    def total(self) -> float:
        return float(self.outlet.sum())


def solve(tree: Tree, emitter: Emitter, inlet_head: float, *, law: Law = blasius) -> Solution:
    """Heads and flows with node 0 held at `inlet_head` [m] of pressure.

    Raises
    ------
    ValueError
        Where a parent does not come before its child.
    NotSolved
        Where the heads do not settle.
    """
    order, levels = tree.order.nodes, tree.order.levels
    length, diameter = tree.length[order], tree.diameter[order]
    height, outlets = tree.height[order], tree.outlets[order]
    grade = inlet_head + tree.height[0]
    # The hydraulic grade (pressure head plus height) is the unknown; the first guess lets nothing be lost.
    head = np.full(order.size, grade)
    flow = _gather(outlets * emitter.flow(head - height), levels)
    for step in range(1, _STEPS + 1):
        gradient, slope = law(flow, diameter)
        resist = np.maximum(slope * length, 1e-9)
        offset = gradient * length - resist * flow  # loss = offset + resist * flow
        drawn, give = emitter.flow_and_slope(head - height)
        drawn, give = outlets * drawn, outlets * give
        # up the tree: pipe flow = constant + taking * (grade of the node above)
        both = np.stack([drawn - give * head, give])
        constant, taking = both
        for level in reversed(levels):
            part = level.part
            here = both[:, part]
            taken = here[1]
            divide = 1 / (1 + taken * resist[part])
            here[0] -= taken * offset[part]
            here *= divide
            _add(both, level)
        before = head
        head = np.empty_like(before)
        head[0] = grade
        for level in levels:
            part, above_head = level.part, head[level.above]
            flow[part] = constant[part] + taking[part] * above_head
            head[part] = above_head - offset[part] - resist[part] * flow[part]
        if np.abs(head - before).max() < _CLOSE and step > 1:
            break
    else:
        raise NotSolved(f"heads did not settle in {_STEPS} steps")
    drawn = outlets * emitter.flow(head - height)
    back = np.empty_like(order)
    back[order] = np.arange(order.size)
    flow[0] = drawn.sum()
    return Solution((head - height)[back], flow[back], drawn[back], step)


def _order(parent: Indices) -> NodeOrder:
    count = parent.size
    if parent[0] != -1 or np.any(parent[1:] >= np.arange(1, count)) or np.any(parent[1:] < 0):
        raise ValueError("every node but the first needs a parent with a smaller number")
    depth_list = [0] * count
    for node, above in enumerate(parent.tolist()):
        if above >= 0:
            depth_list[node] = depth_list[above] + 1
    depth = np.array(depth_list, dtype=np.int64)
    order = np.argsort(depth, kind="stable").astype(np.int64)
    bounds = np.searchsorted(depth[order], np.arange(depth.max() + 2)).tolist()
    place = np.empty(count, dtype=np.int64)
    levels = []
    for start, stop in pairwise(bounds):
        part = order[start:stop]
        if start:
            part = part[np.argsort(place[parent[part]], kind="stable")]
            order[start:stop] = part
            levels.append(_level(start, stop, place[parent[part]]))
        place[part] = np.arange(start, stop)
    return NodeOrder(order, tuple(levels))


def _level(start: int, stop: int, above: Indices) -> DepthLevel:
    alone = bool((np.diff(above) > 0).all())
    first, last = int(above[0]), int(above[-1])
    side_by_side = alone and last - first == stop - start - 1
    return DepthLevel(slice(start, stop), slice(first, last + 1) if side_by_side else above, alone)


def _add(both: Array, level: DepthLevel) -> None:
    """What the nodes of a level bring to those above them, (2, nodes)."""
    above, values = level.above, both[:, level.part]
    if level.alone or isinstance(above, slice):
        both[:, above] += values
    else:
        first, last = above[0], above[-1] + 1
        for total, more in zip(both[:, first:last], values, strict=True):
            total += np.bincount(above - first, more, last - first)


def _gather(drawn: Array, levels: tuple[DepthLevel, ...]) -> Array:
    """Flow in each pipe when every node draws `drawn`."""
    flow = drawn.copy()
    for level in reversed(levels):
        if level.alone:
            flow[level.above] += flow[level.part]
        else:
            np.add.at(flow, np.asarray(level.above), flow[level.part])
    return flow
