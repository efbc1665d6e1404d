"""Pollen at every tree of a planting, kept up as runs change places.

The kernel of `pollen` is a product of one factor along the row and one across the rows. Each row line has a potential:
the useful pollen its own trees send to a tree of each cultivar at each step along it. A tree's useful pollen is the
sum of all lines' potentials for its cultivar at its step, faded by the lines between. A change within a few lines
therefore changes those lines' potentials alone, and is exact for every tree.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.choice.pollination import USEFUL
from topwire.layout import pollen as pollination
from topwire.layout.stand import EMPTY, FreePlaces, Kinds, Prices

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]
Bits = npt.NDArray[np.uint64]
Pieces = tuple[
    Index, Index, Index, Index
]  # stretches of one cultivar: line, first step, step after the last, cultivar

FAR = 25  # [lines] beyond which pollen is below a thousandth
WORD = 64  # cultivars to a word of bits
DONORS = 2  # useful donor cultivars wanted within reach of every tree
WORST = 10.0  # a tree is fully charged its bouquet once it is a tenth short; in proportion before


@dataclass
class PollenChange:
    """What a change makes of the lines `first` to `last` (exclusive) and of those about them."""

    first: int
    last: int
    low: int
    high: int
    kind: Index
    pieces: Pieces
    potential: Array
    mass: Array
    useful: Array
    around: Array
    cost: Array
    reached: Bits | None = None
    lacking: Array | None = None
    lacking_low: int = 0


class PollenField:
    """Useful and all pollen at every tree, and donors within reach, in hours a year where they fall short.

    `need` (kinds,) is the useful share each cultivar's trees want.
    """

    def __init__(self, stand: FreePlaces, kinds: Kinds, prices: Prices, need: Array) -> None:
        self._prices = prices
        self._kinds = count = int(kinds.trees.size)
        lines, steps = int(stand.block_of_line.size), stand.steps
        self._steps = steps
        self._match = np.ascontiguousarray(kinds.match.T)  # (parents, donors)
        self._upto = _upto(steps)
        away = np.abs(np.arange(lines)[:, None] - np.arange(lines)[None])
        same = stand.block_of_line[:, None] == stand.block_of_line[None]
        self._across = np.where(same, np.exp(-away / pollination.ROWS_ACROSS), 0.0)
        self._at = np.arange(steps)
        first = np.searchsorted(stand.block_of_line, stand.block_of_line, side="left")
        end = np.searchsorted(stand.block_of_line, stand.block_of_line, side="right")
        self._low = np.maximum(first, np.arange(lines) - FAR)
        self._high = np.minimum(end, np.arange(lines) + FAR + 1)
        self._words = -(-count // WORD)
        bit = np.zeros((self._words, count + 1), dtype=np.uint64)
        bit[np.arange(count) // WORD, np.arange(count)] = np.left_shift(
            np.uint64(1), (np.arange(count) % WORD).astype(np.uint64)
        )
        self._bit = bit
        useful = kinds.match >= USEFUL
        self._useful_bits = np.zeros((self._words, count + 1), dtype=np.uint64)
        for word in range(self._words):
            here = slice(word * WORD, min(count, (word + 1) * WORD))
            self._useful_bits[word, :count] = np.bitwise_or.reduce(
                np.where(useful[here], bit[word, here, None], np.uint64(0)), axis=0
            )
        # steps along a line within reach of a tree so many lines away, -1 = none
        spacing = stand.row_spacing[stand.block_of_line], stand.tree_spacing[stand.block_of_line]
        deepest = int((pollination.REACH / stand.row_spacing).max(initial=0.0))
        across = np.arange(deepest + 1)[None] * spacing[0][:, None]
        off = np.array(stand.off_grid or (0.0,) * len(stand.row_spacing))[stand.block_of_line][:, None]
        self._window = np.where(
            across <= pollination.REACH,
            np.floor(
                np.sqrt(np.maximum(pollination.REACH**2 - across**2, 0.0)) / spacing[1][:, None] - off + 1e-9
            ),
            -1.0,
        ).astype(np.int64)
        self._block_first, self._block_end, self._deepest = first, end, deepest
        # the lines about each, and whether they are of its block
        apart = np.arange(-deepest, deepest + 1)
        about = np.arange(lines)[:, None] + apart
        there = (about >= first[:, None]) & (about < end[:, None])
        self._about, self._apart = np.clip(about, 0, lines - 1), np.abs(apart)
        self._of_block = np.where(there, ~np.uint64(0), np.uint64(0))[:, :, None]
        self.need(need, 1.0)
        self._standing = np.full((lines, steps), count, dtype=np.int64)
        self._standing[stand.standing_line, stand.standing_step] = stand.standing_kind
        self._line, self._step = stand.line, stand.step

    def need(self, need: Array, pressing: float) -> None:
        """Sets the useful share of pollen each cultivar wants, and how many times its lack counts.

        A planting has to be filled in anew after it.
        """
        self._inverse_need = np.append(1 / need, 0.0)
        self._worth = np.append(np.ones(self._kinds), 0.0)
        self._pressing = pressing

    def fill(self, path_kind: Index) -> None:
        """Takes a planting, (places,) kind along the path."""
        lines = self._standing.shape[0]
        self._kind = self._standing.copy()
        self._kind[self._line, self._step] = np.where(path_kind == EMPTY, self._kinds, path_kind)
        pieces = self._pieces(self._kind)
        self._potential, self._mass = self._sent(pieces, lines)
        self._useful = np.zeros(self._kind.shape)
        self._around = np.zeros(self._kind.shape)
        self._cost = np.zeros(lines)
        starts = np.flatnonzero(self._block_first == np.arange(lines))
        for low in starts:
            high = int(self._block_end[low])
            self._around[low:high] = np.einsum(
                "ab,bs->as", self._across[low:high, low:high], self._mass[low:high]
            )
            for line in range(low, high):
                self._useful[line] = self._received(line, self._kind[line])
        self._cost = self._short(self._kind, self._useful, self._around)
        self._reached = self._reaches(pieces, lines, 0)
        self._lacking = self._lacks(self._reached, self._kind, 0, lines)
        self._flat = self._kind * self._steps + self._at
        self._add_up()

    def _add_up(self) -> None:
        self._cost_of_all, self._lacking_of_all = float(self._cost.sum()), float(self._lacking.sum())

    @property
    def cost(self) -> float:
        """[h/year] of all trees' missing pollen and donors."""
        return self._cost_of_all + self._lacking_of_all

    def change(
        self, first: int, last: int, places: slice, path_kind: Index, at_most: float
    ) -> PollenChange | None:
        """What `path_kind` at the path's `places`, all on lines `first` to `last` (exclusive), makes of the pollen.

        None where the trees of these lines alone, or all of them, would cost more than `at_most` [h/year].
        """
        kind = self._kind[first:last].copy()
        kind[self._line[places] - first, self._step[places]] = np.where(
            path_kind == EMPTY, self._kinds, path_kind
        )
        pieces = self._pieces(kind)
        potential, mass = self._sent(pieces, last - first)
        low, high = int(self._low[first]), int(self._high[last - 1])
        steps, count = self._steps, last - first
        across = self._across[first:last, low:high]
        around = self._around[low:high] + np.einsum("cs,cl->ls", mass - self._mass[first:last], across)
        more = (potential - self._potential[first:last]).reshape(count, -1)
        own = (kind * steps + self._at).ravel()
        there = slice(first - low, last - low)
        taken = np.take(self._potential[low:high].reshape(high - low, -1), own, axis=1)
        taken[there] += np.take(more, own, axis=1)
        useful_here = np.einsum("lcs,cl->cs", taken.reshape(high - low, count, steps), across)
        cost_here = self._short(kind, useful_here, around[there])
        beyond = self._cost_of_all - float(self._cost[low:high].sum())
        if beyond + float(cost_here.sum()) > at_most:
            return None
        given = np.take(more, self._flat[low:high].ravel(), axis=1).reshape(count, high - low, steps)
        useful = self._useful[low:high] + np.einsum("cls,cl->ls", given, across)
        useful[there] = useful_here
        nearby = self._kind[low:high].copy()
        nearby[there] = kind
        cost = self._short(nearby, useful, around)
        if beyond + float(cost.sum()) > at_most:
            return None
        return PollenChange(first, last, low, high, kind, pieces, potential, mass, useful, around, cost)

    def cost_of(self, change: PollenChange) -> float:
        """[h/year] of all trees' missing pollen once changed; donors are :meth:`donors_of`."""
        return float(self._cost_of_all - self._cost[change.low : change.high].sum() + change.cost.sum())

    def donors_of(self, change: PollenChange) -> float:
        """[h/year] of all trees that have but one donor in reach, or none, once changed."""
        first, last = change.first, change.last
        change.reached = self._reaches(change.pieces, last - first, first)
        low = max(int(self._block_first[first]), first - self._deepest)
        high = min(int(self._block_end[last - 1]), last + self._deepest)
        bits = self._reached
        kept = bits[:, first:last].copy()
        bits[:, first:last] = change.reached
        kind = self._kind[low:high].copy()
        kind[first - low : last - low] = change.kind
        change.lacking = self._lacks(bits, kind, low, high)
        bits[:, first:last] = kept
        change.lacking_low = low
        return float(self._lacking_of_all - self._lacking[low:high].sum() + change.lacking.sum())

    def take(self, change: PollenChange) -> None:
        """Makes a change the planting held."""
        if change.lacking is None or change.reached is None:
            self.donors_of(change)
        assert change.lacking is not None
        assert change.reached is not None
        first, last, low, high = change.first, change.last, change.low, change.high
        self._kind[first:last] = change.kind
        self._potential[first:last] = change.potential
        self._mass[first:last] = change.mass
        self._useful[low:high] = change.useful
        self._around[low:high] = change.around
        self._cost[low:high] = change.cost
        self._reached[:, first:last] = change.reached
        self._lacking[change.lacking_low : change.lacking_low + len(change.lacking)] = change.lacking
        self._flat[first:last] = change.kind * self._steps + self._at
        self._add_up()

    def wanting(self) -> tuple[Index, Index]:
        """(line, step) of the trees short of pollen or of a second donor."""
        short = 1 - self._useful * self._inverse_need[self._kind] / np.maximum(self._around, 1e-9)
        line, step = np.nonzero(((short > 0) | (self._lacking > 0)) & (self._kind < self._kinds))
        return line, step

    def _sent(self, pieces: Pieces, lines: int) -> tuple[Array, Array]:
        """Each line's potential (lines, kinds + 1, steps), and all its pollen (lines, steps), from its own trees."""
        steps = self._steps
        potential = np.zeros((lines, self._kinds + 1, steps))
        mass = np.zeros((lines, steps))
        line, start, stop, what = pieces
        spread = self._upto[stop] - self._upto[start]
        edges = np.searchsorted(line, np.arange(lines + 1))
        for number in range(lines):
            here = slice(edges[number], edges[number + 1])
            if here.stop > here.start:
                own = spread[here]
                potential[number, :-1] = self._match[:, what[here]] @ own
                mass[number] = own.sum(axis=0)
        return potential, mass

    def _pieces(self, kind: Index) -> Pieces:
        """Stretches of one cultivar on each line: line, first step, step after the last, cultivar."""
        steps = kind.shape[1]
        begins = np.ones(kind.shape, dtype=bool)
        begins[:, 1:] = kind[:, 1:] != kind[:, :-1]
        at = np.flatnonzero(begins)
        line, start = at // steps, at % steps
        stop = np.append(at[1:], kind.size) - line * steps  # every line begins a stretch
        what = kind.ravel()[at]
        planted = what < self._kinds
        return line[planted], start[planted], stop[planted], what[planted]

    def _received(self, line: int, kind: Index) -> Array:
        low, high = int(self._low[line]), int(self._high[line])
        given = self._potential[low:high][:, kind, self._at]
        return np.asarray(np.einsum("ls,l->s", given, self._across[line, low:high]))

    def _short(self, kind: Index, useful: Array, around: Array) -> Array:
        """[h/year] by line for the pollen its trees lack."""
        short = 1 - useful * self._inverse_need[kind] / np.maximum(around, 1e-9)
        np.maximum(short, 0.0, out=short)
        short *= self._worth[kind]
        prices = self._prices
        crop, branches = short.sum(axis=1), np.minimum(WORST * short, 1.0).sum(axis=1)
        return np.asarray(self._pressing * (prices.tree * crop + prices.bouquet * branches))

    def _reaches(self, pieces: Pieces, lines: int, first: int) -> Bits:
        """(words, lines, lines away, steps) the cultivars of each line that are within reach of a tree there."""
        found = np.zeros((self._words, lines, self._deepest + 1, self._steps), dtype=np.uint64)
        line, start, stop, what = pieces
        if not line.size:
            return found
        window = self._window[line + first][:, :, None]
        at = self._at[None, None]
        inside = (at >= start[:, None, None] - window) & (at < stop[:, None, None] + window) & (window >= 0)
        begins = np.flatnonzero(np.append(True, line[1:] != line[:-1]))
        there = line[begins]
        for word in range(self._words):
            bits = np.where(inside, self._bit[word, what][:, None, None], np.uint64(0))
            found[word, there] = np.bitwise_or.reduceat(bits, begins, axis=0)
        return found

    def _lacks(self, reached: Bits, kind: Index, low: int, high: int) -> Array:
        """[h/year] for donors missing, lines `low` to `high` by step; `kind` is of these lines, `reached` of all."""
        donors = np.zeros(kind.shape, dtype=np.int64)
        for word in range(self._words):
            about = reached[word][self._about[low:high], self._apart] & self._of_block[low:high]
            seen = np.bitwise_or.reduce(about, axis=1)
            donors += np.bitwise_count(seen & self._useful_bits[word, kind])
        missing = np.maximum(DONORS - donors, 0) * self._worth[kind]
        prices = self._prices
        each = prices.lone_donor * prices.tree + prices.bouquet
        return np.asarray(self._pressing * each * missing)


def _upto(steps: int) -> Array:
    """(steps + 1, steps) sum of the kernel at each step over all places of the line before the first index."""
    q = float(np.exp(-1 / pollination.TREES_ALONG))
    t = np.arange(steps + 1)[:, None] - 1 - np.arange(steps)[None]
    return np.asarray(
        np.where(t < 0, q ** np.maximum(-t, 0), 1 + q - q ** (np.maximum(t, 0) + 1.0)) / (1 - q)
    )
