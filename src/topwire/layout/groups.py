"""Rows with a distance of their own for scions much stronger or weaker than the block's: where that pays, and how much.

A stronger scion in a close row is cut back every year, a weaker one leaves ground that no leaf fills; both are counted
as `row_costs.room_cost` counts them. What a block bears for its ground is taken as the same at either distance.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.layout.findings import Ground
from topwire.layout.row_costs import room_cost
from topwire.layout.stand import Prices

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]

APART = (
    1.15  # wanted over given room, or its inverse, from which a pair is of another group: a choice, no source
)
WORTH = 1.0  # [h/year] from which a group of its own is told: a choice, no source
STEP = 0.0508  # [m] 2 in: distances that either tape shows


@dataclass(frozen=True)
class GroupWorth:
    """Rows of one block at a distance of their own.

    kinds : cultivars they are for; apart, given : [m] in these rows, and now; rows : first and last of them, from the
    block's end;
    saved : [h/year]; places : how many more than now, negative = fewer
    """

    block: str
    kinds: tuple[int, ...]
    apart: float
    given: float
    rows: tuple[int, int]
    saved: float
    places: int


def worthwhile_groups(ground: Ground, placed: Index, wanted: Array, prices: Prices) -> tuple[GroupWorth, ...]:
    """For each block whose rows are all alike: strong pairs, weak pairs, where a distance of their own pays.

    placed : (places,) kind, -1 = empty; wanted : (kinds,) [m] between trees
    """
    found = []
    for number, block in enumerate(ground.blocks):
        alike = {round(row.tree_spacing, 6) for row in block.rows} == {round(block.tree_spacing, 6)}
        if len(block.rows) < 2 or not alike:
            continue
        given = block.tree_spacing
        trees = np.bincount(placed[(ground.block == number) & (placed >= 0)], minlength=wanted.size)
        left = list(block.rows)
        for group in (wanted >= APART * given, wanted * APART <= given):
            kinds = np.flatnonzero(group & (trees > 0))
            if not kinds.size:
                continue
            count = trees[kinds]
            steps = float(np.average(wanted[kinds], weights=count)) / STEP
            saved, apart = max(
                (_saved(count, wanted[kinds], given, whole * STEP, prices), float(whole * STEP))
                for whole in (np.floor(steps), np.ceil(steps))
            )
            taken, held = [], 0
            for row in reversed(left):
                taken.append(row)
                held += int(row.places * given / apart)
                if held >= count.sum():
                    break
            if saved < WORTH or held < count.sum() or len(taken) == len(left):
                continue
            left = left[: -len(taken)]
            found.append(
                GroupWorth(
                    block.name,
                    tuple(kinds.tolist()),
                    apart,
                    given,
                    (taken[-1].number, taken[0].number),
                    saved,
                    held - sum(row.places for row in taken),
                )
            )
    return tuple(found)


def _saved(count: Index, wanted: Array, given: float, apart: float, prices: Prices) -> float:
    """[h/year] that `count` trees of each pair cost less at a distance of their own."""
    return float((count * (room_cost(wanted, given, prices) - room_cost(wanted, apart, prices))).sum())
