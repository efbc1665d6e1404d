"""The choice as one programme of all years, in whole numbers: slow and plain, for the search to be held against."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Array, Donors, FirstStage, Limits, add_planting
from topwire.choice.service import Year, add_years, overfull_cellar
from topwire.choice.solver import Model, MoreRows, Optimum, solve
from topwire.choice.supply import Supply

SLACK = 1e-3  # [kg] by which a cover has to be broken to be worth a row


@dataclass(frozen=True)
class Programme:
    """The model with the numbers of its columns. The cellar's rows are not in it: they come in as they are needed."""

    model: Model
    planting: FirstStage
    years: tuple[Year, ...]


def build(supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, useful: Donors) -> Programme:
    """The whole programme; `useful` (donors, parents) are dependable pollen donors."""
    model = Model()
    planting = add_planting(model, supply, limits, useful)
    years = add_years(model, supply, needs, limits, trees=planting.trees)
    return Programme(model, planting, years)


def solve_whole(
    programme: Programme, supply: Supply, limits: Limits, *, gap: float, most_nodes: int | None = None
) -> Optimum:
    """The programme in whole numbers, the cellar held in every week."""
    seen: set[tuple[int, int]] = set()
    while True:
        found = solve(programme.model, gap=gap, most_nodes=most_nodes)
        if found.values is None:
            return found
        rows = overfull_cellar(supply, limits, programme.years, found.values, seen)
        if rows is None:
            return found
        put_rows(programme.model, rows)


def put_rows(model: Model, rows: MoreRows) -> None:
    """Further rows of a model that is not yet being solved."""
    numbers = model.add_rows(-np.inf, rows.high)
    model.put(numbers[rows.at], rows.columns, rows.values)


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
