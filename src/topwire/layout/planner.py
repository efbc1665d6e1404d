"""A planting in the making, and what every change of it would cost in hours of work a year.

A planting is a sequence of runs (cultivar, number of trees) along the path through all free places, up one row and down
the next. A change takes a window of neighbouring runs and lays them anew within the places they and the gaps about them
have; nothing outside the window moves, so that its cost is found from a few rows alone.
"""

import math
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from topwire.choice.pollination import USEFUL
from topwire.layout.pollen_field import PollenChange, PollenField
from topwire.layout.rounds import Rounds
from topwire.layout.row_costs import Piece, RowCosts, room_costs
from topwire.layout.stand import EMPTY, FreePlaces, Kinds, Prices, Terms

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]
Run = tuple[int, int]  # (kind, trees)
Order = tuple[Run, ...]
Pieces = tuple[Index, Index, Index]  # first place, place after the last, cultivar of stretches within rows


@dataclass(frozen=True)
class Change:
    """Runs `first` to `last` (exclusive) of a planting laid anew."""

    first: int
    last: int
    runs: tuple[Run, ...]


@dataclass
class WeighedChange:
    """A change with all that making it takes. `total` is inf where it was given up as too dear."""

    total: float
    change: Change
    items: list[tuple[int, int, int, int]]  # kind, trees, first place, place after the last
    places: slice
    kind: Index
    rows: slice
    pieces: list[list[Piece]]  # by row
    row_cost: list[float]
    low: list[list[float]]
    high: list[list[float]]
    walk: float
    sequence: float
    pollen: PollenChange | None


