"""The season's picking walk of a planting, kept up as runs change places.

The shortest round of `walk.picking_walk` goes through the rows in order. Two tables hold it: how far the picker has
walked when leaving each row at its start or its end, and how far it still is from there home. A change within a few
rows is then walked through in those rows alone, between the two tables.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.layout.walk import RowLines

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]


@dataclass(frozen=True)
class _State:
    """By week: walked so far at the start and at the end of the row last visited (its number, rows = the gate)."""

    at_start: Array
    at_end: Array
    row: Index


class Rounds:
    """Weekly rounds. `low`, `high` (rows, weeks) [m] are nearest and farthest ripe tree of each row, inf and -inf
    where nothing is ripe."""

    def __init__(self, rows: RowLines, low: Array, high: Array) -> None:
        self._length = rows.length
        # one line more: the gate, where both ends of a row are the same point
        start, end = np.vstack([rows.start, rows.gate]), np.vstack([rows.end, rows.gate])
        self._starts = np.hypot(*(start[:, None] - start[None]).transpose(2, 0, 1))
        self._ends = np.hypot(*(end[:, None] - end[None]).transpose(2, 0, 1))
        self._count = rows.length.size
        self._low, self._high = low.copy(), high.copy()
        weeks = low.shape[1]
        gate = np.full(weeks, self._count)
        none = np.zeros(weeks)
        self._before = [_State(none, none, gate)]  # [i] on leaving the rows before i
        self._after: dict[int, _State] = {self._count: _State(none, none, gate)}  # [i] home from row i onward
        self._known_from = self._count

    @property
    def length(self) -> float:
        """[m] over the season."""
        return self.changed(0, self._low[:0], self._high[:0])

    def changed(self, first: int, low: Array, high: Array) -> float:
        """[m] over the season with `low` and `high` for the rows from `first` on, as many as they have."""
        state = self._leaving(first)
        for offset in range(len(low)):
            state = self._through(state, first + offset, low[offset], high[offset])
        home = self._home_from(first + len(low))
        return float(
            np.minimum(
                state.at_start + self._starts[state.row, home.row] + home.at_start,
                state.at_end + self._ends[state.row, home.row] + home.at_end,
            ).sum()
        )

    def take(self, first: int, low: Array, high: Array) -> None:
        """Makes a change the planting held."""
        last = first + len(low)
        self._low[first:last], self._high[first:last] = low, high
        del self._before[first + 1 :]
        self._known_from = max(self._known_from, last)

    def _leaving(self, row: int) -> _State:
        while len(self._before) <= row:
            at = len(self._before) - 1
            self._before.append(self._through(self._before[-1], at, self._low[at], self._high[at]))
        return self._before[row]

    def _home_from(self, row: int) -> _State:
        for at in range(self._known_from - 1, row - 1, -1):
            self._after[at] = self._home(self._after[at + 1], at)
        self._known_from = min(self._known_from, row)
        return self._after[row]

    def _through(self, state: _State, row: int, low: Array, high: Array) -> _State:
        visited = high >= low
        if not visited.any():
            return state
        length = self._length[row]
        to_start = state.at_start + self._starts[state.row, row]
        to_end = state.at_end + self._ends[state.row, row]
        return _State(
            np.where(visited, np.minimum(to_start + 2 * high, to_end + length), state.at_start),
            np.where(visited, np.minimum(to_end + 2 * (length - low), to_start + length), state.at_end),
            np.where(visited, row, state.row),
        )

    def _home(self, state: _State, row: int) -> _State:
        """From the arrival at the start or the end of `row`, where it is visited, home."""
        low, high = self._low[row], self._high[row]
        visited = high >= low
        if not visited.any():
            return state
        length = self._length[row]
        from_start = self._starts[row, state.row] + state.at_start
        from_end = self._ends[row, state.row] + state.at_end
        return _State(
            np.where(visited, np.minimum(from_start + 2 * high, from_end + length), state.at_start),
            np.where(visited, np.minimum(from_end + 2 * (length - low), from_start + length), state.at_end),
            np.where(visited, row, state.row),
        )
