"""Our forecast for the trees of published trials: where it falls beside what was weighed."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from topwire.growth.asked import TrialRow
from topwire.growth.bearing import HABITS
from topwire.growth.findings import TrialFigure, TrialLine
from topwire.growth.load import LOAD_ANNUAL
from topwire.growth.orchard import CropRule, Simulated, Stand, simulate
from topwire.growth.trunk import Floats
from topwire.values.notice import Measured
from topwire.values.traits import Grade
from topwire.values.units import Kind
from topwire.values.vigour import SCION_VIGOUR

# The trial's feathered trees were assumed to stand 1.2 m tall when planted; their fruit weighed about 220 g.
_START, _MASS = 1.2, 220.0
_AS_CROPPED = 8.0  # turning load of the annual habit, for trees thinned to six fruits per cm2


def beside_trials(trials: Sequence[TrialRow], curve: Floats, mature: float) -> tuple[TrialLine, ...]:
    """Height, crop in leaf 5 and crop to leaf 5 of each trial, with ours.

    The trial's own vigour of each stock is used, a weak scion, bloom kept from leaf 2, no frost.

    Parameters
    ----------
    trials : sequence of TrialRow
    curve : ndarray
        Share of a full crop by leaf since the first with flowers. [-]
    mature : float
        Crop of a full-grown orchard. [kg/m2]
    """
    if not trials:
        return ()
    habit = HABITS[Grade.HIGH]
    count = len(trials)
    stand = Stand(
        vigour=np.array([row.vigour for row in trials]) * SCION_VIGOUR[Grade.LOW],
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
        full_crop=np.array([mature * 1e4 / row.trees_per_ha for row in trials]),
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
        for figure, kind, published in (
            (TrialFigure.HEIGHT, Kind.LENGTH, row.height_m),
            (TrialFigure.CROP_IN_LEAF_5, Kind.MASS, row.kg_leaf_5),
            (TrialFigure.CROP_TO_LEAF_5, Kind.MASS, row.kg_to_leaf_5),
        ):
            by_rule, as_cropped = (_mean(run, figure, index) for run in (ours, cropped))
            lines.append(
                TrialLine(
                    row.trial,
                    figure,
                    Measured(published, kind, 1),
                    Measured(by_rule, kind, 1),
                    Measured(as_cropped, kind, 1),
                    row.source,
                )
            )
    return tuple(lines)


def _mean(run: Simulated, figure: TrialFigure, index: int) -> float:
    if figure is TrialFigure.HEIGHT:
        return float(run.height[:, 4, index].mean())
    if figure is TrialFigure.CROP_IN_LEAF_5:
        return float(run.crop[:, 4, index].mean())
    return float(run.crop[:, :, index].sum(axis=1).mean())
