"""The only module that knows which solver is installed: HiGHS, through highspy."""

from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np
import numpy.typing as npt

from topwire.choice.model import Array, Index, Model, MoreRows

Statuses = npt.NDArray[np.int8]

# A search of its own among what the fractional prices favour: it takes as long as all the rest and mostly finds nothing
# more (measured), so that it stands aside until few branches have not done.
_FAVOURED = "mip_heuristic_run_root_reduced_cost"
# Costs moved a little at random, so that no step is in vain: of years solved on from a basis more steps are needed to
# move them back than it spares (a twentieth of the time, measured). Where a year goes round in circles all the same it
# is solved with them, from the beginning.
_MOVED_COSTS = "dual_simplex_cost_perturbation_multiplier"
_STEPS = "simplex_iteration_limit"
IN_CIRCLES = 50_000  # steps; on the larger example no year takes more than 1,200, from nothing too


@dataclass(frozen=True)
class Optimum:
    """`values` is None where there is no solution; `bound` is the proven least of the objective.

    reduced_cost, row_price : of a linear programme: what one more of a column, or of a row's bound, adds to the cost
    """

    values: Array | None
    objective: float
    bound: float
    reduced_cost: Array | None
    row_price: Array | None
    infeasible: bool


NOWHERE = Optimum(None, np.inf, np.inf, None, None, True)


@dataclass(frozen=True)
class Basis:
    """Where a programme stood when it was solved: of every column and row of the whole whether it was basic or at which
    bound, in the solver's own numbers; OUT where it did not stand with the solver."""

    columns: Statuses
    rows: Statuses


OUT = -1


@dataclass(frozen=True)
class _Parts:
    """Arrays of a programme."""

    cost: Array
    low: Array
    high: Array
    row_low: Array
    row_high: Array
    matrix: Any


class Live:
    """A linear programme that stays with the solver: bounds change and rows come in, and it is solved on from there.

    Whole numbers may be fractions here. The same steps give the same answers: one thread, no clock.

    of_cuts : its rows are many cuts, nearly full of numbers of one size. A row is best chosen by approximate weights
        then (Devex, HARRIS1973), and nothing need be scaled: a third less time (measured).
    """

    def __init__(self, model: Model, *, of_cuts: bool = False) -> None:
        self._highs = _loaded(model, whole=False)
        if of_cuts:
            self._highs.setOptionValue("simplex_scale_strategy", 0)
            self._highs.setOptionValue("simplex_dual_edge_weight_strategy", 1)
        self._height = model.height

    def solve(self) -> Optimum:
        """Least cost under the bounds and rows of now."""
        if not _run(self._highs):
            return NOWHERE
        solution = self._highs.getSolution()
        objective = float(self._highs.getObjectiveValue())
        return Optimum(
            np.array(solution.col_value),
            objective,
            objective,
            np.array(solution.col_dual),
            np.array(solution.row_dual),
            False,
        )

    def bound(self, columns: Index, low: Array, high: Array) -> None:
        """New bounds of some columns."""
        self._highs.changeColsBounds(
            columns.size, columns.astype(np.int32), low.astype(float), high.astype(float)
        )

    def at_least(self, rows: Index, low: Array) -> None:
        """New lower bounds of some rows that have no upper one."""
        self._highs.changeRowsBounds(
            rows.size, rows.astype(np.int32), low.astype(float), np.full(rows.size, np.inf)
        )

    def between(self, row: int, low: float, high: float) -> None:
        """New bounds of one row."""
        self._highs.changeRowBounds(row, low, high)

    def cost(self, columns: Index, cost: Array) -> None:
        """New cost of some columns."""
        self._highs.changeColsCost(columns.size, columns.astype(np.int32), cost.astype(float))

    def drop(self, rows: Index) -> None:
        """Rows taken out; those behind them move up."""
        self._highs.deleteRows(rows.size, rows.astype(np.int32))
        self._height -= rows.size

    def whole(self, columns: Index, yes: bool) -> None:
        """Whether some columns have to be whole numbers."""
        import highspy

        kind = highspy.HighsVarType.kInteger if yes else highspy.HighsVarType.kContinuous
        for column in columns.tolist():
            self._highs.changeColIntegrality(column, kind)

    def solve_whole(self, gap: float, hint: Array | None = None, most_nodes: int | None = None) -> Optimum:
        """Least cost with the columns that have to be whole; `hint` values to begin with."""
        import highspy

        self._highs.setOptionValue("mip_rel_gap", gap)
        self._highs.setOptionValue("mip_abs_gap", 1e-6)
        self._highs.setOptionValue("mip_max_nodes", 2**31 - 1 if most_nodes is None else most_nodes)
        if hint is not None:
            begin = highspy.HighsSolution()
            begin.col_value = hint.tolist()
            self._highs.setSolution(begin)
        self._highs.run()
        if not _optimal(self._highs):
            return NOWHERE
        info = self._highs.getInfo()
        values = np.array(self._highs.getSolution().col_value)
        return Optimum(
            values, float(info.objective_function_value), float(info.mip_dual_bound), None, None, False
        )

    def add(self, rows: MoreRows) -> None:
        """Further rows."""
        order = np.argsort(rows.at, kind="stable")
        starts = np.searchsorted(rows.at[order], np.arange(rows.high.size))
        self._highs.addRows(
            rows.high.size,
            np.full(rows.high.size, -np.inf) if rows.low is None else rows.low,
            rows.high,
            order.size,
            starts.astype(np.int32),
            rows.columns[order].astype(np.int32),
            rows.values[order],
        )
        self._height += rows.high.size


