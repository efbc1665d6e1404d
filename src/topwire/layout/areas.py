"""The three grounds a figure by area may rest on, worked out in one place."""

from dataclasses import dataclass

import numpy as np

from topwire.layout.findings import Ground, Layout
from topwire.values.arrays import Floats
from topwire.values.quantities import Metres, SquareMetres


@dataclass(frozen=True)
class Areas:
    """Ground of one orchard under its three names.

    Attributes
    ----------
    blocks : outlines of the blocks with their headlands
    tree_ground : row spacing times tree spacing of the new trees: what yields are told on
    fenced : inside the deer fence; None where there is none
    fence : length of the fence
    """

    blocks: SquareMetres
    tree_ground: SquareMetres
    fenced: SquareMetres | None
    fence: Metres


def areas_of(ground: Ground, layout: Layout) -> Areas:
    new = (layout.cultivar >= 0) & ~layout.standing
    return Areas(
        blocks=float(sum(block.area for block in ground.blocks)),
        tree_ground=float(ground.place_area[new].sum()),
        fenced=sum(_enclosed(ring) for ring in ground.fence) if ground.fence else None,
        fence=float(sum(_around(ring) for ring in ground.fence)),
    )


def _enclosed(ring: Floats) -> float:
    """Area of a ring of corners, by the shoelace formula. [m2]"""
    x, y = ring.T
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2)


def _around(ring: Floats) -> float:
    """Length of a closed ring of corners. [m]"""
    return float(np.hypot(*np.diff(np.vstack([ring, ring[:1]]), axis=0).T).sum())
