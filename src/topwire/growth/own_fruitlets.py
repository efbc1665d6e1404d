"""The grower's own fruitlet measurements, and what they say about the set."""

from collections.abc import Iterable, Sequence

import numpy as np

from topwire.growth.asked import FruitletRow
from topwire.growth.findings import SetAdvice, SetLine
from topwire.growth.fruit import NotMeasurable, set_from_growth
from topwire.growth.trunk import Floats
from topwire.values.notice import Notice, warning

SETTING = "records/fruitlets.csv"
FASTEST = 20  # fruitlets whose mean growth is the reference in a full sample (memory)
_FEW_CLUSTERS = 60  # five trees of 14-15 clusters are wanted; 25 in all proved too few (THIN-GREENE)
_NEAR = 0.15  # of the target within which a tree is left as it is: common practice, no source


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
        try:
            found = set_from_growth(growth, fastest=min(FASTEST, max(2, len(sample) // 5)))
        except NotMeasurable as wrong:
            notices.append(
                warning("years.fruitlets_unusable", setting=SETTING, concerns=[name], why=str(wrong.why))
            )
            continue
        clusters = len({row.cluster for row in sample})
        counted = [row.clusters_per_tree for row in sample if row.clusters_per_tree is not None]
        fruits = found.share * len(sample) / clusters * float(np.mean(counted)) if counted else None
        leaf = max(row.leaf for row in sample)
        target = None
        if name in cultivars and 1 <= leaf <= targets.shape[1]:
            target = float(targets[list(cultivars).index(name), leaf - 1])
        lines.append(
            SetLine(
                name, found.measured, found.persisting, found.share, fruits, target, _advice(fruits, target)
            )
        )
        if clusters < _FEW_CLUSTERS:
            notices.append(
                warning(
                    "years.few_clusters",
                    setting=SETTING,
                    concerns=[name],
                    source="THIN-GREENE",
                    clusters=clusters,
                )
            )
    return tuple(lines), notices


def _advice(fruits: float | None, target: float | None) -> SetAdvice:
    if fruits is None or target is None:
        return SetAdvice.COUNT_CLUSTERS
    if fruits > (1 + _NEAR) * target:
        return SetAdvice.THIN_ON
    return SetAdvice.STOP if fruits < (1 - _NEAR) * target else SetAdvice.LEAVE
