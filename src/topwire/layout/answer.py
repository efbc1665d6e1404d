"""Who stands where: the choice laid out on the ground, tree by tree."""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from topwire.layout import pollen as pollination
from topwire.layout.asked import LayoutQuestion
from topwire.layout.findings import Gap, Ground, Layout
from topwire.layout.frozen import Frozen, keep_frozen
from topwire.layout.measure import compared_walks, early_above, moves, runs
from topwire.layout.path import Path, free_path, grid_of
from topwire.layout.planner import Planner
from topwire.layout.pollen_field import DONORS
from topwire.layout.projection import to_degrees
from topwire.layout.row_ends import toward_starts
from topwire.layout.search import (
    MANY,
    REPAIR,
    STAGES,
    STAGES_OF_MANY,
    STAYING,
    TIDY,
    FoundPlanting,
    Stage,
    plan_runs,
)
from topwire.layout.setting import Cast, before_of, cast_of, kinds_of, prices_of, stand_of
from topwire.layout.stand import EMPTY
from topwire.layout.starts import starting_plantings
from topwire.layout.sureness import sureness
from topwire.layout.telling import layout_notices
from topwire.values.progress import Progress, silent

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]

SEED = 20_000
MARGIN = 1.1  # useful pollen searched for, over what is enough: the search adds up single donors' years
REPAIRS = 4  # times the search is taken up again where a tree turns out short in the years as they were
MORE = 1.08  # times the pollen then wanted for the cultivars that were short
INSISTENT, PRESSING = 2.5, 10.0  # times a lack of pollen counts in the search, and in its repair


@dataclass(frozen=True)
class _Found:
    """A planting with what was measured of it."""

    placed: Index
    shares: Array
    planting: FoundPlanting | None
    planner: Planner | None


def lay_out(asked: LayoutQuestion, progress: Progress = silent, *, seed: int = SEED) -> Layout:
    """Every chosen tree given its place; standing trees keep theirs.

    Deterministic: the search is seeded, and equal questions give equal layouts.
    """
    ground = asked.ground
    cast = cast_of(asked)
    placed = cast.standing.copy()
    new = np.array([row.trees for row in asked.cultivars], dtype=np.int64)
    gaps, wide_gaps = _fill_gaps(ground, cast, placed, new, asked.shortest_run)
    frozen = None
    if asked.frozen:
        frozen = keep_frozen(ground, asked.frozen, before_of(ground, asked.before, cast), placed, new)
    kept_empty = _kept_empty(asked, frozen, placed)
    free = int(((placed == EMPTY) & ~kept_empty).sum())
    homeless = max(0, int(new.sum()) - free)
    new = _cut_down(new, free)
    found = _planted(asked, cast, placed, kept_empty, new, seed, progress)
    gaps += tuple(_wide_gap(ground, cast, found.placed, gap) for gap in wide_gaps)
    progress("every tree's pollen, year by year")
    return _result(asked, cast, found, gaps, homeless, frozen)


def _kept_empty(asked: LayoutQuestion, frozen: Frozen | None, placed: Index) -> npt.NDArray[np.bool_]:
    """(places,) frozen places that were empty in the last layout."""
    if frozen is None or asked.before is None:
        return np.zeros(placed.size, dtype=bool)
    return np.asarray(frozen.places & (placed == EMPTY))


