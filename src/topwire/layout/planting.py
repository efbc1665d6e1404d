"""Who stands where: the choice laid out on the ground, tree by tree."""

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Catalogue
from topwire.choice.findings import Choice
from topwire.layout import pollen as pollination
from topwire.layout.assignment import Order, Planner, Stand, Trees, Weights
from topwire.layout.cast import Cast, cast_of, kinds_of, match_of, ripe_of, standing_kinds
from topwire.layout.path import Path, free_path, grid_of
from topwire.layout.projection import to_degrees
from topwire.layout.result import Ground, Layout
from topwire.layout.search import MORE, Planting, plan_runs
from topwire.layout.verdict import (
    bound,
    compared_walks,
    free_notices,
    method_notices,
    pollen_notices,
    rows_of,
    runs,
    season_walk,
    vigour_notices,
    week_reach,
)
from topwire.notices import Notice, warning
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.values.progress import Progress, silent

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]

SEED = 20_000
TRIES = 4000  # plantings looked at up to LARGE trees
TRIES_LARGE = (3000, 1000)  # beyond: first with pollen at few trees, then at every run
LARGE = 5000  # [trees]
WIDEST_BLOCK = 24.0  # [m] of one cultivar, across the rows (POLL-WAFLER)
FROST_SPAN = 4.0  # [m] of height from which cold air counts in full: a modelling choice, no source


def lay_out(
    plan: Plan,
    catalogue: Catalogue,
    seasons: PlaceSeasons,
    ground: Ground,
    choice: Choice,
    *,
    progress: Progress = silent,
) -> Layout:
    """Every chosen tree given its place; standing trees keep theirs.

    Deterministic: the search is seeded, and equal plans give equal layouts.
    """
    notices: list[Notice] = []
    cast = cast_of(seasons, ground, choice)
    standing = standing_kinds(ground, cast)
    placed = standing.copy()
    new = cast.new.copy()
    gaps, wide_gaps = _fill_gaps(ground, cast, placed, new, plan.trees.shortest_run)
    free = int((placed < 0).sum())
    if new.sum() > free:
        notices.append(
            warning(
                "layout",
                f"{int(new.sum())} trees are to be planted and {free} places are free; the last ones find no place.",
                "Lower trees.total or enlarge the ground.",
            )
        )
        new = _cut_down(new, free)
    match = match_of(catalogue, seasons, cast)
    path = free_path(ground, placed)
    search: tuple[Planting, Planner] | None = None
    if new.sum() > 0:
        progress("laying out runs along the rows")
        planner = _planner(plan, catalogue, ground, choice, cast, new, placed, match, path)
        starts = _starts(planner, ground, cast)
        coarse, tries = (0, TRIES) if new.sum() <= LARGE else TRIES_LARGE
        found = plan_runs(
            planner,
            seed=SEED,
            tries=tries,
            coarse_tries=coarse,
            more=0 if coarse else MORE,
            starts=starts,
            progress=progress,
        )
        placed[path.place] = found.kind
        search = (found, planner)
    gaps += tuple(_told_gap(ground, cast, placed, gap) for gap in wide_gaps)
    progress("checking every tree's pollen")
    shares = _shares(ground, placed, match)
    return _result(
        plan, catalogue, ground, choice, cast, placed, standing, match, shares, gaps, search, notices
    )


def _fill_gaps(
    ground: Ground, cast: Cast, placed: Index, new: Index, shortest_run: int
) -> tuple[tuple[str, ...], list[Index]]:
    """Losses between standing trees of a row: filled with the neighbours' cultivar where it is still planted.

    Changes `placed` and `new`. Returns what to tell of them, and the gaps wide enough for a run of anything, which are
    left to the search.
    """
    told: list[str] = []
    wide: list[Index] = []
    rows = np.stack([ground.block, ground.row], axis=1)
    edges = np.flatnonzero((np.diff(rows, axis=0) != 0).any(axis=1)) + 1
    for row in np.split(np.arange(placed.size), edges):
        stands = row[placed[row] >= 0]
        if stands.size < 2:
            continue
        neighbours = placed.copy()
        inner = row[(row > stands[0]) & (row < stands[-1]) & (placed[row] < 0)]
        for stretch in np.split(inner, np.flatnonzero(np.diff(inner) > 1) + 1):
            if stretch.size >= shortest_run:
                wide.append(stretch)
                continue
            for at in stretch:
                kind = int(neighbours[stands[int(np.argmin(np.abs(stands - at)))]])
                says = f"{ground.address(int(at))}: a gap between standing trees; {cast.names[kind]} should stand there"
                if new[kind] > 0:
                    placed[at], new[kind] = kind, new[kind] - 1
                    told.append(says + ", and one of the new trees does.")
                else:
                    told.append(says + "; none is among the trees to plant, so it stays empty.")
    return tuple(told), wide


