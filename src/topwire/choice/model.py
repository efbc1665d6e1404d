"""A linear programme put together, before any solver sees it."""

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]

TOLERANCE = 1e-6  # by which a bound or row may seem broken


@dataclass
class Model:
    """A linear programme put together piece by piece: columns with cost and bounds, rows with bounds."""

    cost: list[Array] = field(default_factory=list)
    more_cost: list[tuple[Index, Array]] = field(default_factory=list)
    low: list[Array] = field(default_factory=list)
    high: list[Array] = field(default_factory=list)
    whole: list[Array] = field(default_factory=list)
    rows: list[Index] = field(default_factory=list)
    columns: list[Index] = field(default_factory=list)
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
    ) -> Index:
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

    def add_cost(self, columns: Index, cost: npt.ArrayLike) -> None:
        """Further cost of columns that are there already."""
        self.more_cost.append((columns, np.broadcast_to(np.asarray(cost, dtype=float), columns.shape)))

    def add_rows(self, low: npt.ArrayLike, high: npt.ArrayLike) -> Index:
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

    def holds(self, values: Array) -> bool:
        """Whether these values of the columns keep every bound and row, but for the solver's arithmetic."""
        sums = np.bincount(
            np.concatenate(self.rows),
            weights=np.concatenate(self.values) * values[np.concatenate(self.columns)],
            minlength=self.height,
        )
        return all(
            bool((one >= np.concatenate(low) - TOLERANCE).all())
            and bool((one <= np.concatenate(high) + TOLERANCE).all())
            for one, low, high in ((values, self.low, self.high), (sums, self.row_low, self.row_high))
        )


@dataclass(frozen=True)
class MoreRows:
    """Rows to add to a model that is being solved: row `at[i]` of them has `values[i]` in column `columns[i]`."""

    high: Array  # (rows,) each is no more than this
    at: Index
    columns: Index
    values: Array
    low: Array | None = None  # and no less than this
