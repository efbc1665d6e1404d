"""Trees that stand, held against where the plan now puts their places."""

from collections.abc import Mapping, Sequence

import numpy as np

from topwire.layout.asked import TreeStanding
from topwire.layout.findings import Ground
from topwire.layout.projection import to_metres
from topwire.values.address import TreeAddress
from topwire.values.notice import Measured, Notice, refusal
from topwire.values.terms import compass
from topwire.values.units import Kind

ASIDE = 0.5  # row spacings that a block's trees may lie off in the middle before the plan is taken to contradict them
FEWEST = 3  # surveyed trees of a block that are worth a judgement


def displaced_blocks(
    ground: Ground, standing: Sequence[TreeStanding], at: Mapping[TreeAddress, int]
) -> list[Notice]:
    """A refusal for every block whose surveyed trees stand elsewhere than at the places of their addresses.

    A receiver's scatter falls out of the middle over a block's trees; a changed gate, headland, bearing or spacing does
    not.
    """
    found = []
    for block in ground.blocks:
        trees = [
            (tree, at[tree.address])
            for tree in standing
            if tree.address.block == block.name
            and tree.longitude is not None
            and tree.latitude is not None
            and tree.address in at
        ]
        if len(trees) < FEWEST:
            continue
        east, north = to_metres(
            np.array([tree.longitude for tree, _ in trees], dtype=float),
            np.array([tree.latitude for tree, _ in trees], dtype=float),
            origin=(ground.origin_longitude, ground.origin_latitude),
        )
        index = np.array([place for _, place in trees])
        off = np.stack([ground.x[index] - east, ground.y[index] - north], axis=1)
        middle = float(np.median(np.hypot(off[:, 0], off[:, 1])))
        if middle > ASIDE * block.row_spacing:
            towards = np.median(off, axis=0)
            found.append(
                refusal(
                    "ground.trees_displaced",
                    setting="ground.blocks",
                    concerns=[block.name],
                    trees=len(trees),
                    first=str(trees[0][0].address),
                    away=Measured(middle, Kind.LENGTH, 1),
                    towards=str(compass(float(np.degrees(np.arctan2(towards[0], towards[1]))))),
                )
            )
    return found
