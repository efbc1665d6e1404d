"""Our forecast for the trees of published trials: where it falls beside what was weighed."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from topwire.catalogue.model import Grade
from topwire.growth.bearing import HABITS
from topwire.growth.leader import scion_vigour
from topwire.growth.load import LOAD_ANNUAL
from topwire.growth.orchard import CropRule, Simulated, Stand, simulate
from topwire.growth.result import TrialLine
from topwire.growth.trunk import Floats

# The trial's feathered trees were assumed to stand 1.2 m tall when planted; their fruit weighed about 220 g.
_START, _MASS, _MATURE = 1.2, 220.0, 30.0
_AS_CROPPED = 8.0  # turning load of the annual habit, for trees thinned to six fruits per cm2


@dataclass(frozen=True)
class TrialRow:
    """One row of crop_trials.csv."""

    trial: str
    cultivar: str
    rootstock: str
    trees_per_ha: float
    vigour: float
    height_m: float
    kg_leaf_5: float
    kg_to_leaf_5: float
    source: str
    mark: str


def beside_trials(rows: Iterable[TrialRow], curve: Floats) -> tuple[TrialLine, ...]:
    """Height, crop in leaf 5 and crop to leaf 5 of each trial, with ours.

    The trial's own vigour of each stock is used, a weak scion, bloom kept from leaf 2, no frost.

    Parameters
    ----------
    rows : iterable of TrialRow
    curve : ndarray
        Share of a full crop by leaf since the first with flowers. [-]
    """
    trials = tuple(rows)
    if not trials:
        return ()
    habit = HABITS[Grade.HIGH]
    count = len(trials)
    stand = Stand(
        vigour=np.array([row.vigour for row in trials]) * scion_vigour(Grade.LOW),
        vigour_spread=np.zeros(count),
        stock=np.zeros(count, dtype=np.int64),
        start=np.full(count, _START),
        wire=3.0,
        load=np.full(count, habit.load),
        turning=np.full(count, habit.turning),
        late_share=np.full(count, habit.late_share),
        small=np.ones(count),
        mass=np.full(count, _MASS),
        first_leaf=np.full(count, 2.0),
        full_crop=np.array([_MATURE * 1000 / row.trees_per_ha for row in trials]),
        full_crop_spread=0.0,
        curve=curve,
    )
    heavy = replace(stand, load=np.full(count, LOAD_ANNUAL), turning=np.full(count, _AS_CROPPED))
    ours, cropped = (
        simulate(each, np.ones((1, count)), np.ones(1), CropRule(False), orchards=600, seed=5, leaves=5)
        for each in (stand, heavy)
    )
    lines = []
    for index, row in enumerate(trials):
        for quantity, unit, published in (
            ("height after leaf 5", "m", row.height_m),
            ("crop in leaf 5", "kg/tree", row.kg_leaf_5),
            ("crop of leaves 2 to 5", "kg/tree", row.kg_to_leaf_5),
        ):
            by_rule, as_cropped = (_mean(run, quantity, index) for run in (ours, cropped))
            lines.append(TrialLine(row.trial, quantity, unit, published, by_rule, as_cropped, row.source))
    return tuple(lines)


def _mean(run: Simulated, quantity: str, index: int) -> float:
    if quantity.startswith("height"):
        return float(run.height[:, 4, index].mean())
    if quantity == "crop in leaf 5":
        return float(run.crop[:, 4, index].mean())
    return float(run.crop[:, :, index].sum(axis=1).mean())
