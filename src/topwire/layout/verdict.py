"""What the planted layout has to tell: runs, its walk beside other plantings, notices on pollen and vigour."""

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Catalogue
from topwire.layout import pollen as pollination
from topwire.layout import spacing as room
from topwire.layout.planner import Planner
from topwire.layout.cast import Cast
from topwire.layout.path import Path
from topwire.layout.pitch import tape
from topwire.layout.result import Ground, Run
from topwire.layout.search import Planting
from topwire.layout.walk import Rows, least_walk, picking_walk, reach
from topwire.notices import Notice, assumption, remark, warning
from topwire.plan.model import Plan

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]
Booleans = npt.NDArray[np.bool_]

TOO_STRONG = 1.35  # room a pair wants against the room it has: a modelling choice, no source
TOO_LOW = 0.8  # height after five seasons against the top wire: a modelling choice, no source
RANDOM_PLANTINGS = 5
SEED = 7


def rows_of(ground: Ground) -> Rows:
    rows = [row for block in ground.blocks for row in block.rows]
    gate = rows[0].start if ground.gate is None else ground.gate
    return Rows(
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


def runs(ground: Ground, cast: Cast, placed: Index) -> tuple[Run, ...]:
    """Neighbouring trees of one cultivar in one row, in the order of the ground."""
    changed = (np.diff(placed) != 0) | (np.diff(ground.row) != 0) | (np.diff(ground.block) != 0)
    edges = np.flatnonzero(changed) + 1
    found = []
    for piece in np.split(np.arange(placed.size), edges):
        first, last = int(piece[0]), int(piece[-1])
        if placed[first] < 0:
            continue
        block = ground.blocks[ground.block[first]]
        found.append(
            Run(
                block.name,
                block.rows[ground.row[first]].number,
                int(ground.place[first]),
                int(ground.place[last]),
                cast.names[placed[first]],
            )
        )
    return tuple(found)


def compared_walks(
    ground: Ground,
    path: Path,
    placed: Index,
    standing: Index,
    ripe: Booleans,
    search: tuple[Planting, Planner] | None,
) -> tuple[float, float, float]:
    """Picking walk [m] of the same trees: in random order tree by tree, in catalogue order, in random order of runs."""
    new = np.flatnonzero((placed >= 0) & (standing < 0))
    random = np.random.default_rng(SEED)
    scattered, shuffled = [], []
    for _ in range(RANDOM_PLANTINGS):
        trial = placed.copy()
        trial[new] = random.permutation(placed[new])
        scattered.append(season_walk(ground, path, trial, ripe))
        if search is not None:
            planner = search[1]
            kinds = random.permutation(np.flatnonzero(planner.kinds.trees > 0))
            shuffled.append(planner.walk(planner.lay(planner.in_order(kinds))))
    catalogue = 0.0
    if search is not None:
        planner = search[1]
        catalogue = planner.walk(planner.lay(planner.in_order(np.arange(planner.kinds.trees.size))))
    return float(np.mean(scattered)), catalogue, float(np.mean(shuffled)) if shuffled else 0.0


def bound(
    search: tuple[Planting, Planner] | None, ground: Ground, placed: Index, ripe: Booleans
) -> float | None:
    """A value no planting's objective can be below: the walk the ripe trees alone ask for, all other terms zero."""
    if search is None:
        return None
    planting, planner = search
    if planting.exact:
        return planting.objective
    there = placed[placed >= 0]
    trees = np.array([int(ripe[there, week].sum()) for week in range(ripe.shape[1])])
    rows = [row for block in ground.blocks for row in block.rows]
    spacing = min(row.tree_spacing for row in rows)
    return planner.weights.walk * least_walk(trees, spacing, len(rows)) / planner.walk_scale


def pollen_notices(
    plan: Plan, ground: Ground, cast: Cast, placed: Index, steady: Array, donors: Index
) -> list[Notice]:
    """The worst trees for pollen, and what the figures rest on."""
    there = np.flatnonzero(placed >= 0)
    if not there.size:
        return []
    found: list[Notice] = []
    poor = there[steady[there] < 1.0]
    few = there[donors[there] < 2]
    if poor.size:
        worst = poor[int(np.argmin(steady[poor]))]
        names = ", ".join(sorted({cast.names[placed[tree]] for tree in poor}))
        found.append(
            warning(
                "layout, pollen",
                f"{poor.size} trees ({names}) get less useful pollen than stated in more than one year of ten; the "
                f"worst is {ground.address(int(worst))} with {steady[worst]:.0%} of it.",
                "Plant more of a donor that flowers with them, or a flowering crab between them.",
                "KRON2001B",
            )
        )
    if few.size:
        names = ", ".join(sorted({cast.names[placed[tree]] for tree in few}))
        found.append(
            warning(
                "layout, pollen",
                f"{few.size} trees ({names}) have fewer than two useful donor cultivars flowering with them within "
                f"{tape(pollination.REACH, plan.unit_system)}.",
                "Choose another cultivar that flowers at their time.",
                "KRON2001B",
            )
        )
    found.append(
        assumption(
            "layout, pollen",
            f"enough useful pollen is taken as {pollination.threshold():.3f} of all pollen about a tree: what the "
            "worst tree has beside a solid donor row in every fourth row that flowers through half of its bloom.",
            source="POLL-DELA",
        )
    )
    return found


def vigour_notices(
    plan: Plan, catalogue: Catalogue, ground: Ground, cast: Cast, placed: Index, standing: Index
) -> list[Notice]:
    """Pairs of scion and stock too weak to reach the top wire or too strong for their space."""
    grid = catalogue.rows("tree_spacing", room.SpacingRow)
    training = next(
        row
        for row in catalogue.rows("training_spacing", room.TrainingRow)
        if row.training == plan.trees.training.value
    )
    spacing = {index: block.tree_spacing for index, block in enumerate(ground.blocks)}
    soil = plan.place.soil
    found = []
    for kind, name in enumerate(cast.names):
        trees = np.flatnonzero((placed == kind) & (standing < 0))
        if not trees.size:
            continue
        stock = catalogue.rootstock[cast.stocks[kind]]
        row = catalogue.cultivar[name]
        strength = room.scion_strength(row.vigour, row.ploidy)
        loss = room.replant_factor(stock.replant, soil.replant)
        height = (
            room.height_after_five(stock.height_after_5_years_m, (stock.vigour or 1.0), strength) * loss**0.4
        )
        top = plan.trellis.wire_heights[-1]
        if height < TOO_LOW * top:
            found.append(
                warning(
                    "layout, vigour",
                    f"{name} on {stock.name} is a weak pair: about {tape(height, plan.unit_system)} after five "
                    f"seasons, and the top wire is at {tape(top, plan.unit_system)}.",
                    "A stronger stock for this cultivar (trees.rootstock_for), or a lower top wire.",
                    "ROOT-S1",
                )
            )
        wanted = room.tree_distance(
            room.stock_row(grid, stock.name, stock.vigour),
            strength,
            training,
            fertility=soil.fertility.value,
            sandy=soil.texture.value in ("sand", "loamy sand"),
            replant=soil.replant,
        )
        given = min(spacing[int(block)] for block in np.unique(ground.block[trees]))
        if wanted > TOO_STRONG * given:
            found.append(
                warning(
                    "layout, vigour",
                    f"{name} on {stock.name} is a strong pair: it wants about {tape(wanted, plan.unit_system)} "
                    f"in the row and has {tape(given, plan.unit_system)}.",
                    "A weaker stock for this cultivar, or more room; expect summer pruning otherwise.",
                )
            )
    return found


def free_notices(ground: Ground, placed: Index) -> list[Notice]:
    """Places the choice left free, so that nobody looks for their trees."""
    free = placed < 0
    if not free.any():
        return []
    whole = []
    for number, block in enumerate(ground.blocks):
        rows = [
            str(row.number)
            for index, row in enumerate(block.rows)
            if free[(ground.block == number) & (ground.row == index)].all()
        ]
        if rows:
            whole.append(f"{block.name} {', '.join(rows)}")
    says = f"{int(free.sum())} of {free.size} places stay free"
    says += f"; whole rows: {'; '.join(whole)}." if whole else "."
    return [remark("layout", says, "Raise trees.total, or leave them for later plantings.")]


def method_notices(search: tuple[Planting, Planner] | None) -> list[Notice]:
    """What the picking walk and the search rest on."""
    found = [
        assumption(
            "layout, picking",
            "one round a week is walked from the gate through all rows with ripe fruit in the middle year, "
            "rows in order.",
        )
    ]
    if search is not None:
        how = (
            "every order was tried"
            if search[0].exact
            else f"{search[0].tried:,} plantings were tried (seeded search)"
        )
        found.append(remark("layout, runs", f"{how}; the best one is laid out."))
    return found
