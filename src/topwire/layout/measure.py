"""What a planted layout measures: its runs, and its walk beside that of other plantings."""

import numpy as np
import numpy.typing as npt

from topwire.layout.asked import LastLayout
from topwire.layout.findings import Ground, Move, Run, Walks
from topwire.layout.path import Path
from topwire.layout.planner import Planner
from topwire.layout.stand import EMPTY
from topwire.layout.walk import RowLines, picking_walk, reach

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]
Booleans = npt.NDArray[np.bool_]

RANDOM_PLANTINGS = 5
SEED = 7
EARLY = 0.2  # share of the trees that counts as early in bloom


def rows_of(ground: Ground) -> RowLines:
    rows = [row for block in ground.blocks for row in block.rows]
    gate = rows[0].start if ground.gate is None else ground.gate
    return RowLines(
        np.array([row.start for row in rows]),
        np.array([row.end for row in rows]),
        np.array([row.length for row in rows]),
        np.array(gate),
    )


def week_reach(ground: Ground, path: Path, placed: Index, ripe: Booleans) -> tuple[Array, Array]:
    trees = np.flatnonzero(placed >= 0)
    rows = sum(len(block.rows) for block in ground.blocks)
    return reach(path.row_of[trees], path.along[trees], path.along[trees], ripe[placed[trees]], rows)


def season_walk(ground: Ground, path: Path, placed: Index, ripe: Booleans) -> float:
    return float(picking_walk(rows_of(ground), *week_reach(ground, path, placed, ripe)).sum())


def runs(ground: Ground, names: tuple[str, ...], placed: Index) -> tuple[Run, ...]:
    """Neighbouring trees of one cultivar in one row, in the order of the ground."""
    changed = (np.diff(placed) != 0) | (np.diff(ground.row) != 0) | (np.diff(ground.block) != 0)
    edges = np.flatnonzero(changed) + 1
    found = []
    for piece in np.split(np.arange(placed.size), edges):
        first, last = int(piece[0]), int(piece[-1])
        if placed[first] == EMPTY:
            continue
        block = ground.blocks[ground.block[first]]
        found.append(
            Run(
                block.name,
                block.rows[ground.row[first]].number,
                int(ground.place[first]),
                int(ground.place[last]),
                names[placed[first]],
            )
        )
    return tuple(found)


def compared_walks(
    ground: Ground, path: Path, placed: Index, new: Index, ripe: Booleans, planner: Planner | None
) -> Walks:
    """The season's walk, and that of the same trees planted otherwise; `new` are the places planted anew."""
    here = season_walk(ground, path, placed, ripe)
    least = least_walk(ground, placed, ripe)
    if planner is None:
        return Walks(here, here, here, here, least)
    random = np.random.default_rng(SEED)
    scattered, shuffled = [], []
    for _ in range(RANDOM_PLANTINGS):
        trial = placed.copy()
        trial[new] = random.permutation(placed[new])
        scattered.append(season_walk(ground, path, trial, ripe))
        kinds = random.permutation(np.flatnonzero(planner.kinds.trees > 0))
        shuffled.append(planner.walk(planner.laid(planner.in_order(kinds))))
    listed = planner.in_order(range(planner.kinds.trees.size))
    return Walks(
        here, planner.walk(planner.laid(listed)), float(np.mean(shuffled)), float(np.mean(scattered)), least
    )


def least_walk(ground: Ground, placed: Index, ripe: Booleans) -> float:
    """What no planting of these trees can walk less than over a season [m], (cultivars, weeks) `ripe`.

    In a week a row's walk is no shorter than its ripe trees stand apart, a round no shorter than out to the farthest
    of them and back: it is at best the n-th nearest place, for n ripe trees.
    """
    trees = np.bincount(placed[placed != EMPTY], minlength=ripe.shape[0])
    each_week = trees @ ripe
    closest = min((block.closest for block in ground.blocks), default=0.0)
    gate = rows_of(ground).gate
    away = np.concatenate([[0.0], np.sort(np.hypot(ground.x - gate[0], ground.y - gate[1]))])
    return float(np.maximum(each_week * closest, 2 * away[each_week]).sum())


def early_above(ground: Ground, placed: Index, bloom: Array) -> float:
    """How much higher the trees that flower first stand than the mean tree of their block [m]; 0 where none differ.

    bloom : (cultivars,) [day of the year] of first bloom, NaN where not known.
    """
    there = np.flatnonzero(placed != EMPTY)
    there = there[np.isfinite(bloom[placed[there]])]
    if not there.size:
        return 0.0
    above = ground.height[there].copy()
    for block in np.unique(ground.block[there]):
        own = ground.block[there] == block
        above[own] -= above[own].mean()
    early = bloom[placed[there]] <= np.quantile(bloom[placed[there]], EARLY)
    return float(above[early].mean())


def moves(ground: Ground, names: tuple[str, ...], placed: Index, last: LastLayout | None) -> tuple[Move, ...]:
    """Where another cultivar stands than in the last layout."""
    if last is None:
        return ()
    then = {
        (block, int(row), int(place)): name
        for block, row, place, name in zip(last.block, last.row, last.place, last.cultivar, strict=True)
    }
    found: list[Move] = []
    for index, kind in enumerate(placed):
        address = ground.address(index)
        was = then.get((address.block, address.row, address.place), "")
        now = names[kind] if kind != EMPTY else ""
        if was == now:
            continue
        before = found[-1] if found else None
        row = (address.block, address.row, address.place)
        if before and (before.was, before.now) == (was, now) and row == _after(before):
            found[-1] = Move(before.first, address.place, was, now)
        else:
            found.append(Move(address, address.place, was, now))
    return tuple(found)


def _after(move: Move) -> tuple[str, int, int]:
    return move.first.block, move.first.row, move.last + 1
