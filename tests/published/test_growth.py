"""Every trial line of the forecast beside its trial: where ours falls, stock by stock."""

import numpy as np
import pytest
from nursery.invented import catalogue

from topwire.growth.asked import TrialRow
from topwire.growth.findings import TrialFigure, TrialLine
from topwire.growth.trials import beside_trials

CURVE = np.array([0.1, 0.3, 0.6, 0.8, 0.9] + [1.0] * 10)
LINES = beside_trials(catalogue().rows("crop_trials", TrialRow), CURVE, 3.0)
# One stock stands apart: G.814 under the trial's number CG.4814 lost 15 % of its trees and grew no taller than far
# weaker stocks, though its trunk was the thickest; our leader follows the trunk.
APART = "G.814"


@pytest.mark.parametrize("line", LINES, ids=lambda line: f"{line.trial} {line.figure}")
def test_each_stock_falls_near_its_trial(line: TrialLine) -> None:
    height = line.figure is TrialFigure.HEIGHT
    ours = line.thinned_to_rule if height else line.as_cropped
    allowed = 0.25 if APART in line.trial else 0.15 if height else 0.30
    assert abs(ours.value / line.published.value - 1) < allowed


def test_stocks_come_in_the_trials_order_of_crop() -> None:
    lines = [line for line in LINES if line.figure is TrialFigure.CROP_TO_LEAF_5]
    published = [line.published.value for line in lines]
    for ours in ([line.as_cropped.value for line in lines], [line.thinned_to_rule.value for line in lines]):
        # The light on 4.5 m2 of ground caps the strongest stocks, so the order is kept and not the whole spread.
        assert np.corrcoef(published, ours)[0, 1] > 0.75


def test_thinning_as_advised_gives_less_than_was_picked() -> None:
    """The trial's trees carried more than four fruits per cm2; a grower who wants flowers next year picks less."""
    for line in LINES:
        if line.figure is TrialFigure.CROP_TO_LEAF_5:
            assert line.thinned_to_rule.value < line.published.value
