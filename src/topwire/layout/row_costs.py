"""What the runs of a single row come to: its cost, and where pickers go in it week by week.

Plain numbers and lists: a change touches few rows with a handful of runs each, and this is the inside of the search.
"""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from topwire.layout.stand import EMPTY, FreePlaces, Kinds, Prices
from topwire.layout.walk import reach

Array = npt.NDArray[np.float64]
Piece = tuple[int, int, int]  # first place, place after the last, cultivar of a stretch within a row
KEPT = 100_000  # rows


def room_cost(wanted: Array, given: Array | float, prices: Prices) -> Array:
    """[h/year] of a tree whose pair wants so much room in the row and has `given`, both [m]."""
    over = wanted / given
    return np.asarray(
        prices.cut * np.maximum(over - 1.0, 0.0) + prices.tree * prices.idle * np.maximum(1.0 - over, 0.0)
    )


def room_costs(stand: FreePlaces, kinds: Kinds, prices: Prices) -> Array:
    """(rows, kinds) [h/year] of a tree where it has not the room its pair wants, over the row that suits it best.

    In a close row a strong pair is cut back; in a wide one a weak pair leaves ground that no leaf fills.
    """
    if not (stand.between.size and kinds.wanted.size):
        return np.zeros((stand.rows.length.size, kinds.trees.size))
    cost = room_cost(kinds.wanted[None], stand.between[:, None], prices)
    return np.asarray(cost - cost.min(axis=0))


class RowCosts:
    """Rows of a stand under its cultivars and prices. `depth`, `far` are (places + 1,) sums along the path."""

    def __init__(
        self, stand: FreePlaces, kinds: Kinds, prices: Prices, *, depth: Array, far: Array, gate_price: float
    ) -> None:
        rows = stand.rows.length.size
        weeks = np.flatnonzero(kinds.ripe.any(axis=0))
        ripe = kinds.ripe[:, weeks]
        self._prices = prices
        self._depth, self._far = depth.tolist(), far.tolist()
        self._frost = kinds.frost.tolist()
        self._gate = (gate_price * kinds.favourite).tolist()
        self._shortest = np.minimum(kinds.shortest, np.maximum(kinds.trees, 1)).tolist()
        self._along = stand.along.tolist()
        self._weeks = [np.flatnonzero(row).tolist() for row in ripe]
        standing = stand.standing_row, stand.standing_along, stand.standing_along
        low, high = reach(*standing, ripe[stand.standing_kind], rows)
        self._low, self._high = low.tolist(), high.tolist()
        everything = np.ones((stand.standing_row.size, 1), dtype=bool)
        self.used_low, self.used_high = (ends[:, 0] for ends in reach(*standing, everything, rows))
        self._used_low, self._used_high = self.used_low.tolist(), self.used_high.tolist()
        self._room = room_costs(stand, kinds, prices).tolist()
        self._before = stand.before
        had = np.bincount(stand.row[stand.before != EMPTY], minlength=rows)
        self._had_before = had.tolist()
        self._found: dict[tuple[int, tuple[Piece, ...]], tuple[float, list[float], list[float]]] = {}

    def of(self, row: int, pieces: Sequence[Piece]) -> tuple[float, list[float], list[float]]:
        """[h/year] of frost, gate, stumps, trellis and moved trees; nearest and farthest ripe tree by week [m].

        Rows come up again and again in a search: what was found is kept, and its lists are not to be written to.
        """
        key = row, tuple(pieces)
        found = self._found.get(key)
        if found is None:
            if len(self._found) >= KEPT:
                self._found.clear()
            found = self._found[key] = self._of(row, pieces)
        return found

    def _of(self, row: int, pieces: Sequence[Piece]) -> tuple[float, list[float], list[float]]:
        prices = self._prices
        low, high = self._low[row].copy(), self._high[row].copy()
        nearest, farthest = self._used_low[row], self._used_high[row]
        cost = 0.0
        room = self._room[row]
        for start, stop, what in pieces:
            cost += self._frost[what] * (self._depth[stop] - self._depth[start])
            cost += self._gate[what] * (self._far[stop] - self._far[start])
            cost += room[what] * (stop - start)
            if stop - start < self._shortest[what]:
                cost += prices.stump
            one, other = self._along[start], self._along[stop - 1]
            if other < one:
                one, other = other, one
            if one < nearest:
                nearest = one
            if other > farthest:
                farthest = other
            for week in self._weeks[what]:
                if one < low[week]:
                    low[week] = one
                if other > high[week]:
                    high[week] = other
        if farthest >= nearest:
            cost += prices.row + prices.metre * (farthest - nearest)
        if self._had_before[row]:
            stay = sum(
                int(np.count_nonzero(self._before[start:stop] == what)) for start, stop, what in pieces
            )
            cost += prices.moved * (self._had_before[row] - stay)
        return cost, low, high
