"""What lies in the cellar week by week, and the rows that keep it from being over-full: brought in where they bind."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from topwire.choice.model import Index, MoreRows
from topwire.choice.planting import Limits
from topwire.choice.service import Fruit, Year
from topwire.choice.supply import Supply
from topwire.values.calendar import WEEKS

Array = npt.NDArray[np.float64]

FULL = 1e-6  # [kg] by which the cellar may seem over-full in the solver's arithmetic


def lying(supply: Supply, year: int, fruit: Fruit, weeks: Index | None = None) -> Array:
    """Share of each column's fruit that lies in the cellar at the end of each week, or of some, (columns, weeks).

    Fruit lies there from its picking to the week before it is served; what is processed as it is picked, and cider
    fruit, which sweats in bins outdoors, never does.
    """
    first, picking = supply.first[year][fruit.cultivar], supply.picking_weeks[year][fruit.cultivar]
    weeks = np.arange(1, WEEKS + 1) if weeks is None else weeks
    since = (weeks[None, :] - first[:, None]) % WEEKS
    served = np.where((fruit.week > 0) & ~fruit.outdoors, (fruit.week - first) % WEEKS, 0)
    return np.where(since < served[:, None], np.minimum(1.0, (since + 1) / picking[:, None]), 0.0)


def overfull_cellar(
    supply: Supply,
    limits: Limits,
    years: Sequence[Year],
    values: Array,
    seen: set[tuple[int, int]],
) -> MoreRows | None:
    """Rows for the weeks in which a solution has more fruit in the cellar than it holds; None where there is none.

    Parameters
    ----------
    seen : (year, week) that have their row already; grows
    """
    if limits.cellar is None:
        return None
    at: list[Index] = []
    columns: list[Index] = []
    shares: list[Array] = []
    for number, year in enumerate(years):
        amount = values[year.fruit.columns]
        stored = lying(supply, number, year.fruit.some(amount > 0)).T @ amount[amount > 0]
        over = [
            int(week)
            for week in np.flatnonzero(stored > limits.cellar + FULL)
            if (number, int(week)) not in seen
        ]
        if not over:
            continue
        share = lying(supply, number, year.fruit, np.array(over) + 1)
        for place, week in enumerate(over):
            seen.add((number, week))
            inside = np.flatnonzero(share[:, place])
            at.append(np.full(inside.size, len(at)))
            columns.append(year.fruit.columns[inside])
            shares.append(share[inside, place])
    if not at:
        return None
    return MoreRows(
        np.full(len(at), limits.cellar), np.concatenate(at), np.concatenate(columns), np.concatenate(shares)
    )
