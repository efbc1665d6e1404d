"""The grower's own pull test: finds the ground it was made in, is weighed with what was held, moves the chance."""

from dataclasses import replace

import numpy as np
import pytest
from trellis.test_risk import GROUNDS, a_row

from topwire.trellis.failing import Footing
from topwire.trellis.known_builds import KnownBuild
from topwire.trellis.pull_test import (
    PulledPost,
    PulledTrees,
    PullTest,
    ground_factor,
    known_after,
    root_stress,
)
from topwire.trellis.row_risk import ROOT_SCATTER, SOIL_SCATTER, UNTESTED, risk_by_draws, risk_by_integration
from topwire.trellis.standing import ROOT_STRESS, clay_push, root_moment, soil_limit

POST = PulledPost(0.0, 1.5, 0.9, 0.1)
TREES = PulledTrees(0.0, 1.0, 0.05, 3)


def post_in(cohesion: float) -> PulledPost:
    load = float(soil_limit(clay_push(POST.diameter, cohesion, rate=1.0), POST.depth, POST.height))
    return replace(POST, load=load)


@pytest.mark.parametrize("factor", [0.4, 1.0, 2.3])
def test_a_post_finds_the_ground_it_was_pulled_in(factor: float) -> None:
    assert ground_factor(post_in(factor * 50e3), GROUNDS[0]) == pytest.approx(factor, rel=1e-6)


def test_sand_is_found_by_its_friction() -> None:
    dense, loose = Footing(True, 36.0, 1e4, True), Footing(True, 30.0, 1e4, True)
    load = 900.0
    ratio = ground_factor(replace(POST, load=load), loose) / ground_factor(replace(POST, load=load), dense)
    assert ratio == pytest.approx((np.tan(np.radians(36)) / np.tan(np.radians(30))) ** 2, rel=1e-6)


@pytest.mark.parametrize("soaked", [False, True])
def test_trees_find_their_roots(soaked: bool) -> None:
    stress = 0.6 * ROOT_STRESS
    moment = float(root_moment(TREES.trunk, stress=stress, soaked=soaked))
    pulled = replace(TREES, load=moment / TREES.height)
    assert root_stress(pulled, soaked=soaked) == pytest.approx(stress)


def test_one_test_moves_the_answer_part_of_the_way_and_makes_it_surer() -> None:
    test = PullTest(post_in(2 * 28e3), None, soaked=True)
    (moist, moist_scatter), (soaked, scatter) = known_after(test, GROUNDS).soil
    assert 1 < moist < soaked < 2  # the ground as tested learns more than the other
    assert scatter < moist_scatter < SOIL_SCATTER
    assert known_after(test, GROUNDS).roots == UNTESTED.roots
    assert known_after(None, GROUNDS) is UNTESTED


def test_a_hundred_trees_overrule_what_was_held() -> None:
    pulled = replace(TREES, load=float(root_moment(TREES.trunk, stress=2 * ROOT_STRESS)), trees=100)
    middle, scatter = known_after(PullTest(None, pulled, soaked=False), GROUNDS).roots
    assert middle == pytest.approx(2.0, rel=0.01)
    assert scatter < ROOT_SCATTER / 10


def test_stronger_ground_falls_less_often_and_both_methods_agree() -> None:
    row = a_row(KnownBuild.USUAL, 85)
    chances = []
    for cohesion in (14e3, 28e3, 56e3):
        known = known_after(PullTest(post_in(cohesion), None, soaked=True), GROUNDS)
        tested = replace(row, known=known)
        chances.append(float(risk_by_integration(tested).in_life))
        assert float(risk_by_draws(tested, rows=6000).in_life) == pytest.approx(chances[-1], rel=0.2)
    assert chances[0] > chances[1] > chances[2]
