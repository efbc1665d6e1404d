"""The grower's own fruitlet measurements, and what they say about the set."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from topwire.growth.fruit import set_from_growth
from topwire.growth.result import SetLine
from topwire.growth.trunk import Floats
from topwire.notices import Notice, warning

WHERE = "records/fruitlets.csv"
FASTEST = 20  # fruitlets whose mean growth is the reference in a full sample (memory)
_FEW_CLUSTERS = 60  # five trees of 14-15 clusters are wanted; 25 in all proved too few (THIN-GREENE)


@dataclass(frozen=True)
class FruitletRow:
    """A row of records/fruitlets.csv: one tagged fruitlet, measured twice; no second measure: it fell."""

    fruitlet: str
    cultivar: str
    leaf: int  # of the tree
    cluster: str
    clusters_per_tree: float | None  # counted on the sample trees
    first_mm: float
    second_mm: float | None
    remark: str | None


def sets_of(
    rows: Iterable[FruitletRow], cultivars: Sequence[str], targets: Floats
) -> tuple[tuple[SetLine, ...], list[Notice]]:
    """What the growth of the measured fruitlets says, cultivar by cultivar, beside the fruits wanted on a tree.

    Parameters
    ----------
    rows : iterable of FruitletRow
    cultivars : sequence of str
        Of `targets`.
    targets : ndarray
        Fruits to leave on a tree, shape (cultivars, leaves).
    """
    by_cultivar: dict[str, list[FruitletRow]] = {}
    for row in rows:
        by_cultivar.setdefault(row.cultivar, []).append(row)
    lines, notices = [], []
    for name, sample in sorted(by_cultivar.items()):
        growth = [0.0 if row.second_mm is None else row.second_mm - row.first_mm for row in sample]
        clusters = len({row.cluster for row in sample})
        counted = [row.clusters_per_tree for row in sample if row.clusters_per_tree is not None]
        leaf = max(row.leaf for row in sample)
        target = None
        if name in cultivars and 1 <= leaf <= targets.shape[1]:
            target = float(targets[list(cultivars).index(name), leaf - 1])
        try:
            found = set_from_growth(
                growth,
                fastest=min(FASTEST, max(2, len(sample) // 5)),
                fruitlets_per_cluster=len(sample) / clusters,
                clusters_per_tree=float(np.mean(counted)) if counted else None,
                target=target,
            )
        except ValueError as wrong:
            notices.append(warning(WHERE, f"{name}: {wrong}."))
            continue
        lines.append(
            SetLine(
                name,
                found.measured,
                found.persisting,
                found.share,
                found.fruits_per_tree,
                target,
                found.advice,
            )
        )
        if clusters < _FEW_CLUSTERS:
            notices.append(
                warning(
                    WHERE,
                    f"{name}: {clusters} clusters are measured; 25 in all proved too few to trust.",
                    "Tag 14 or 15 clusters on each of five trees.",
                    "THIN-GREENE",
                )
            )
    return tuple(lines), notices
