"""The choice as one programme, the trees and the serving of all years together: plain, and quick only for few years.

For one year it is the better way by far: cuts come near the vertex of a single year only slowly (measured on the
larger example with 1,073 trees: 2 s at once, minutes in parts). For many years the search in parts is.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from topwire.choice.in_cellar import overfull_cellar
from topwire.choice.model import Index, Model, MoreRows
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Array, Donors, FirstStage, Limits, add_planting
from topwire.choice.service import Year, add_years
from topwire.choice.solver import Live, Optimum, solve
from topwire.choice.supply import Supply


@dataclass(frozen=True)
class Programme:
    """The model with the numbers of its columns. The cellar's rows are not in it: they come in as they are needed."""

    model: Model
    planting: FirstStage
    years: tuple[Year, ...]


def build(
    supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, useful: Donors, *, parts: bool = False
) -> Programme:
    """The whole programme; `useful` (donors, parents) are dependable pollen donors, `parts` allows parts of trees."""
    model = Model()
    planting = add_planting(model, supply, limits, useful, parts=parts)
    years = add_years(model, supply, needs, limits, trees=planting.trees)
    return Programme(model, planting, years)


@dataclass(frozen=True)
class InFractions:
    """Trees and shares planted, (cultivars,) each, of the programme in fractions, and what they cost."""

    trees: Array
    planted: Array
    cost: float


def best_in_fractions(
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    useful: Donors,
    outside: Index | None = None,
    *,
    all_planted: bool = False,
) -> InFractions | None:
    """The programme in fractions; None: there is no planting.

    Parameters
    ----------
    outside : cultivars left out
    all_planted : every cultivar is planted, and only trees may be parts
    """
    programme = build(supply, needs, limits, useful)
    planting = programme.planting
    live, seen = Live(programme.model), set[tuple[int, int]]()
    if outside is not None:
        nothing = np.zeros(outside.size)
        for columns in (planting.trees, planting.planted):
            live.bound(columns[outside], nothing, nothing)
    if all_planted:
        live.bound(planting.planted, np.ones(planting.planted.size), np.ones(planting.planted.size))
    while True:
        found = live.solve()
        if found.values is None:
            return None
        rows = overfull_cellar(supply, limits, programme.years, found.values, seen)
        if rows is None:
            values = found.values
            return InFractions(values[planting.trees], values[planting.planted], found.objective)
        live.add(rows)


def solve_whole(
    programme: Programme, supply: Supply, limits: Limits, *, gap: float, most_nodes: int | None = None
) -> Optimum:
    """The programme in whole numbers, the cellar held in every week; `gap` and `most_nodes` as the solver has them."""
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