class Planner:
    """The stand, the cultivars and the prices; and the planting they hold at the moment."""

    def __init__(self, stand: FreePlaces, kinds: Kinds, prices: Prices, *, need: Array) -> None:
        """`need` (kinds,) is the useful share of pollen each cultivar's trees are to have."""
        self.stand, self.kinds, self.prices = stand, kinds, prices
        self._last = stand.last.tolist()
        self._shortest = np.minimum(kinds.shortest, np.maximum(kinds.trees, 1)).tolist()
        self.shortest = np.array(self._shortest)
        rows = stand.rows.length.size
        self._row_first = np.searchsorted(stand.row, np.arange(rows + 1))
        self._row_of = stand.row.tolist()
        self._pollen = PollenField(stand, kinds, prices, need)
        self._depth = np.concatenate(([0.0], np.cumsum(_depth(stand))))
        self._far = np.concatenate(([0.0], np.cumsum(stand.to_gate)))
        self._least_frost, _ = _range(_depth(stand), kinds.frost, kinds.trees)
        low, high = _range(stand.to_gate, kinds.favourite, kinds.trees)
        self._least_gate, self._gate_price = low, prices.gate / (high - low) if high - low > 1e-9 else 0.0
        self._rows = RowCosts(
            stand, kinds, prices, depth=self._depth, far=self._far, gate_price=self._gate_price
        )
        self._room = room_costs(stand, kinds, prices)
        self._least_trellis = self._fewest_rows()
        self._cultivars = int((kinds.trees > 0).sum())
        self._pair = self._pairs()
        self.alike = _alike(kinds)
        steps = stand.steps
        self._at = np.full(stand.block_of_line.size * steps, -1)
        self._at[stand.line * steps + stand.step] = np.arange(stand.places)
        self._had_before = stand.before != EMPTY

    # ---- plantings -------------------------------------------------------------------------------------------------

    def in_order(self, kinds: Iterable[int]) -> Order:
        """Every cultivar in one run, in the order given."""
        return tuple((int(k), int(self.kinds.trees[k])) for k in kinds if self.kinds.trees[k] > 0)

    def laid(self, order: Sequence[Run]) -> Index:
        """(places,) kind along the path of runs laid one after the other from the first place."""
        kind = np.full(self.stand.places, EMPTY)
        for what, _, pieces in self._lay(0, self.stand.places, order):
            for start, stop in pieces:
                kind[start:stop] = what
        return kind

    def walk(self, kind: Index) -> float:
        """Picking walk of the season [m] of a planting (places,), the standing trees' included."""
        return self._walked_rows(self._by_row(kind))[1].length

    def insist(self, need: Array, times: float) -> None:
        """Sets the useful share of pollen each cultivar wants, and how many times its lack counts.

        A planting has to be taken up anew after it.
        """
        self._pollen.need(need, times)

    def hold(self, kind: Index) -> None:
        """Takes up a planting, (places,) kind along the path."""
        self.kind = kind.copy()
        planted = np.flatnonzero(kind != EMPTY)
        edges = np.flatnonzero(np.diff(kind[planted]) != 0) + 1
        self._items: list[tuple[int, int, int, int]] = []
        if planted.size:
            for piece in np.split(planted, edges):
                self._items.append((int(kind[piece[0]]), piece.size, int(piece[0]), int(piece[-1]) + 1))
        self._begins = [item[2] for item in self._items]
        self._row_pieces = self._by_row(kind)
        self._row_cost, self._rounds = self._walked_rows(self._row_pieces)
        self._rows_together = math.fsum(self._row_cost)
        self._walk = self._rounds.length
        self._sequence = self._sequence_of([item[0] for item in self._items]) + self._extra(len(self._items))
        self._runs = tuple(item[:2] for item in self._items)
        self._pollen.fill(kind)

    @property
    def runs(self) -> tuple[Run, ...]:
        return self._runs

    @property
    def total(self) -> float:
        """[h/year] of the planting held."""
        return self._sum(self._rows_together, self._walk, self._sequence) + self._pollen.cost

    def terms(self) -> Terms:
        """The hours of the planting held, by what they go for."""
        stand, prices = self.stand, self.prices
        pieces = self._pieces(self.kind, 0)
        parts = self._row_parts(pieces, self.kind, 0, 0, stand.rows.length.size).sum(axis=1)
        kinds = [item[0] for item in self._items]
        care = math.fsum(
            prices.care * abs(self.kinds.care[a] - self.kinds.care[b]) for a, b in pairwise(kinds)
        )
        extra = self._extra(len(kinds))
        return Terms(
            walk=self._hours(self._walk),
            pollen=self._pollen.cost,
            frost=float(parts[0]) - self._least_frost,
            trellis=float(parts[3]) - self._least_trellis,
            runs=float(parts[2]) + extra,
            care=care,
            story=self._sequence - care - extra,
            gate=float(parts[1]) - self._least_gate * self._gate_price,
            moved=float(parts[4]),
            room=float(parts[5]),
        )

    def run_at(self, line: int, step: int) -> tuple[int, int] | None:
        """The run a tree belongs to and the trees of it before that one; None for a tree that stood already."""
        at = int(self._at[line * self.stand.steps + step])
        if at < 0 or self.kind[at] == EMPTY:
            return None
        number = bisect_right(self._begins, at) - 1
        begin = self._begins[number]
        return number, int((self.kind[begin:at] != EMPTY).sum())

    def stump(self, random: np.random.Generator) -> int | None:
        """A run of which a row's end leaves a stump, drawn; None where there is none."""
        start, stop, what = self._pieces(self.kind, 0)
        short = np.flatnonzero((stop - start) < self.shortest[what])
        if not short.size:
            return None
        return bisect_right(self._begins, int(start[short[int(random.integers(short.size))]])) - 1

    @property
    def has_last(self) -> bool:
        """Whether there is a last layout, from which trees are moved only for good reason."""
        return bool(self._had_before.any())

    def is_donor(self, donor: int, parent: int) -> bool:
        return bool(self.kinds.match[donor, parent] >= USEFUL)

    def wanting(self) -> tuple[Index, Index]:
        """(line, step) of trees short of pollen."""
        return self._pollen.wanting()

    # ---- changes ---------------------------------------------------------------------------------------------------

    def weigh(self, change: Change, *, at_most: float = math.inf) -> WeighedChange | None:
        """What the planting would cost once changed; None where it is sure to exceed `at_most` or changes nothing."""
        change = self._widened(change)
        items = self._items
        first, last = change.first, change.last
        begin = items[first - 1][3] if first else 0
        end = items[last][2] if last < len(items) else self.stand.places
        laid = self._lay(begin, end, change.runs)
        top, bottom = self._row_of[begin], self._row_of[end - 1] + 1
        pieces: list[list[Piece]] = [[] for _ in range(top, bottom)]
        pieces[0] += [piece for piece in self._row_pieces[top] if piece[1] <= begin]
        new_items = []
        for what, trees, parts in laid:
            for start, stop in parts:
                pieces[self._row_of[start] - top].append((start, stop, what))
            new_items.append((what, trees, parts[0][0], parts[-1][1]))
        pieces[-1] += [piece for piece in self._row_pieces[bottom - 1] if piece[0] >= end]
        old = [item[0] for item in items[max(first - 1, 0) : last + 1]]
        new = [item[0] for item in [*items[max(first - 1, 0) : first], *new_items, *items[last : last + 1]]]
        sequence = self._sequence + self._sequence_of(new, first <= 1) - self._sequence_of(old, first <= 1)
        sequence += self._extra(len(items) + len(new) - len(old)) - self._extra(len(items))
        row_cost: list[float] = []
        low: list[list[float]] = []
        high: list[list[float]] = []
        for row, here in enumerate(pieces, top):
            cost, near, far = self._rows.of(row, here)
            row_cost.append(cost)
            low.append(near)
            high.append(far)
        rows = slice(top, bottom)
        rest = self._rows_together - sum(self._row_cost[rows]) + sum(row_cost)
        if self._sum(rest, 0.0, sequence) > at_most:
            return None
        walk = self._rounds.changed(top, low, high)
        total = self._sum(rest, walk, sequence)
        if total > at_most:
            return None
        places = slice(int(self._row_first[top]), int(self._row_first[bottom]))
        kind = self.kind[places].copy()
        kind[begin - places.start : end - places.start] = EMPTY
        for here in pieces:
            for start, stop, what in here:
                kind[start - places.start : stop - places.start] = what
        differs = np.flatnonzero(kind != self.kind[places])
        if not differs.size:
            return None
        span = slice(int(differs[0]), int(differs[-1]) + 1)
        # of all places between: a block's lines may be numbered against the path
        lines = self.stand.line[places][span]
        field = self._pollen.change(
            int(lines.min()),
            int(lines.max()) + 1,
            slice(places.start + span.start, places.start + span.stop),
            kind[span],
            at_most - total,
        )
        if field is None:
            return None
        total += self._pollen.cost_of(field)
        total += self._pollen.donors_of(field)
        if total > at_most:
            return None
        return WeighedChange(
            total, change, new_items, places, kind, rows, pieces, row_cost, low, high, walk, sequence, field
        )

    def make(self, weighed: WeighedChange) -> None:
        """Makes a change the planting held."""
        change = weighed.change
        self._items[change.first : change.last] = weighed.items
        self._begins[change.first : change.last] = [item[2] for item in weighed.items]
        self.kind[weighed.places] = weighed.kind
        self._runs = tuple(item[:2] for item in self._items)
        self._row_pieces[weighed.rows] = weighed.pieces
        self._row_cost[weighed.rows] = weighed.row_cost
        self._rows_together = math.fsum(self._row_cost)
        self._rounds.take(weighed.rows.start, weighed.low, weighed.high)
        self._walk, self._sequence = weighed.walk, weighed.sequence
        assert weighed.pollen is not None
        self._pollen.take(weighed.pollen)

    def _widened(self, change: Change) -> Change:
        """Neighbouring runs of one cultivar made one, those beside the window taken in."""
        first, last = change.first, change.last
        runs = list(change.runs)
        if runs and first > 0 and self._items[first - 1][0] == runs[0][0]:
            first -= 1
            runs.insert(0, self._items[first][:2])
        if runs and last < len(self._items) and self._items[last][0] == runs[-1][0]:
            runs.append(self._items[last][:2])
            last += 1
        return Change(first, last, tuple(joined(runs)))

    def _lay(self, begin: int, end: int, runs: Sequence[Run]) -> list[tuple[int, int, list[tuple[int, int]]]]:
        """Runs laid along the places from `begin` to `end`: (kind, trees, pieces in rows).

        Spare places are spent where a row's end would leave a stump of a run; those left over go to a row's end.
        """
        last_of, shortest = self._last, self._shortest
        spare = end - begin - sum(count for _, count in runs)
        at = begin
        found = []
        for kind, trees in runs:
            least = shortest[kind]
            count = trees
            pieces: list[tuple[int, int]] = []
            while count > 0:
                room = last_of[at] - at
                if room < count:
                    if room < least and spare >= room:
                        spare -= room
                        at += room
                        continue
                    missing = least - (count - room)
                    if missing > 0 and spare >= missing and room - missing >= least:
                        pieces.append((at, at + room - missing))
                        spare -= missing
                        count -= room - missing
                        at += room
                        continue
                taken = min(room, count)
                pieces.append((at, at + taken))
                at += taken
                count -= taken
            found.append((kind, trees, pieces))
        if spare and end < len(last_of) and last_of[end - 1] > end:
            # the window ends within a row: what it began in that row stands flush with what follows
            stretch = end - 1
            row_last = last_of[stretch]
            moved = [
                (number, k)
                for number, (_, _, pieces) in enumerate(found)
                for k, (start, _) in enumerate(pieces)
                if last_of[start] == row_last
            ]
            if moved:
                start = found[moved[0][0]][2][moved[0][1]][0]
                if start == 0 or last_of[start - 1] != row_last:
                    for number, k in moved:
                        begin_, stop = found[number][2][k]
                        found[number][2][k] = (begin_ + spare, stop + spare)
        return found

    # ---- what it costs ---------------------------------------------------------------------------------------------

    def _sum(self, rows: float, walk: float, sequence: float) -> float:
        least = self._least_frost + self._least_trellis + self._least_gate * self._gate_price
        return rows - least + self._hours(walk) + sequence

    def _extra(self, runs: int) -> float:
        """[h/year] for cultivars that stand in more than one place."""
        return max(0, runs - self._cultivars) * self.prices.part

    def _hours(self, walk: float) -> float:
        return walk * self.prices.rounds * self.prices.crew / self.prices.pace

    def _pieces(self, kind: Index, begin: int) -> Pieces:
        """Stretches of one cultivar in one row: first place, place after the last, cultivar."""
        row_last = self.stand.last[begin : begin + kind.size]
        changed = np.flatnonzero((kind[1:] != kind[:-1]) | (row_last[1:] != row_last[:-1])) + 1
        start = np.concatenate(([0], changed))
        stop = np.concatenate((changed, [kind.size]))
        what = kind[start]
        planted = what != EMPTY
        return start[planted] + begin, stop[planted] + begin, what[planted]

    def _by_row(self, kind: Index) -> list[list[Piece]]:
        """The stretches of a planting (places,), row by row."""
        found: list[list[Piece]] = [[] for _ in range(self.stand.rows.length.size)]
        for start, stop, what in zip(*(part.tolist() for part in self._pieces(kind, 0)), strict=True):
            found[self._row_of[start]].append((start, stop, what))
        return found

    def _walked_rows(self, pieces: Sequence[Sequence[Piece]]) -> tuple[list[float], Rounds]:
        """Each row's cost [h/year], and the walk through all of them."""
        found = [self._rows.of(row, here) for row, here in enumerate(pieces)]
        return [row[0] for row in found], Rounds(
            self.stand.rows, [row[1] for row in found], [row[2] for row in found]
        )

    def _row_parts(self, pieces: Pieces, kind: Index, begin: int, top: int, bottom: int) -> Array:
        """(6, rows) [h/year]: frost, gate, stumps, trellis, moved trees, room."""
        stand, prices = self.stand, self.prices
        count = bottom - top
        start, stop, what = pieces
        row = stand.row[start] - top
        frost = self.kinds.frost[what] * (self._depth[stop] - self._depth[start])
        gate = self.kinds.favourite[what] * (self._far[stop] - self._far[start])
        short = (stop - start) < self.shortest[what]
        parts = np.zeros((6, count))
        parts[0] = np.bincount(row, frost, count)
        parts[1] = self._gate_price * np.bincount(row, gate, count)
        parts[2] = prices.stump * np.bincount(row, short, count)
        one, other = stand.along[start], stand.along[stop - 1]
        nearest, farthest = self._rows.used_low[top:bottom].copy(), self._rows.used_high[top:bottom].copy()
        np.minimum.at(nearest, row, np.minimum(one, other))
        np.maximum.at(farthest, row, np.maximum(one, other))
        used = farthest >= nearest
        parts[3, used] = prices.row + prices.metre * (farthest[used] - nearest[used])
        places = slice(begin, begin + kind.size)
        moved = self._had_before[places] & (kind != stand.before[places])
        if moved.any():
            parts[4] = prices.moved * np.bincount(stand.row[places] - top, moved, count)
        parts[5] = np.bincount(row, self._room[stand.row[start], what] * (stop - start), count)
        return parts

    def _fewest_rows(self) -> float:
        """[h/year] of the least trellis the trees can do with: the longest rows filled first, no place free."""
        stand = self.stand
        rows = stand.rows.length.size
        standing = np.bincount(stand.standing_row, minlength=rows)
        free = np.bincount(stand.row, minlength=rows)
        trees = int(self.kinds.trees.sum())
        began = standing > 0
        over = trees - int(free[began].sum())
        more = np.sort(free[~began])[::-1]
        needed = 0 if over <= 0 else int(np.searchsorted(np.cumsum(more), over)) + 1
        spacing = float(stand.tree_spacing.min())
        metres = max(0.0, (trees + int(standing.sum()) - int(began.sum()) - needed) * spacing)
        return self.prices.row * (int(began.sum()) + needed) + self.prices.metre * metres

    def _pairs(self) -> list[list[float]]:
        """[h/year] of two neighbouring runs, by their cultivars: care set anew, the story broken or told backward."""
        kinds, prices = self.kinds, self.prices
        cost = prices.care * np.abs(kinds.care[:, None] - kinds.care[None])
        told = np.isfinite(kinds.story) & (kinds.trees > 0)
        self._story = prices.story / (2 * (told.sum() - 1)) if told.sum() > 1 else 0.0
        self._told = told.tolist()
        years = np.where(told, kinds.story, 0.0)
        cost += self._story * (~told[:, None] & told[None])
        cost += self._story * (told[:, None] & told[None] & (years[None] < years[:, None]))
        return [[float(value) for value in row] for row in cost]

    def _sequence_of(self, kinds: Sequence[int], from_start: bool = True) -> float:
        pair = self._pair
        cost = math.fsum(pair[a][b] for a, b in pairwise(kinds))
        if from_start and kinds and self._told[kinds[0]]:
            cost += self._story
        return cost