class Growing:
    """A linear programme of which only a part stands with the solver; more is brought in, and it is solved on.

    Columns and rows are numbered as in the whole. What is not brought in is zero in every answer. The dual simplex
    method: other fruit and other bounds leave its basis a good one, and a new column that has bounds on both sides is
    at home at one of them (measured: two fifths of the steps of the primal method). One thread, no clock: the same
    steps give the same answers.
    """

    def __init__(self, model: Model, columns: Index, rows: Index) -> None:
        """`columns` and `rows` stand with the solver from the beginning."""
        self._parts = _parts(model)
        self._by_row, self._by_column = self._parts.matrix.tocsr(), self._parts.matrix.T
        self.begin(columns, rows)

    def begin(self, columns: Index, rows: Index) -> None:
        """Begin anew, with these alone; bounds stay as they are."""
        parts = self._parts
        self._column = np.full(parts.cost.size, -1, dtype=np.int64)  # place with the solver, -1 = not there
        self._row = np.full(parts.row_low.size, -1, dtype=np.int64)
        self._column[columns], self._row[rows] = np.arange(columns.size), np.arange(rows.size)
        self._columns, self._rows = columns, rows  # those with the solver, in its order
        self._highs = _silent()
        self._highs.setOptionValue("threads", 1)
        # In programmes of this size it takes a third of the time.
        self._highs.setOptionValue("presolve", "off")
        self._highs.setOptionValue(_MOVED_COSTS, 0.0)
        self._highs.setOptionValue(_STEPS, IN_CIRCLES)
        self._highs.passModel(
            _given(
                _Parts(
                    parts.cost[columns],
                    parts.low[columns],
                    parts.high[columns],
                    parts.row_low[rows],
                    parts.row_high[rows],
                    parts.matrix[rows][:, columns].tocsc(),
                )
            )
        )

    def bring_in(self, columns: Index, rows: Index) -> None:
        """Further columns and rows to the solver."""
        parts = self._parts
        if rows.size:
            self._row[rows] = self._rows.size + np.arange(rows.size)
            starts, index, values = _entries(self._by_row, rows, self._column)
            self._highs.addRows(
                rows.size, parts.row_low[rows], parts.row_high[rows], index.size, starts, index, values
            )
            self._rows = np.concatenate([self._rows, rows])
        if columns.size:
            self._column[columns] = self._columns.size + np.arange(columns.size)
            starts, index, values = _entries(parts.matrix, columns, self._row)
            self._highs.addCols(
                columns.size,
                parts.cost[columns],
                parts.low[columns],
                parts.high[columns],
                index.size,
                starts,
                index,
                values,
            )
            self._columns = np.concatenate([self._columns, columns])

    def add(self, rows: MoreRows) -> None:
        """Further rows of the whole; they stand with the solver at once."""
        from scipy.sparse import csr_matrix, vstack

        parts, count = self._parts, rows.high.size
        more = csr_matrix((rows.values, (rows.at, rows.columns)), shape=(count, parts.cost.size))
        self._by_row = vstack([self._by_row, more], format="csr")
        low = np.full(count, -np.inf) if rows.low is None else rows.low
        self._parts = replace(
            parts,
            row_low=np.concatenate([parts.row_low, low]),
            row_high=np.concatenate([parts.row_high, rows.high]),
            matrix=vstack([parts.matrix, more], format="csc"),
        )
        self._by_column = self._parts.matrix.T
        first = self._row.size
        self._row = np.concatenate([self._row, np.full(count, -1, dtype=np.int64)])
        self.bring_in(np.zeros(0, dtype=np.int64), np.arange(first, first + count))

    def bound(self, columns: Index, low: Array, high: Array) -> None:
        """New bounds of some columns, whether they stand with the solver or not."""
        parts = self._parts
        new = (parts.low[columns] != low) | (parts.high[columns] != high)
        parts.low[columns], parts.high[columns] = low, high
        there = columns[new & (self._column[columns] >= 0)]
        self._highs.changeColsBounds(
            there.size, self._column[there].astype(np.int32), self._parts.low[there], self._parts.high[there]
        )

    def at_least(self, rows: Index, low: Array) -> None:
        """New lower bounds of some rows that have no upper one, whether they stand with the solver or not."""
        new = self._parts.row_low[rows] != low
        self._parts.row_low[rows] = low
        there = rows[new & (self._row[rows] >= 0)]
        self._highs.changeRowsBounds(
            there.size,
            self._row[there].astype(np.int32),
            self._parts.row_low[there],
            np.full(there.size, np.inf),
        )

    def solve(self) -> Optimum:
        """Least cost under the bounds and rows of now."""
        if not _run(self._highs):
            return NOWHERE
        solution = self._highs.getSolution()
        objective = float(self._highs.getObjectiveValue())
        values, dual = np.zeros(self._column.size), np.zeros(self._column.size)
        price = np.zeros(self._row.size)
        values[self._columns], dual[self._columns] = solution.col_value, solution.col_dual
        price[self._rows] = solution.row_dual
        return Optimum(values, objective, objective, dual, price, False)

    def basis(self) -> Basis:
        """Where it stood when it was last solved."""
        stood = self._highs.getBasis()
        columns = np.full(self._column.size, OUT, dtype=np.int8)
        rows = np.full(self._row.size, OUT, dtype=np.int8)
        if stood.valid:
            columns[self._columns] = [int(one) for one in stood.col_status]
            rows[self._rows] = [int(one) for one in stood.row_status]
        return Basis(columns, rows)

    def stand_at(self, basis: Basis) -> None:
        """Be solved on from there; rows beyond those it tells of bind nothing."""
        import highspy

        kinds = [highspy.HighsBasisStatus(number) for number in range(5)]
        at_nothing, free = int(highspy.HighsBasisStatus.kLower), int(highspy.HighsBasisStatus.kBasic)
        rows = np.full(self._row.size, OUT, dtype=np.int8)
        rows[: basis.rows.size] = basis.rows
        columns, rows = basis.columns[self._columns], rows[self._rows]
        begin = highspy.HighsBasis()
        begin.col_status = [kinds[one] for one in np.where(columns == OUT, at_nothing, columns).tolist()]
        begin.row_status = [kinds[one] for one in np.where(rows == OUT, free, rows).tolist()]
        begin.valid = begin.alien = True  # alien: it need not have as many basic ones as there are rows
        self._highs.setBasis(begin)

    def beside(self, row_price: Array) -> Array:
        """Cost of every column of the whole less what its entries are worth at these prices of rows."""
        return np.asarray(self._parts.cost - self._by_column @ row_price)


