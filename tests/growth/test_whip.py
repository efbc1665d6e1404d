"""A whip against the wires."""

from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from topwire.growth.training import TrainingJob, rules_of
from topwire.growth.whip import day_grown, grown_by, passing, seasons_to, whip_training
from topwire.show.whip_drawing import draw_whips
from topwire.values.units import UnitSystem

WIRES = (0.9, 1.6, 2.3, 3.0)


def drawn(growth: float = 0.6, spread: float = 0.15) -> np.ndarray:
    random = np.random.default_rng(1)
    steps = np.maximum(growth * (1 + spread * random.standard_normal((400, 15, 2))), 0)
    return 0.46 + np.cumsum(steps, axis=1)


def test_the_weak_come_later_than_the_strong() -> None:
    found = whip_training(drawn(), [10, 30], 0.46, WIRES, ("A", "B"), [0.7, 1.3])
    assert (np.diff(found.heights, axis=0) > 0).all()
    assert (found.heights[1:, 0] < found.heights[1:, 2]).all()
    for line in found.wires:
        assert line.strong.leaf is not None
        assert line.middle.leaf is not None
        assert line.strong.leaf <= line.middle.leaf
    leaves = [line.middle.leaf or 0 for line in found.wires]
    assert leaves == sorted(leaves)
    assert leaves[0] == 2  # 0.46 + 0.6 stands below a hand above 0.9 m
    assert [angle.most for angle in found.angles] == [90, 120]
    assert found.cane == 2.4


def test_trees_that_stall_are_counted() -> None:
    found = whip_training(drawn(0.15), [10, 10], 0.46, WIRES, ("A", "B"), [0.7, 0.7])
    assert found.lagging > 0.9
    assert found.replaced > 0.9
    assert found.wires[-1].weak.leaf is None or found.wires[-1].weak.leaf > 10


@given(st.floats(0, 1))
def test_the_growth_of_a_season_runs_both_ways(share: float) -> None:
    assert float(grown_by(day_grown(share))) == pytest.approx(share)


def test_a_wire_is_passed_once() -> None:
    found = passing([0.46, 1.0, 1.5], 1.2)
    assert found.leaf == 2
    assert found.day is not None
    assert 91 < found.day < 243
    assert passing([0.46, 0.5], 3.0).leaf is None
    assert passing([1.3, 1.9], 0.9).leaf == 0
    with pytest.raises(ValueError, match="reaches nothing"):
        seasons_to(3, 1, 0)


@pytest.mark.parametrize("system", list(UnitSystem))
def test_the_drawing_shows_every_leaf_and_wire(system: UnitSystem) -> None:
    found = whip_training(drawn(), [10, 30], 0.46, WIRES, ("A", "B"), [0.7, 1.3])
    picture = draw_whips(found, system=system)
    ElementTree.fromstring(picture)
    assert "after leaf 4" in picture
    assert (" m<" not in picture) == (system is UnitSystem.US)


def test_whips_and_feathered_trees_have_rules_of_their_own() -> None:
    whips, feathered = ({rule.job for rule in rules_of(kind)} for kind in (True, False))
    assert TrainingJob.CANE in whips - feathered
    assert TrainingJob.TIE_FEATHERS in feathered - whips
