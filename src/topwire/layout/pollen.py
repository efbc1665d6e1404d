"""Useful pollen at every tree: who flowers near, at the same time, and with what alleles.

Bees carry pollen mostly to the next trees of the row and the next rows. The seeds a donor sires fall with distance
as an exponential in steps, with means of 2.7 trees along the row and 3.6 rows across it (KRON2001B). A tree's useful
pollen is the share of all the pollen reaching it that can set its fruit: every neighbour counts by its distance,
times the days it flowers together with the tree, times the share of its pollen that is compatible.
"""

import numpy as np
import numpy.typing as npt

from topwire.choice.neighbours import ROWS_ACROSS as ROWS_ACROSS
from topwire.choice.neighbours import Outside
from topwire.choice.pollination import REACH as REACH
from topwire.choice.pollination import USEFUL
from topwire.values.running import running_sum

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]

TREES_ALONG = 2.7  # [trees] mean siring distance along the row, 2.7 +- 0.8 (KRON2001B)
ALLOWED_BAD_YEARS = 0.1  # one weather year in ten


def threshold() -> float:
    """Useful share that the worst-placed tree of a solid block has beside a solid donor row in every fourth row.

    A published arrangement (POLL-DELA): the middle one of three main rows is two rows from donors on both sides, four
    rows on to the next ones. Its donors flower through at least half of its bloom (common practice, no source) and
    are fully compatible.
    """
    q = np.exp(-1 / ROWS_ACROSS)
    donors = 2 * q**2 / (1 - q**4)
    everything = (1 + q) / (1 - q)
    return float(0.5 * donors / everything)


def fields(row: Index, step: Index, kind: Index, kinds: int) -> tuple[Array, Array]:
    """Pollen reaching every tree of one block from each cultivar, by distance alone.

    Parameters
    ----------
    row : (trees,) number of the row line, counted across the block; rows further apart count more steps
    step : (trees,) position along the row in tree spacings from a line square to the rows
    kind : (trees,) cultivar, -1 for an empty place (which receives, and gives nothing)
    kinds : number of cultivars

    Returns
    -------
    by_kind : (kinds, trees) kernel-weighted number of trees of each cultivar, the tree itself left out
    total : (trees,) the same of all trees, the tree's own flowers counted

    Notes
    -----
    The kernel exp(-steps along / 2.7) exp(-rows across / 3.6) is separable: two passes of a running sum along
    each axis are exact, at a cost in proportion to trees times cultivars.
    """
    rows = row - row.min()
    steps = step - step.min()
    grid = np.zeros((kinds, int(rows.max()) + 1, int(steps.max()) + 1))
    there = kind >= 0
    np.add.at(grid, (kind[there], rows[there], steps[there]), 1.0)
    spread = _spread(_spread(grid, TREES_ALONG, axis=2), ROWS_ACROSS, axis=1)
    at = spread[:, rows, steps]
    total = at.sum(axis=0)
    at[kind[there], np.flatnonzero(there)] -= 1.0
    return at, total


def useful_pollen(
    by_kind: Array, total: Array, kind: Index, match: Array, outside: Outside | None = None
) -> Array:
    """Useful share of the pollen around every tree, (years, trees); NaN at empty places.

    match : (years, donors, parents) overlap times compatible fraction; `outside`: from beyond, the same at every tree.
    """
    years = match.shape[0]
    share = np.full((years, kind.size), np.nan)
    for parent in np.unique(kind[kind >= 0]):
        trees = kind == parent
        useful, more = match[:, :, parent] @ by_kind[:, trees], 0.0
        if outside is not None:
            useful, more = useful + outside.match[:, :, parent] @ outside.mass[:, None], outside.mass.sum()
        share[:, trees] = useful / (total[trees] + more)
    return share


def dependable(share: Array) -> Array:
    """Value that (years, trees) reach in nine weather years of ten: (trees,)."""
    failing = int(np.floor(ALLOWED_BAD_YEARS * share.shape[0]))
    return np.asarray(np.sort(share, axis=0)[failing])


def donors_in_reach(
    xy: Array, kind: Index, match: Array, outside: Outside | None = None, *, reach: float = REACH
) -> Index:
    """Different useful donor cultivars within `reach` [m] of each tree, (trees,); 0 at empty places.

    A donor counts when overlap times compatible fraction is at least a quarter in nine weather years of ten.

    xy : (trees, 2) [m]; match : (years, donors, parents).
    """
    from scipy.spatial import cKDTree

    useful = dependable(match.reshape(match.shape[0], -1)).reshape(match.shape[1:]) >= USEFUL
    count = np.zeros(kind.size, dtype=np.int64)
    there = np.flatnonzero(kind >= 0)
    if not there.size:
        return count
    if outside is not None:
        count[there] = outside.donors[kind[there]]
    for donor in np.unique(kind[there]):
        parents = np.flatnonzero(useful[donor])
        wanting = there[np.isin(kind[there], parents)]
        if not wanting.size:
            continue
        own = cKDTree(xy[there[kind[there] == donor]])
        away, _ = own.query(xy[wanting], k=1, distance_upper_bound=reach + 1e-9)
        count[wanting] += np.isfinite(away)
    return count


def _spread(values: Array, mean: float, axis: int) -> Array:
    """Sum over the axis with weight exp(-distance / mean), the cell itself with weight 1."""
    keeps = float(np.exp(-1 / mean))
    forward = running_sum(values, keeps, axis)
    backward = np.flip(running_sum(np.flip(values, axis), keeps, axis), axis)
    return np.asarray(forward + backward - values)


def useful_matrix(overlap: Array, compatible: Array) -> Array:
    """(years, donors, parents): overlap times compatible fraction; a cultivar is no donor to itself."""
    match = overlap * compatible[None]
    same = np.arange(match.shape[1])
    match[:, same, same] = 0.0
    return np.asarray(match)
