"""Pipes that branch and never meet again: main, manifolds and every emitter line solved as one tree.

Newton's method on heads and flows together. In a tree each step is an elimination from the tips to the root and back,
so its work grows with the number of nodes; nodes of one depth are handled together.
"""

from dataclasses import dataclass

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
    order, levels, parent = _levels(tree.parent)
    length, diameter = tree.length[order], tree.diameter[order]
    height, outlets = tree.height[order], tree.outlets[order]
    grade = inlet_head + tree.height[0]
    # The hydraulic grade (pressure head plus height) is the unknown; the first guess lets nothing be lost.
    head = np.full(parent.size, grade)
    flow = _gather(outlets * emitter.flow(head - height), levels, parent)
    for step in range(1, _STEPS + 1):
        gradient, slope = law(flow, diameter)
        resist = np.maximum(slope * length, 1e-9)
        offset = gradient * length - resist * flow  # loss = offset + resist * flow
        drawn, give = emitter.flow_and_slope(head - height)
        drawn, give = outlets * drawn, outlets * give
        constant = drawn - give * head
        taking = give.copy()
        # up the tree: pipe flow = constant + taking * (grade of the node above)
        for start, stop in reversed(levels[1:]):
            part = slice(start, stop)
            divide = 1 / (1 + taking[part] * resist[part])
            above = parent[part]
            first, last = above[0], above[-1] + 1
            constant[part] = (constant[part] - taking[part] * offset[part]) * divide
            taking[part] *= divide
            constant[first:last] += np.bincount(above - first, constant[part], last - first)
            taking[first:last] += np.bincount(above - first, taking[part], last - first)
        before = head
        head = np.empty_like(before)
        head[0] = grade
        for start, stop in levels[1:]:
            part = slice(start, stop)
            above_head = head[parent[part]]
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


def _levels(parent: Indices) -> tuple[Indices, list[tuple[int, int]], Indices]:
    """Nodes sorted by depth (and by parent within a depth), the slice of each depth, and the renumbered parents."""
    count = parent.size
    if parent[0] != -1 or np.any(parent[1:] >= np.arange(1, count)) or np.any(parent[1:] < 0):
        raise ValueError("every node but the first needs a parent with a smaller number")
    depth_list = [0] * count
    for node, above in enumerate(parent.tolist()):
        if above >= 0:
            depth_list[node] = depth_list[above] + 1
    depth = np.array(depth_list, dtype=np.int64)
    order = np.argsort(depth, kind="stable").astype(np.int64)
    bounds = np.searchsorted(depth[order], np.arange(depth.max() + 2))
    place = np.empty(count, dtype=np.int64)
    for level in range(depth.max() + 1):
        part = order[bounds[level] : bounds[level + 1]]
        if level:
            part = part[np.argsort(place[parent[part]], kind="stable")]
            order[bounds[level] : bounds[level + 1]] = part
        place[part] = np.arange(bounds[level], bounds[level + 1])
    renumbered = np.where(parent[order] < 0, -1, place[np.maximum(parent[order], 0)])
    levels = [(int(bounds[level]), int(bounds[level + 1])) for level in range(depth.max() + 1)]
    return order, levels, renumbered.astype(np.int64)


def _gather(drawn: Array, levels: list[tuple[int, int]], parent: Indices) -> Array:
    """Flow in each pipe when every node draws `drawn`."""
    flow = drawn.copy()
    for start, stop in reversed(levels[1:]):
        np.add.at(flow, parent[start:stop], flow[start:stop])
    return flow
