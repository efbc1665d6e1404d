"""Where a donor set beside the weakest trees makes their pollen sure: its name, its place, and what it is worth.

A donor takes the nearest free place; where there is none it is grafted on as a slender pole between two trees of the
row, as flowering crabs are (CRAB-POLES), and gives half the bloom of a tree (a modelling choice, no source).
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from topwire.layout.findings import Ground, Mend
from topwire.layout.path import grid_of
from topwire.layout.pollen import ROWS_ACROSS, TREES_ALONG
from topwire.layout.pollen_chance import Springs, chance_of_enough

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]

POLE = 0.5  # bloom of a slender pole over a tree's: a modelling choice, no source
NEAR = 2.0  # [steps along and rows across, together] within which a free place is near
MOST = 12  # donors named
GAIN = 0.02  # least chance a donor has to add at its tree
ALIKE = 0.01  # of chance within which a crab is named before a cultivar: it takes no orchard tree's place


def mends(
    ground: Ground,
    placed: Index,
    by_kind: Array,
    total: Array,
    springs: Springs,
    names: Sequence[str],
    *,
    enough: float,
    below: float,
) -> tuple[Mend, ...]:
    """Donors brought one by one to the tree with the least chance, until all reach `below` or none helps.

    Parameters
    ----------
    placed : (places,) kind, -1 = empty
    by_kind, total : (kinds, places), (places,) pollen by distance alone
    springs : donors beyond `kinds` are crabs
    names : of all donors
    enough : useful share of all pollen
    """
    line, step = grid_of(ground)
    donors = len(names)
    reach = np.zeros((donors, placed.size))
    reach[: by_kind.shape[0]] = by_kind
    everything = total.copy()
    planted = placed >= 0
    free = np.flatnonzero(~planted)
    crab = np.arange(donors) >= by_kind.shape[0]

    def chances(trees: Index) -> Array:
        return chance_of_enough(reach[:, trees], everything[trees], placed[trees], springs, enough)

    trees = np.flatnonzero(planted)
    chance = chances(trees)
    keep = chance < below
    trees, chance = trees[keep], chance[keep]
    hopeless = np.zeros(trees.size, dtype=bool)
    made: list[Mend] = []
    mended: list[int] = []
    taken: set[tuple[int, int | None]] = set()
    while len(made) < MOST:
        open_ = np.flatnonzero((chance < below) & ~hopeless)
        if not open_.size:
            break
        worst = int(open_[np.argmin(chance[open_])])
        tree = int(trees[worst])
        spot = _spot(ground, tree, line, step, free, taken)
        if spot is None:
            hopeless[worst] = True
            continue
        place, beside, along, bloom = spot
        same = ground.block == ground.block[tree]
        weight = (
            bloom
            * np.exp(-np.abs(step - along) / TREES_ALONG - np.abs(line - line[place]) / ROWS_ACROSS)
            * same
        )
        parent = int(placed[tree])
        useful = springs.worth[:, :, parent] @ reach[:, tree] + springs.outside[:, parent]
        all_of_it = everything[tree] + weight[tree] + springs.beyond
        with_it = useful[:, None] + weight[tree] * springs.worth[:, :, parent]
        after = (with_it / all_of_it >= enough).mean(axis=0)
        after[parent] = 0.0
        best = int(np.argmax(after + ALIKE * crab))
        if after[best] < chance[worst] + GAIN:
            hopeless[worst] = True
            continue
        before = float(chance[worst])
        reach[best] += weight
        everything = everything + weight
        free = free[free != place]
        taken.add((place, beside))
        now = chances(trees)
        made.append(
            Mend(
                donor=names[best],
                crab=bool(crab[best]),
                place=ground.address(place),
                beside=None if beside is None else ground.address(beside),
                tree=ground.address(tree),
                cultivar=names[parent],
                before=before,
                after=float(now[worst]),
                after_all=0.0,
                lifted=int(((chance < below) & (now >= below)).sum()),
            )
        )
        chance = now
        mended.append(worst)
    return tuple(replace(one, after_all=float(chance[at])) for one, at in zip(made, mended, strict=True))


def _spot(
    ground: Ground, tree: int, line: Index, step: Index, free: Index, taken: set[tuple[int, int | None]]
) -> tuple[int, int | None, float, float] | None:
    """Place for a donor near a tree: (place, second place where it stands between two, step along, bloom)."""
    here = free[ground.block[free] == ground.block[tree]]
    if here.size:
        away = np.abs(step[here] - step[tree]) + np.abs(line[here] - line[tree])
        nearest = int(np.argmin(away))
        if away[nearest] <= NEAR:
            return int(here[nearest]), None, float(step[here[nearest]]), 1.0
    for other in (tree + 1, tree - 1):
        first, second = sorted((tree, other))
        inside = first >= 0 and second < ground.capacity and (first, second) not in taken
        if inside and ground.block[first] == ground.block[second] and ground.row[first] == ground.row[second]:
            return first, second, (step[first] + step[second]) / 2, POLE
    return None