def _told_gap(ground: Ground, cast: Cast, placed: Index, gap: Index) -> str:
    """What stands in a wide gap once all is laid out."""
    kinds = list(dict.fromkeys(cast.names[kind] for kind in placed[gap] if kind >= 0))
    where = f"{ground.address(int(gap[0]))} to {ground.place[gap[-1]]}: a gap between standing trees"
    return f"{where}; {' and '.join(kinds)} will stand there." if kinds else f"{where}; it stays empty."


def _cut_down(new: Index, free: int) -> Index:
    """No more trees than there are free places: the largest plantings give up theirs first."""
    kept = new.copy()
    while kept.sum() > free:
        kept[int(np.argmax(kept))] -= 1
    return kept


def _planner(
    plan: Plan,
    catalogue: Catalogue,
    ground: Ground,
    choice: Choice,
    cast: Cast,
    new: Index,
    placed: Index,
    match: Array,
    path: Path,
) -> Planner:
    years = match.shape[0]
    steady = pollination.dependable(match.reshape(years, -1)).reshape(match.shape[1:])
    by_kind, around = _fields(ground, placed, len(cast.names))
    ripe = ripe_of(cast)
    rows = rows_of(ground)
    low, high = week_reach(ground, path, placed, ripe)
    beside = _beside(ground, placed, len(cast.names))
    useful = steady.T @ by_kind
    watched = _ends_of_runs(ground, placed)
    here = path.place
    stand = Stand(
        row=path.row_of[here],
        line=path.line[here],
        step=path.step[here],
        block=ground.block[here],
        along=path.along[here],
        height=ground.height[here],
        to_gate=np.hypot(ground.x[here] - rows.gate[0], ground.y[here] - rows.gate[1]),
        last=path.last,
        rows=rows,
        standing_low=low,
        standing_high=high,
        standing_useful=useful[:, here],
        standing_around=around[here],
        standing_beside=beside[:, here],
        watched=Trees(
            path.line[watched],
            path.step[watched],
            ground.block[watched],
            placed[watched],
            useful[placed[watched], watched],
            around[watched],
            beside[:, watched],
        ),
        row_spacing=np.array([block.row_spacing for block in ground.blocks]),
        tree_spacing=np.array([block.tree_spacing for block in ground.blocks]),
    )
    kinds = kinds_of(plan, catalogue, choice, cast, new, steady, ripe)
    span = float(np.ptp(stand.height)) if stand.places else 0.0
    weights = replace(Weights(), frost=Weights().frost * min(1.0, span / FROST_SPAN))
    return Planner(stand, kinds, shortest_run=plan.trees.shortest_run, weights=weights)


def _starts(planner: Planner, ground: Ground, cast: Cast) -> list[Order]:
    """Orders the search begins from: by harvest and as the catalogue lists them, whole and in parts."""
    weeks = [(sum(span) / 2 if span else 99.0) for span in cast.weeks]
    kinds = [kind for kind in range(len(weeks)) if planner.kinds.trees[kind] > 0]
    by_harvest = sorted(kinds, key=lambda kind: (weeks[kind], kind))
    block = max(ground.blocks, key=lambda item: item.area)
    per_row = float(np.mean([row.places for row in block.rows])) if block.rows else 1.0
    most = max(planner.shortest.max() * 2, int(WIDEST_BLOCK / block.row_spacing * per_row))
    orders = [planner.in_order(listed) for listed in (by_harvest, by_harvest[::-1], kinds)]
    for together in (2, 3):
        orders.append(_interleaved(planner.in_order(by_harvest), most, together))
    return orders