def joined(runs: Sequence[Run]) -> list[Run]:
    """Neighbouring runs of one cultivar made one."""
    found: list[Run] = []
    for kind, count in runs:
        if found and found[-1][0] == kind:
            found[-1] = (kind, found[-1][1] + count)
        elif count > 0:
            found.append((kind, count))
    return found


def _alike(kinds: Kinds) -> list[list[int]]:
    """The cultivars to plant other than each, those first whose weeks of harvest are nearest to its own."""
    week = np.array([np.flatnonzero(ripe).mean() if ripe.any() else ripe.size for ripe in kinds.ripe])
    planted = np.flatnonzero(kinds.trees > 0)
    return [
        [int(k) for k in planted[np.argsort(np.abs(week[planted] - week[kind]), kind="stable")] if k != kind]
        for kind in range(week.size)
    ]


def _depth(stand: FreePlaces) -> Array:
    """[m] below the highest place of the block, or of all where heights compare."""
    if stand.one_level and stand.places:
        return np.asarray(stand.height.max() - stand.height)
    depth = np.zeros(stand.places)
    block = stand.block_of_line[stand.line]
    for number in np.unique(block):
        here = block == number
        depth[here] = stand.height[here].max() - stand.height[here]
    return depth


def _range(place: Array, worth: Array, trees: Index) -> tuple[float, float]:
    """Least and greatest sum of place times worth over all ways to give places to trees (rearrangement inequality).

    Places left empty are worth nothing.
    """
    per_tree = np.sort(np.concatenate([np.repeat(worth, trees), np.zeros(place.size - int(trees.sum()))]))
    places = np.sort(place)
    return float((per_tree[::-1] * places).sum()), float((per_tree * places).sum())