def _entries(matrix: Any, which: Index, place: Index) -> tuple[Any, Any, Array]:
    """Some rows of a matrix that is held by rows, or columns of one held by columns: where each starts, the place of
    every entry, its value. Entries without a place (-1) are left out."""
    begin, end = matrix.indptr[which].astype(np.int64), matrix.indptr[which + 1].astype(np.int64)
    count = end - begin
    at = np.repeat(end - np.cumsum(count), count) + np.arange(count.sum())
    index = place[matrix.indices[at]]
    there = index >= 0
    of = np.repeat(np.arange(which.size), count)[there]
    starts = np.searchsorted(of, np.arange(which.size))
    return starts.astype(np.int32), index[there].astype(np.int32), matrix.data[at][there]


def solve(model: Model, *, gap: float, relaxed: bool = False, most_nodes: int | None = None) -> Optimum:
    """Least cost of the model.

    Parameters
    ----------
    gap : relative gap at which the search for whole numbers may end
    most_nodes : branches looked at before it ends with the gap it has, once it has an answer; None = all it takes
    relaxed : whole numbers may be fractions; then prices are given too
    """
    if relaxed:
        return Live(model).solve()
    highs = _loaded(model, whole=True)
    highs.setOptionValue("mip_rel_gap", gap)
    highs.setOptionValue("mip_abs_gap", 0.0)
    if most_nodes is not None:
        highs.setOptionValue("mip_max_nodes", most_nodes)
    highs.run()
    if _broken_off(highs):
        highs.clearSolver()
        highs.setOptionValue(_FAVOURED, True)
        highs.run()
    info = highs.getInfo()
    if not _optimal(highs):
        return NOWHERE
    values = np.array(highs.getSolution().col_value)
    return Optimum(
        values, float(info.objective_function_value), float(info.mip_dual_bound), None, None, False
    )