def _planted(
    asked: LayoutQuestion,
    cast: Cast,
    placed: Index,
    kept_empty: npt.NDArray[np.bool_],
    new: Index,
    seed: int,
    progress: Progress,
) -> _Found:
    ground = asked.ground
    if not new.sum():
        return _Found(placed, _shares(ground, placed, cast), None, None)
    progress("laying out runs along the rows")
    path = free_path(ground, np.where(kept_empty, 0, placed))
    need = np.full(new.size, MARGIN * pollination.threshold())
    planner = Planner(
        stand_of(asked, cast, placed, path), kinds_of(asked, cast, new), prices_of(asked), need=need
    )
    planner.insist(need, INSISTENT)
    stages: tuple[Stage, ...] = STAGES if planner.stand.places <= MANY else STAGES_OF_MANY
    starts = starting_plantings(planner, seed=seed, most=stages[0].kept)
    if planner.has_last:
        stages = () if asked.unchanged else STAYING
    planting = plan_runs(planner, seed=seed, starts=starts, stages=stages, progress=progress)
    looked_at = planting.tried
    best = _with(placed, path, planting.kind)
    shares = _shares(ground, best, cast)
    lacking = _lacking(ground, best, shares, cast)
    for number in range(REPAIRS):
        if not lacking.any() or planting.exact or asked.unchanged:
            break
        progress(f"repairing the pollen of {int(lacking.sum())} trees")
        need[np.unique(best[(best != EMPTY) & (_steady(best, shares) < 1.0)])] *= MORE
        planner.insist(need, PRESSING)
        again = plan_runs(planner, seed=seed + 1 + number, starts=[planting.kind], stages=(REPAIR,))
        looked_at += again.tried
        trial = _with(placed, path, again.kind)
        trial_shares = _shares(ground, trial, cast)
        trial_lacking = _lacking(ground, trial, trial_shares, cast)
        if trial_lacking.sum() < lacking.sum():
            planting, best, shares, lacking = again, trial, trial_shares, trial_lacking
    if not (planting.exact or asked.unchanged):
        # what insisting on pollen has left behind at row ends and between runs is tidied, where no tree loses by it
        planner.insist(need, INSISTENT)
        again = plan_runs(planner, seed=seed + REPAIRS + 1, starts=[planting.kind], stages=(TIDY,))
        looked_at += again.tried
        trial = _with(placed, path, again.kind)
        trial_shares = _shares(ground, trial, cast)
        if _lacking(ground, trial, trial_shares, cast).sum() <= lacking.sum():
            planting, best, shares = again, trial, trial_shares
    planner.insist(np.full(new.size, MARGIN * pollination.threshold()), 1.0)
    if not planner.has_last:
        planting, best, shares = _closed_up(ground, cast, placed, path, planner, planting, shares)
    planner.hold(planting.kind)
    measured = FoundPlanting(planting.kind, planner.terms(), planting.exact, looked_at)
    return _Found(best, shares, measured, planner)


def _closed_up(
    ground: Ground,
    cast: Cast,
    placed: Index,
    path: Path,
    planner: Planner,
    planting: FoundPlanting,
    shares: Array,
) -> tuple[FoundPlanting, Index, Array]:
    """Free places moved from the starts of rows to their far ends, where the trellis that saves is worth it."""
    best = _with(placed, path, planting.kind)
    lacking = int(_lacking(ground, best, shares, cast).sum())
    planner.hold(planting.kind)
    total, row, moved = planner.total, -1, True
    while moved:
        moved = False
        for at, kind, metres in toward_starts(planner.stand, planting.kind):
            if at <= row:
                continue
            row = at
            planner.hold(kind)
            trial = _with(placed, path, kind)
            trial_shares = _shares(ground, trial, cast)
            worth = planner.total <= total + planner.prices.metre * metres
            if worth and _lacking(ground, trial, trial_shares, cast).sum() <= lacking:
                planting, best, shares = replace(planting, kind=kind), trial, trial_shares
                total, moved = planner.total, True
                break
    return planting, best, shares


def _with(placed: Index, path: Path, kind: Index) -> Index:
    whole = placed.copy()
    whole[path.place] = kind
    return whole


def _steady(placed: Index, shares: Array) -> Array:
    """(places,) useful pollen in the worst year of ten, 1 = enough; 0 at empty places."""
    steady = np.zeros(placed.size)
    there = placed != EMPTY
    steady[there] = pollination.dependable(shares[:, there]) / pollination.threshold()
    return steady


def _lacking(ground: Ground, placed: Index, shares: Array, cast: Cast) -> npt.NDArray[np.bool_]:
    """(places,) trees short of pollen in the years as they were, or of a second donor in reach."""
    xy = np.stack([ground.x, ground.y], axis=1)
    donors = pollination.donors_in_reach(xy, placed, cast.match, cast.outside)
    return np.asarray((placed != EMPTY) & ((_steady(placed, shares) < 1.0) | (donors < DONORS)))


def _fill_gaps(
    ground: Ground, cast: Cast, placed: Index, new: Index, shortest_run: int
) -> tuple[tuple[Gap, ...], list[Index]]:
    """Losses between standing trees of a row: filled with the neighbours' cultivar where it is still planted.

    Changes `placed` and `new`. Returns the gaps, and the places of those wide enough for a run of anything, which are
    left to the search.
    """
    found: list[Gap] = []
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
                name = cast.names[kind]
                planted = new[kind] > 0
                if planted:
                    placed[at], new[kind] = kind, new[kind] - 1
                found.append(
                    Gap(ground.address(int(at)), int(ground.place[at]), name, (name,) if planted else ())
                )
    return tuple(found), wide


def _wide_gap(ground: Ground, cast: Cast, placed: Index, gap: Index) -> Gap:
    """A wide gap once all is laid out."""
    kinds = tuple(dict.fromkeys(cast.names[kind] for kind in placed[gap] if kind >= 0))
    return Gap(ground.address(int(gap[0])), int(ground.place[gap[-1]]), "", kinds)


