"""The only module that knows which solver is installed: HiGHS, through scipy."""

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


@dataclass
class Model:
    """A linear programme put together piece by piece: columns with cost and bounds, rows with bounds."""

    cost: list[Array] = field(default_factory=list)
    low: list[Array] = field(default_factory=list)
    high: list[Array] = field(default_factory=list)
    whole: list[Array] = field(default_factory=list)
    rows: list[npt.NDArray[np.int64]] = field(default_factory=list)
    columns: list[npt.NDArray[np.int64]] = field(default_factory=list)
    values: list[Array] = field(default_factory=list)
    row_low: list[Array] = field(default_factory=list)
    row_high: list[Array] = field(default_factory=list)
    width: int = 0
    height: int = 0

    def add_columns(
        self,
        cost: npt.ArrayLike,
        *,
        low: npt.ArrayLike = 0.0,
        high: npt.ArrayLike = np.inf,
        whole: bool = False,
    ) -> npt.NDArray[np.int64]:
        """New columns; gives their numbers."""
        costs = np.atleast_1d(np.asarray(cost, dtype=float))
        count = costs.size
        self.cost.append(costs)
        self.low.append(np.broadcast_to(np.asarray(low, dtype=float), (count,)))
        self.high.append(np.broadcast_to(np.asarray(high, dtype=float), (count,)))
        self.whole.append(np.full(count, float(whole)))
        numbers = np.arange(self.width, self.width + count)
        self.width += count
        return numbers

    def add_rows(self, low: npt.ArrayLike, high: npt.ArrayLike) -> npt.NDArray[np.int64]:
        """New rows, low <= row <= high; gives their numbers."""
        lows, highs = np.broadcast_arrays(
            np.atleast_1d(np.asarray(low, dtype=float)), np.atleast_1d(np.asarray(high, dtype=float))
        )
        self.row_low.append(lows)
        self.row_high.append(highs)
        numbers = np.arange(self.height, self.height + lows.size)
        self.height += lows.size
        return numbers

    def put(self, rows: npt.ArrayLike, columns: npt.ArrayLike, values: npt.ArrayLike) -> None:
        """Coefficients; the three broadcast."""
        row, column, value = np.broadcast_arrays(
            np.atleast_1d(np.asarray(rows, dtype=np.int64)),
            np.atleast_1d(np.asarray(columns, dtype=np.int64)),
            np.atleast_1d(np.asarray(values, dtype=float)),
        )
        self.rows.append(row.ravel())
        self.columns.append(column.ravel())
        self.values.append(value.ravel())


@dataclass(frozen=True)
class Solution:
    """`values` is None where there is no solution; `bound` is the proven least of the objective."""

    values: Array | None
    objective: float
    bound: float
    reduced_cost: Array | None  # of a linear programme's columns at their lower bound
    row_price: Array | None
    infeasible: bool
    stopped: bool  # by the time limit


def solve(model: Model, *, gap: float, seconds: float, relaxed: bool = False) -> Solution:
    """Least cost of the model.

    Parameters
    ----------
    gap : relative gap at which the search may end
    seconds : time limit
    relaxed : whole numbers may be fractions; then prices are given too
    """
    from scipy.optimize import Bounds, LinearConstraint, linprog, milp
    from scipy.sparse import csr_matrix

    cost, low, high = (np.concatenate(part) for part in (model.cost, model.low, model.high))
    row_low, row_high = np.concatenate(model.row_low), np.concatenate(model.row_high)
    matrix = csr_matrix(
        (np.concatenate(model.values), (np.concatenate(model.rows), np.concatenate(model.columns))),
        shape=(model.height, model.width),
    )
    if not relaxed:
        found = milp(
            cost,
            integrality=np.concatenate(model.whole),
            bounds=Bounds(low, high),
            constraints=LinearConstraint(matrix, row_low, row_high),
            options={"mip_rel_gap": gap, "time_limit": seconds},
        )
        bound = found.mip_dual_bound if found.mip_dual_bound is not None else -np.inf
        objective = float(found.fun) if found.x is not None else np.inf
        return Solution(found.x, objective, float(bound), None, None, found.status == 2, found.status == 1)
    upper, lower = np.isfinite(row_high), np.isfinite(row_low)
    equal = upper & lower & (row_low == row_high)
    above, below = upper & ~equal, lower & ~equal
    from scipy.sparse import vstack

    found = linprog(
        cost,
        A_ub=vstack([matrix[above], -matrix[below]]) if (above | below).any() else None,
        b_ub=np.concatenate([row_high[above], -row_low[below]]) if (above | below).any() else None,
        A_eq=matrix[equal] if equal.any() else None,
        b_eq=row_low[equal] if equal.any() else None,
        bounds=np.stack([low, high], axis=1),
        method="highs",
        options={"time_limit": seconds},
    )
    if found.x is None or found.status != 0:
        return Solution(None, np.inf, -np.inf, None, None, found.status == 2, found.status == 1)
    price = np.zeros(model.height)
    marginals = found.ineqlin.marginals if (above | below).any() else np.zeros(0)
    price[above] = marginals[: int(above.sum())]
    price[below] = -marginals[int(above.sum()) :]
    if equal.any():
        price[equal] = found.eqlin.marginals
    return Solution(found.x, float(found.fun), float(found.fun), found.lower.marginals, price, False, False)
