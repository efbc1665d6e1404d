"""Covers: rows that every whole planting keeps and a solution in fractions breaks."""

import numpy as np

from topwire.choice.at_once import Programme
from topwire.choice.model import MoreRows
from topwire.choice.planting import Array

SLACK = 1e-3  # [kg] by which a cover has to be broken to be worth a row


def broken_covers(programme: Programme, values: Array, seen: set[int]) -> MoreRows | None:
    """MoreRows that every whole planting keeps and a solution in fractions breaks; None where there is none.

    Fruit of a cultivar for a need in a week is no more than the need can take, and none where the cultivar is not
    planted: given <= most times planted. A part of a tree that serves half of a week's table is half a cultivar at the
    least, and costs half of its smallest planting. This is the strong form of fixed-charge flow (PADBERG1985); it lifts
    the bound from about 1 % to about 0.1 % below the best plan.

    Parameters
    ----------
    seen : columns that have their row already; grows
    """
    planted = programme.planting.planted
    columns: list[int] = []
    of: list[int] = []
    most: list[float] = []
    for year in programme.years:
        fruit = year.fruit
        can_be = fruit.most * values[planted[fruit.cultivar]]
        broken = np.isfinite(fruit.most) & (values[fruit.columns] > can_be + SLACK)
        for at in np.flatnonzero(broken):
            column = int(fruit.columns[at])
            if column not in seen:
                seen.add(column)
                columns.append(column)
                of.append(int(planted[fruit.cultivar[at]]))
                most.append(float(fruit.most[at]))
    if not columns:
        return None
    count = len(columns)
    return MoreRows(
        np.zeros(count),
        np.tile(np.arange(count), 2),
        np.array(columns + of),
        np.concatenate([np.ones(count), -np.array(most)]),
    )