def _cut_down(new: Index, free: int) -> Index:
    """No more trees than there are free places: the largest plantings give up theirs first."""
    kept = new.copy()
    while kept.sum() > free:
        kept[int(np.argmax(kept))] -= 1
    return kept


def _shares(ground: Ground, placed: Index, cast: Cast) -> Array:
    """Useful share of the pollen about every tree, (years, places)."""
    reaching = _reaching(ground, placed, cast.match.shape[1])
    return pollination.useful_pollen(*reaching, placed, cast.match, cast.outside)


def _reaching(ground: Ground, placed: Index, kinds: int) -> tuple[Array, Array]:
    """Pollen about every tree by cultivar, (kinds, places), and all of it, (places,), block by block; between blocks,
    over two headlands, none is counted."""
    by_kind = np.zeros((kinds, placed.size))
    total = np.zeros(placed.size)
    line, step = grid_of(ground)
    for block in range(len(ground.blocks)):
        here = np.flatnonzero(ground.block == block)
        if here.size:
            by_kind[:, here], total[here] = pollination.fields(line[here], step[here], placed[here], kinds)
    return by_kind, total


def _result(
    asked: LayoutQuestion,
    cast: Cast,
    found: _Found,
    gaps: tuple[Gap, ...],
    homeless: int,
    frozen: Frozen | None,
) -> Layout:
    ground, placed, shares = asked.ground, found.placed, found.shares
    there = placed != EMPTY
    steady = _steady(placed, shares)
    good = (shares[:, there] >= pollination.threshold()).mean(axis=0) if there.any() else np.ones(1)
    xy = np.stack([ground.x, ground.y], axis=1)
    donors = pollination.donors_in_reach(xy, placed, cast.match, cast.outside)
    sure = sureness(asked, cast, placed, *_reaching(ground, placed, len(cast.names)))
    known = _known_donor(ground, asked, cast, placed)
    longitude, latitude = to_degrees(
        ground.x, ground.y, origin=(ground.origin_longitude, ground.origin_latitude)
    )
    path = free_path(ground, np.full(placed.size, EMPTY))
    old = cast.standing != EMPTY
    new = np.flatnonzero(there & ~old)
    year = np.where(old, ground.standing_year, np.where(there, asked.planting_year, 0))
    planting = found.planting
    moved = moves(ground, cast.names, placed, asked.before)
    return Layout(
        cultivars=cast.names,
        codes=tuple(row.code for row in asked.cultivars),
        cultivar=placed,
        rootstock=tuple(row.rootstock for row in asked.cultivars),
        year_planted=year.astype(np.int64),
        standing=old,
        longitude=longitude,
        latitude=latitude,
        along_row=path.along,
        pollen=steady,
        donors_in_reach=donors,
        pollen_chance=sure.chance,
        pollen_without_best=sure.without_best,
        mends=sure.mends,
        bee_springs=sure.bee_springs,
        known_donor=known,
        runs=runs(ground, cast.names, placed),
        walks=compared_walks(ground, path, placed, new, cast.ripe, found.planner),
        gaps=gaps,
        hours=planting.terms if planting else None,
        tried=planting.tried if planting else 0,
        exact=planting.exact if planting else True,
        pollen_good_years=float(good.min()),
        asked=asked.bare_key,
        from_last=asked.before is not None,
        moved=moved,
        early_above=early_above(ground, placed, _middle_bloom(asked)),
        notices=tuple(
            layout_notices(asked, cast, placed, steady, donors, sure, planting, homeless, moved, frozen)
        ),
    )


def _known_donor(ground: Ground, asked: LayoutQuestion, cast: Cast, placed: Index) -> npt.NDArray[np.bool_]:
    """(places,) whether a tree and a useful donor of it in reach are both tested."""
    tested = np.array([bool(alleles) for alleles in asked.genes.alleles[: len(cast.names)]])
    match = np.where(tested[None, :, None] & tested[None, None, :], cast.match, 0.0)
    near = pollination.donors_in_reach(np.stack([ground.x, ground.y], axis=1), placed, match)
    return np.asarray(near > 0)


def _middle_bloom(asked: LayoutQuestion) -> Array:
    """(cultivars,) first bloom in the middle year, NaN where there is none."""
    bloom = np.full(len(asked.cultivars), np.nan)
    known = np.isfinite(asked.first_bloom).any(axis=0)
    bloom[known] = np.nanmedian(asked.first_bloom[:, known], axis=0)
    return bloom