def _run(highs: Any) -> bool:
    """Solve on from the basis that is there; whether there is a solution."""
    highs.run()
    if _solved(highs):
        return True
    highs.clearSolver()  # lost on the way from an old basis: from the beginning
    highs.setOptionValue(_MOVED_COSTS, 1.0)
    highs.setOptionValue(_STEPS, 2**31 - 1)
    highs.run()
    return _optimal(highs)


def _solved(highs: Any) -> bool:
    import highspy

    return bool(highs.getModelStatus() == highspy.HighsModelStatus.kOptimal)


def _broken_off(highs: Any) -> bool:
    """Whether it ended at the number of branches allowed."""
    import highspy

    return bool(highs.getModelStatus() == highspy.HighsModelStatus.kSolutionLimit)


def _optimal(highs: Any) -> bool:
    import highspy

    status = highs.getModelStatus()
    answered = highs.getInfo().primal_solution_status == 2  # a feasible point
    if status == highspy.HighsModelStatus.kOptimal or (_broken_off(highs) and answered):
        return True
    if status in (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kUnboundedOrInfeasible):
        return False
    raise RuntimeError(f"the solver stopped without an answer: {highs.modelStatusToString(status)}")


def _silent() -> Any:
    """A solver that prints nothing."""
    return _silent_class()()


@cache
def _silent_class() -> Any:
    """Made once: a class for each solver would leave the interpreter thousands of classes to clear away. Callbacks to
    Python, which we do not use, are not set up: there it speaks its first words."""
    import highspy

    solver: Any = highspy.Highs

    class Silent(solver):  # type: ignore[misc]
        def enableCallbacks(self) -> None:
            self.setOptionValue("output_flag", False)

    return Silent


def _parts(model: Model) -> _Parts:
    from scipy.sparse import csc_matrix

    matrix = csc_matrix(
        (np.concatenate(model.values), (np.concatenate(model.rows), np.concatenate(model.columns))),
        shape=(model.height, model.width),
    )
    cost = np.concatenate(model.cost)
    for columns, more in model.more_cost:
        np.add.at(cost, columns, more)
    return _Parts(
        cost,
        np.concatenate(model.low),
        np.concatenate(model.high),
        np.concatenate(model.row_low),
        np.concatenate(model.row_high),
        matrix,
    )


def _loaded(model: Model, *, whole: bool) -> Any:
    highs = _silent()
    highs.setOptionValue("threads", 1)
    highs.setOptionValue(_FAVOURED, False)
    highs.passModel(_given(_parts(model), np.concatenate(model.whole) if whole else None))
    return highs


def _given(parts: _Parts, whole: Array | None = None) -> Any:
    import highspy

    given = highspy.HighsLp()
    given.num_col_, given.num_row_ = parts.cost.size, parts.row_low.size
    given.col_cost_ = parts.cost
    given.col_lower_, given.col_upper_ = parts.low, parts.high
    given.row_lower_, given.row_upper_ = parts.row_low, parts.row_high
    given.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    given.a_matrix_.start_, given.a_matrix_.index_ = parts.matrix.indptr, parts.matrix.indices
    given.a_matrix_.value_ = parts.matrix.data
    if whole is not None:
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        given.integrality_ = [kinds[int(value)] for value in whole]
    return given
