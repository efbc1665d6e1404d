"""The season's picking walk of a planting, kept up as runs change places.

The shortest round of `walk.picking_walk` goes through the rows in order. Of every week's round two tables are held: how
far the picker has walked when leaving each row visited, at its start and at its end, and how far it still is home on
arriving there. A change within a few rows is then walked through in those rows alone, between the two tables, and only
in the weeks whose ripe trees it moves.
"""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from topwire.layout.walk import RowLines

Reach = Sequence[list[float]]  # by row, by week [m]
Point = tuple[float, float]  # [m] at a row's start and at its end


@dataclass
class _Week:
    """One week's round: the rows visited, in order; walked on leaving each, still to walk on arriving there [m]."""

    rows: list[int]
    left: list[Point]
    home: list[Point]
    length: float


class Rounds:
    """Weekly rounds. `low`, `high` [m], by row and week, are nearest and farthest ripe tree, inf and -inf where nothing
    is ripe."""

    def __init__(self, rows: RowLines, low: Reach, high: Reach) -> None:
        self._length: list[float] = rows.length.tolist()
        # one line more: the gate, where both ends of a row are the same point
        start, end = np.vstack([rows.start, rows.gate]), np.vstack([rows.end, rows.gate])
        self._starts: list[list[float]] = np.hypot(
            *(start[:, None] - start[None]).transpose(2, 0, 1)
        ).tolist()
        self._ends: list[list[float]] = np.hypot(*(end[:, None] - end[None]).transpose(2, 0, 1)).tolist()
        self._gate = rows.length.size
        self._low, self._high = list(low), list(high)
        self._weeks = [self._walked(week) for week in range(len(low[0]) if len(low) else 0)]
        self._length_of_all = sum(week.length for week in self._weeks)

    @property
    def length(self) -> float:
        """[m] over the season."""
        return self._length_of_all

    def changed(self, first: int, low: Reach, high: Reach) -> float:
        """[m] over the season with `low` and `high` for the rows from `first` on, as many as they have."""
        last = first + len(low)
        total = self._length_of_all
        lengths, starts, ends = self._length, self._starts, self._ends
        for number in self._differing(first, low, high):
            week = self._weeks[number]
            rows = week.rows
            before, after = bisect_left(rows, first), bisect_left(rows, last)
            (at_start, at_end), row = (
                (week.left[before - 1], rows[before - 1]) if before else ((0.0, 0.0), self._gate)
            )
            from_start, from_end = starts[row], ends[row]
            for here, (near, far) in enumerate(zip(low, high, strict=True), first):
                nearest, farthest = near[number], far[number]
                if farthest >= nearest:  # as `_through`, written out: the inside of the search
                    length = lengths[here]
                    to_start, to_end = at_start + from_start[here], at_end + from_end[here]
                    at_start, over = to_start + 2 * farthest, to_end + length
                    if over < at_start:
                        at_start = over
                    at_end, over = to_end + 2 * (length - nearest), to_start + length
                    if over < at_end:
                        at_end = over
                    from_start, from_end = starts[here], ends[here]
            home, then = (week.home[after], rows[after]) if after < len(rows) else ((0.0, 0.0), self._gate)
            total += (
                min(at_start + from_start[then] + home[0], at_end + from_end[then] + home[1]) - week.length
            )
        return total

    def take(self, first: int, low: Reach, high: Reach) -> None:
        """Makes a change the planting held."""
        differs = self._differing(first, low, high)
        last = first + len(low)
        self._low[first:last], self._high[first:last] = low, high
        for week in differs:
            self._weeks[week] = self._walked(week)
        self._length_of_all = sum(week.length for week in self._weeks)

    def _differing(self, first: int, low: Reach, high: Reach) -> list[int]:
        """Weeks in which other trees are ripe."""
        found: set[int] = set()
        for new, old in ((low, self._low), (high, self._high)):
            for values, held in zip(new, old[first : first + len(new)], strict=True):
                if values is not held and values != held:
                    found.update(
                        [week for week, (one, two) in enumerate(zip(values, held, strict=True)) if one != two]
                    )
        return sorted(found)

    def _walked(self, week: int) -> _Week:
        rows, near, far = [], [], []
        for row, (low, high) in enumerate(zip(self._low, self._high, strict=True)):
            if high[week] >= low[week]:
                rows.append(row)
                near.append(low[week])
                far.append(high[week])
        left: list[Point] = []
        at, row = (0.0, 0.0), self._gate
        for here, nearest, farthest in zip(rows, near, far, strict=True):
            at = self._through(at, row, here, nearest, farthest)
            left.append(at)
            row = here
        length = self._joined(at, row, (0.0, 0.0), self._gate)
        home: list[Point] = []
        after, then = (0.0, 0.0), self._gate
        for here, nearest, farthest in zip(reversed(rows), reversed(near), reversed(far), strict=True):
            after = self._homeward(after, then, here, nearest, farthest)
            home.append(after)
            then = here
        home.reverse()
        return _Week(rows, left, home, length)

    def _through(self, at: Point, from_: int, row: int, low: float, high: float) -> Point:
        """On leaving `row`, from the ends of the row visited before."""
        length = self._length[row]
        to_start = at[0] + self._starts[from_][row]
        to_end = at[1] + self._ends[from_][row]
        return min(to_start + 2 * high, to_end + length), min(to_end + 2 * (length - low), to_start + length)

    def _homeward(self, after: Point, then: int, row: int, low: float, high: float) -> Point:
        """From the arrival at the ends of `row` home; `after` the same of the row visited next."""
        length = self._length[row]
        from_start = self._starts[row][then] + after[0]
        from_end = self._ends[row][then] + after[1]
        return min(from_start + 2 * high, from_end + length), min(
            from_end + 2 * (length - low), from_start + length
        )

    def _joined(self, at: Point, row: int, home: Point, then: int) -> float:
        return min(at[0] + self._starts[row][then] + home[0], at[1] + self._ends[row][then] + home[1])
