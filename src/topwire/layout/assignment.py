"""Which cultivar stands where: runs along the rows, weighed for pollen, picking, care, frost, guests and story.

A planting is a sequence of runs (cultivar, number of trees) laid along the path through all free places, up one row
and down the next. Everything wanted is a term near 0 to 1, smaller being better; `search` finds the least weighted
sum.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from topwire.choice.pollination import USEFUL
from topwire.layout import pollen as pollination
from topwire.layout.walk import Rows, picking_walk, reach

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]
Booleans = npt.NDArray[np.bool_]
Order = tuple[tuple[int, int], ...]  # (kind, trees), one after the other

DONORS = 2  # useful donor cultivars wanted within reach of every tree
BAND, FAR = 24, 25  # [rows] looked at together, and beyond which pollen is below a thousandth
LOOKED_AT = np.linspace(0.0, 1.0, 5)  # trees of a run whose pollen is looked at in the search
CLOSELY = np.linspace(0.0, 1.0, 17)  # and at its end, lest a short stretch between them goes without
MARGIN = 1.1  # useful pollen aimed at, over the threshold: the search looks at sample trees and single donors' years
EVERY_TREE = 5.0  # what all trees' shortfall in the mean counts beside the worst tree's
LONGER = 5.0  # a walk longer than in catalogue order counts so many times more for its excess


@dataclass(frozen=True)
class Weights:
    """What a term counts. Pollen comes before everything; picking is the measure of the rest."""

    pollen: float = 20.0
    walk: float = 1.0
    runs: float = 2.0
    alike: float = 0.2
    frost: float = 0.2
    gate: float = 0.1
    heritage: float = 0.15


@dataclass(frozen=True)
class Terms:
    """One planting, measured. All dimensionless, 0 = as good as can be."""

    pollen: float
    walk: float
    runs: float
    alike: float
    frost: float
    gate: float
    heritage: float

    def total(self, weights: Weights) -> float:
        return float(sum(getattr(self, f.name) * getattr(weights, f.name) for f in fields(Terms)))


@dataclass(frozen=True)
class Trees:
    """Trees whose pollen is looked at: where they stand, what they are, and what is about them already.

    All (trees,): `line`, `step`, `block` as in :class:`Stand`; `useful` and `around`: useful and all pollen from the
    trees that stand already; `beside` (kinds, trees) cultivars that stand already within reach.
    """

    line: Index
    step: Index
    block: Index
    kind: Index
    useful: Array
    around: Array
    beside: Booleans


@dataclass(frozen=True)
class Stand:
    """The free places along the path, and what stands already.

    Arrays are (places,) along the path. `row` indexes `rows`; `line` numbers row lines across a block, `step` places
    along it, `block` keeps blocks apart; `along` [m] from the row's start; `last` is the path index after the last
    place of the unbroken stretch a place belongs to. `standing_low`, `standing_high` (rows, weeks) are the reach of
    the ripe trees that stand already; `standing_useful` (kinds, places) the useful pollen they give to a tree of each
    kind, `standing_around` (places,) all they give, `standing_beside` (kinds, places) who stands within reach;
    `watched` are standing trees that need pollen from the new ones. `row_spacing`, `tree_spacing` (blocks,) [m].
    """

    row: Index
    line: Index
    step: Index
    block: Index
    along: Array
    height: Array
    to_gate: Array
    last: Index
    rows: Rows
    standing_low: Array
    standing_high: Array
    standing_useful: Array
    standing_around: Array
    standing_beside: Booleans
    watched: Trees
    row_spacing: Array
    tree_spacing: Array

    @property
    def places(self) -> int:
        return int(self.row.size)


@dataclass(frozen=True)
class Kinds:
    """The cultivars to plant.

    trees : (kinds,) to plant; match : (kinds, kinds) donor, parent: overlap times compatible fraction that holds in
    nine years of ten; ripe : (kinds, weeks) picked in that week; vigour : (kinds,) of the tree, M.9 = 1; care :
    (kinds,) need of sprays and thinning, 0 to 1; bloom : (kinds,) [d] after the mean, favourite : (kinds,) 0 to 1;
    story : (kinds,) place in the story (the year), NaN for cultivars that are not part of it.
    """

    trees: Index
    match: Array
    ripe: Booleans
    vigour: Array
    care: Array
    bloom: Array
    favourite: Array
    story: Array


@dataclass(frozen=True)
class Segments:
    """Runs as they lie in rows: path indices [start, stop), kind, and position in the order they come from, (runs,)."""

    start: Index
    stop: Index
    kind: Index
    item: Index


class Planner:
    """A stand and its cultivars with everything that does not change from one planting to the next."""

    def __init__(
        self,
        stand: Stand,
        kinds: Kinds,
        *,
        shortest_run: int,
        weights: Weights,
        walk_scale: float | None = None,
    ) -> None:
        self.looked_at = LOOKED_AT
        self.every_run = True  # False: pollen is looked at more coarsely, for the search on large ground
        self.stand, self.kinds, self.weights = stand, kinds, weights
        self.shortest = np.minimum(shortest_run, np.maximum(kinds.trees, 1))
        steps = int(np.concatenate([stand.step, stand.watched.step]).max()) + 2
        lines = int(np.concatenate([stand.line, stand.watched.line]).max()) + 2
        q = math.exp(-1 / pollination.TREES_ALONG)
        t = np.arange(-steps, steps + 1)
        # sum of the kernel over all places up to t steps to the right of a tree
        self._upto: Array = np.where(t < 0, q ** np.maximum(-t, 0), 1 + q - q ** (np.maximum(t, 0) + 1.0)) / (
            1 - q
        )
        self._steps = steps
        self._useful = kinds.match >= USEFUL
        self._across = np.exp(-np.arange(lines) / pollination.ROWS_ACROSS)
        self.margin = MARGIN  # useful pollen aimed at, over the threshold
        self._heights = np.concatenate(([0.0], np.cumsum(stand.height - stand.height.mean())))
        self._gates = np.concatenate(([0.0], np.cumsum(stand.to_gate)))
        self._frost = _range(stand.height - stand.height.mean(), kinds.bloom, kinds.trees)
        self._gate = _range(stand.to_gate, kinds.favourite, kinds.trees)
        self._fewest_runs = int((kinds.trees > 0).sum())
        spread = np.abs(kinds.vigour[:, None] - kinds.vigour[None]) + np.abs(
            kinds.care[:, None] - kinds.care[None]
        )
        self._unlike = spread / max(float(spread.mean()), 1e-9)
        self._story = np.flatnonzero(np.isfinite(kinds.story) & (kinds.trees > 0))
        self.walk_scale = walk_scale or max(
            self.walk(self.lay(self.in_order(np.arange(kinds.trees.size)))), 1e-9
        )

    def in_order(self, kinds: Sequence[int] | Index) -> Order:
        """Every cultivar in one run, in the order given."""
        return tuple((int(k), int(self.kinds.trees[k])) for k in kinds if self.kinds.trees[k] > 0)

    def lay(self, order: Order) -> Segments:
        """Runs laid along the path; spare places are spent so that a row's end leaves no stump of a run."""
        last = self.stand.last
        spare = self.stand.places - sum(count for _, count in order)
        found: list[tuple[int, int, int, int]] = []
        at = 0
        for item, (kind, count) in enumerate(order):
            least = int(self.shortest[kind])
            while count > 0:
                room = int(last[at]) - at
                if room < count:
                    if room < least and spare >= room:
                        spare -= room
                        at += room
                        continue
                    missing = least - (count - room)
                    if missing > 0 and spare >= missing and room - missing >= least:
                        found.append((at, at + room - missing, kind, item))
                        spare -= missing
                        count -= room - missing
                        at += room
                        continue
                taken = min(room, count)
                found.append((at, at + taken, kind, item))
                at += taken
                count -= taken
        table = np.array(found, dtype=np.int64).reshape(-1, 4)
        return Segments(table[:, 0], table[:, 1], table[:, 2], table[:, 3])

    def kind_of(self, runs: Segments) -> Index:
        """(places,) kind along the path, -1 = empty."""
        kind = np.full(self.stand.places, -1, dtype=np.int64)
        for start, stop, this in zip(runs.start, runs.stop, runs.kind, strict=True):
            kind[start:stop] = this
        return kind

    def walk_term(self, runs: Segments) -> float:
        """Walk beside that of the catalogue order, with a surcharge where it is longer."""
        share = self.walk(runs) / self.walk_scale
        return share + LONGER * max(0.0, share - 1.0)

    def walk(self, runs: Segments) -> float:
        """Picking walk of the season [m], the standing trees' included."""
        stand = self.stand
        first, last = stand.along[runs.start], stand.along[runs.stop - 1]
        ripe = self.kinds.ripe[runs.kind]
        near, far = np.minimum(first, last), np.maximum(first, last)
        low, high = reach(stand.row[runs.start], near, far, ripe, len(stand.standing_low))
        low, high = np.minimum(low, stand.standing_low), np.maximum(high, stand.standing_high)
        return float(picking_walk(stand.rows, low, high).sum())

    def cheap_terms(self, runs: Segments) -> dict[str, float]:
        """All terms but pollen and walk."""
        kinds, size = self.kinds, runs.stop - runs.start
        short = int((size < self.shortest[runs.kind]).sum())
        # runs broken by a row's end cannot be had fewer, so only stumps and split cultivars count
        pieces = 1 + np.count_nonzero(runs.kind[1:] != runs.kind[:-1]) if runs.kind.size else 0
        extra = (pieces - self._fewest_runs) / max(self._fewest_runs, 1)
        before, after = runs.kind[:-1], runs.kind[1:]
        changed = before != after
        alike = float(self._unlike[before[changed], after[changed]].mean()) if changed.any() else 0.0
        height = self._heights[runs.stop] - self._heights[runs.start]
        gate = self._gates[runs.stop] - self._gates[runs.start]
        return {
            "runs": 0.1 * short + 0.5 * extra,
            "alike": alike,
            "frost": _scaled(float((kinds.bloom[runs.kind] * height).sum()), self._frost),
            "gate": _scaled(float((kinds.favourite[runs.kind] * gate).sum()), self._gate),
            "heritage": self._out_of_story(runs.kind),
        }

    def sampled(self, runs: Segments) -> tuple[Array, Index]:
        """Useful share of pollen in nine years of ten, and useful donor cultivars within reach.

        At five trees of every run, from first to last (or of every stretch of a cultivar, see `every_run`), then at
        the standing trees that are watched: (trees,) each.
        """
        stand, trees = self.stand, self._sample(runs)
        share, donors = np.empty(trees.kind.size), np.empty(trees.kind.size, dtype=np.int64)
        line, block = stand.line[runs.start], stand.block[runs.start]
        # trees in bands of rows, each with the runs near enough to matter: large ground is mostly far away
        band = trees.block * (self._across.size // BAND + 1) + trees.line // BAND
        for number in np.unique(band):
            here = np.flatnonzero(band == number)
            lines = trees.line[here]
            near = (block == trees.block[here[0]]) & (line >= lines.min() - FAR) & (line <= lines.max() + FAR)
            share[here], donors[here] = self._received(trees, here, runs, np.flatnonzero(near))
        return share, donors

    def _received(self, trees: Trees, here: Index, runs: Segments, near: Index) -> tuple[Array, Index]:
        """Useful share and donors of the trees `here` from the runs `near`, all of one block."""
        stand, number = self.stand, trees.block[here[0]]
        start, stop, kind = runs.start[near], runs.stop[near], runs.kind[near]
        low, high = np.sort(np.stack([stand.step[start], stand.step[stop - 1]]), axis=0)
        lines = np.abs(trees.line[here][:, None] - stand.line[start][None])
        match = self.kinds.match[kind[None, :], trees.kind[here][:, None]]
        step = trees.step[here][:, None]
        to_high, to_low = high[None] - step, low[None] - step
        spread = self._upto[to_high + self._steps] - self._upto[to_low - 1 + self._steps]
        spread *= self._across[lines]
        share = ((spread * match).sum(axis=1) + trees.useful[here]) / (
            spread.sum(axis=1) + trees.around[here]
        )
        along = np.maximum(np.maximum(to_low, -to_high), 0) * stand.tree_spacing[number]
        across = lines * stand.row_spacing[number]
        reached = (match >= USEFUL) & (along**2 + across**2 <= pollination.REACH**2)
        donors = reached.astype(np.float32) @ np.eye(self.kinds.trees.size, dtype=np.float32)[kind] > 0
        donors |= (trees.beside[:, here] & self._useful[:, trees.kind[here]]).T
        return np.asarray(share), donors.sum(axis=1)

    def _sample(self, runs: Segments) -> Trees:
        stand, watched = self.stand, self.stand.watched
        if self.every_run:
            at = (runs.start[None] + within(runs, self.looked_at)).ravel()
            kind = np.tile(runs.kind, self.looked_at.size)
        else:
            at, kind = self._along_stretches(runs)
        return Trees(
            np.concatenate([stand.line[at], watched.line]),
            np.concatenate([stand.step[at], watched.step]),
            np.concatenate([stand.block[at], watched.block]),
            np.concatenate([kind, watched.kind]),
            np.concatenate([stand.standing_useful[kind, at], watched.useful]),
            np.concatenate([stand.standing_around[at], watched.around]),
            np.concatenate([stand.standing_beside[:, at], watched.beside], axis=1),
        )

    @staticmethod
    def _along_stretches(runs: Segments) -> tuple[Index, Index]:
        """Five trees of every stretch of a cultivar, over row ends, from its first to its last; and their kinds."""
        begins = np.flatnonzero(np.concatenate([[True], runs.kind[1:] != runs.kind[:-1]]))
        size = runs.stop - runs.start
        before = np.concatenate([[0], np.cumsum(size)])
        first, count = before[begins], np.diff(np.append(before[begins], before[-1]))
        tree = (first[None] + np.rint(LOOKED_AT[:, None] * (count[None] - 1)).astype(np.int64)).ravel()
        run = np.searchsorted(before, tree, side="right") - 1
        at = runs.start[run] + tree - before[run]
        return at, runs.kind[run]

    def pollen_term(self, runs: Segments) -> float:
        """How far the worst tree, and all trees in the mean, fall short of the pollen and the donors aimed at."""
        missing = self.missing(runs)
        return float(missing.max() + EVERY_TREE * missing.mean())

    def missing(self, runs: Segments) -> Array:
        """How far each tree of :meth:`sampled` falls short, 0 = not at all."""
        share, donors = self.sampled(runs)
        short = np.clip(1 - share / (self.margin * pollination.threshold()), 0.0, None)
        return np.asarray(short + 0.5 * np.clip(DONORS - donors, 0, None))

    def satisfied(self, order: Order) -> bool:
        """No tree looked at is short of pollen, and the walk is no longer than in catalogue order."""
        runs = self.lay(order)
        return self.pollen_term(runs) == 0.0 and self.walk(runs) <= self.walk_scale

    def donors_of(self, kind: int) -> Index:
        """Useful donors of a cultivar, among those to be planted."""
        return np.flatnonzero(self._useful[:, kind] & (self.kinds.trees > 0))

    def measure(self, order: Order) -> tuple[Terms, Segments]:
        runs = self.lay(order)
        terms = Terms(
            pollen=self.pollen_term(runs),
            walk=self.walk_term(runs),
            **self.cheap_terms(runs),
        )
        return terms, runs

    def worth(self, order: Order, *, at_most: float = math.inf) -> float:
        """Weighted sum of the terms; stops early, and returns inf, once it is sure to exceed `at_most`."""
        runs = self.lay(order)
        weights = self.weights
        total = sum(getattr(weights, name) * value for name, value in self.cheap_terms(runs).items())
        if total > at_most:
            return math.inf
        total += weights.walk * self.walk_term(runs)
        if total > at_most:
            return math.inf
        return float(total + weights.pollen * self.pollen_term(runs))

    def _out_of_story(self, kind: Index) -> float:
        if self._story.size < 2:
            return 0.0
        years = self.kinds.story[kind]
        told = np.isfinite(years)
        groups = int(told[0]) + int((told[1:] & ~told[:-1]).sum())
        order = years[told]
        backward = int((np.diff(order) < 0).sum())
        return (groups - 1 + backward) / (2 * (self._story.size - 1))


def within(runs: Segments, looked_at: Array) -> Index:
    """(looked at, runs) trees of each run before those whose pollen is looked at."""
    size = runs.stop - runs.start
    return np.rint(looked_at[:, None] * (size[None] - 1)).astype(np.int64)


def _range(place: Array, worth: Array, trees: Index) -> tuple[float, float]:
    """Least and greatest sum of place times worth over all ways to give places to trees (rearrangement inequality).

    Places left empty are worth nothing.
    """
    per_tree = np.sort(np.concatenate([np.repeat(worth, trees), np.zeros(place.size - int(trees.sum()))]))
    places = np.sort(place)
    return float((per_tree[::-1] * places).sum()), float((per_tree * places).sum())


def _scaled(value: float, bounds: tuple[float, float]) -> float:
    low, high = bounds
    return (value - low) / (high - low) if high - low > 1e-9 else 0.0