def _interleaved(order: Order, most: int, together: int) -> Order:
    """Plantings wider than `most` trees in parts, those of `together` neighbours taking turns.

    No tree of a part is then further from another cultivar than half a part.
    """
    found: list[tuple[int, int]] = []
    for first in range(0, len(order), together):
        parts = [
            [(kind, len(part)) for part in np.array_split(np.arange(count), -(-count // most))]
            for kind, count in order[first : first + together]
        ]
        deepest = max(len(pieces) for pieces in parts)
        found += [pieces[turn] for turn in range(deepest) for pieces in parts if turn < len(pieces)]
    return tuple(found)


def _beside(ground: Ground, placed: Index, kinds: int) -> npt.NDArray[np.bool_]:
    """(kinds, places) whether a standing tree of each cultivar is within reach of pollen."""
    from scipy.spatial import cKDTree

    xy = np.stack([ground.x, ground.y], axis=1)
    near = np.zeros((kinds, placed.size), dtype=bool)
    for kind in np.unique(placed[placed >= 0]):
        away, _ = cKDTree(xy[placed == kind]).query(xy, k=1)
        near[kind] = away <= pollination.REACH
    return near


def _ends_of_runs(ground: Ground, placed: Index) -> Index:
    """First, middle and last tree of every run that stands already, as places."""
    changed = (np.diff(placed) != 0) | (np.diff(ground.row) != 0) | (np.diff(ground.block) != 0)
    pieces = np.split(np.arange(placed.size), np.flatnonzero(changed) + 1)
    ends = [piece[[0, len(piece) // 2, -1]] for piece in pieces if placed[piece[0]] >= 0]
    return np.unique(np.concatenate(ends)) if ends else np.zeros(0, dtype=np.int64)


def _fields(ground: Ground, kind: Index, kinds: int) -> tuple[Array, Array]:
    """Pollen by distance at every place, block by block; between blocks, over two headlands, none is counted."""
    by_kind = np.zeros((kinds, kind.size))
    total = np.zeros(kind.size)
    line, step = grid_of(ground)
    for block in range(len(ground.blocks)):
        here = np.flatnonzero(ground.block == block)
        if here.size:
            by_kind[:, here], total[here] = pollination.fields(line[here], step[here], kind[here], kinds)
    return by_kind, total


def _shares(ground: Ground, placed: Index, match: Array) -> Array:
    by_kind, total = _fields(ground, placed, match.shape[1])
    return pollination.useful_pollen(by_kind, total, placed, match)


def _result(
    plan: Plan,
    catalogue: Catalogue,
    ground: Ground,
    choice: Choice,
    cast: Cast,
    placed: Index,
    standing: Index,
    match: Array,
    shares: Array,
    gaps: tuple[str, ...],
    search: tuple[Planting, Planner] | None,
    notices: list[Notice],
) -> Layout:
    threshold = pollination.threshold()
    there = placed >= 0
    steady = np.zeros(placed.size)
    steady[there] = pollination.dependable(shares[:, there]) / threshold
    good = (shares[:, there] >= threshold).mean(axis=0) if there.any() else np.ones(1)
    donors = pollination.donors_in_reach(np.stack([ground.x, ground.y], axis=1), placed, match)
    longitude, latitude = to_degrees(
        ground.x, ground.y, origin=(ground.origin_longitude, ground.origin_latitude)
    )
    path = free_path(ground, np.full(placed.size, -1))
    ripe = ripe_of(cast)
    walks = compared_walks(ground, path, placed, standing, ripe, search)
    year = np.where(standing >= 0, ground.standing_year, np.where(there, plan.years.planting, 0))
    notices += pollen_notices(plan, ground, cast, placed, steady, donors)
    notices += vigour_notices(plan, catalogue, ground, cast, placed, standing)
    notices += free_notices(ground, placed)
    notices += method_notices(search)
    return Layout(
        cultivars=cast.names,
        cultivar=placed,
        rootstock=cast.stocks,
        year_planted=year.astype(np.int64),
        standing=standing >= 0,
        longitude=longitude,
        latitude=latitude,
        along_row=path.along,
        pollen=steady,
        donors_in_reach=donors,
        runs=runs(ground, cast, placed),
        picking_walk=season_walk(ground, path, placed, ripe),
        picking_walk_random=walks[0],
        picking_walk_catalogue=walks[1],
        bound=bound(search, ground, placed, ripe),
        objective=search[0].objective if search else 0.0,
        gaps=gaps,
        notices=tuple(notices),
        picking_walk_random_runs=walks[2],
        pollen_threshold=threshold,
        pollen_good_years=float(good.min()),
        terms={} if search is None else {key: float(value) for key, value in vars(search[0].terms).items()},
        tried=search[0].tried if search else 0,
        exact=search[0].exact if search else True,
    )
