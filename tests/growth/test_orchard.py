from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.growth.bearing import HABITS, bearing_index
from topwire.growth.orchard import CropRule, Stand, simulate
from topwire.values.traits import Grade

CURVE = np.array([0.1, 0.3, 0.6, 0.8, 0.9] + [1.0] * 10)


def stand(vigour: float = 1.2, grade: Grade = Grade.LOW, count: int = 3) -> Stand:
    habit, one = HABITS[grade], np.ones(count)
    return Stand(
        one * vigour, one * 0.1, np.zeros(count, dtype=np.int64), one * 0.46, 3.0, one * habit.load,
        one * habit.turning, one * habit.late_share, one, one * 165.0, one * 2.0, one * 9.0, 0.1, CURVE,
    )  # fmt: skip


KIND = np.ones((1, 3)), np.ones(1)


def test_same_seed_same_orchards_other_seed_others() -> None:
    first, second, other = (
        simulate(stand(), *KIND, CropRule(True), orchards=50, seed=seed) for seed in (1, 1, 2)
    )
    assert (first.crop == second.crop).all()
    assert (first.crop != other.crop).any()


@given(st.floats(0.3, 2.5), st.sampled_from(list(Grade)), st.booleans(), st.floats(0, 1))
@settings(max_examples=25, deadline=None)
def test_what_always_holds(vigour: float, grade: Grade, strip: bool, frost: float) -> None:
    run = simulate(
        stand(vigour, grade),
        np.full((2, 3), frost),
        np.array([0.9, 1.1]),
        CropRule(strip),
        orchards=40,
        seed=3,
    )
    assert (run.crop >= 0).all()
    assert np.isfinite(run.crop).all()
    assert (np.diff(run.trunk, axis=1) > 0).all()
    assert (np.diff(run.height, axis=1) >= -1e-6).all()
    assert (run.crop[:, 0] == 0).all()  # nothing in leaf 1
    there = run.reached > 0
    at_wire = np.take_along_axis(run.height, np.maximum(run.reached, 1)[:, None, :] - 1, axis=1)[:, 0]
    assert (at_wire[there] >= 3.0 - 1e-6).all()


def test_stripping_costs_early_crop_and_saves_time() -> None:
    strict = simulate(stand(0.9), *KIND, CropRule(True), orchards=2000, seed=1)
    light = simulate(stand(0.9), *KIND, CropRule(False), orchards=2000, seed=1)
    assert strict.crop[:, :3].sum() < light.crop[:, :3].sum()
    assert np.median(strict.height[:, 3]) > np.median(light.height[:, 3])
    late = [np.where(run.reached == 0, 16, run.reached).mean() for run in (strict, light)]
    assert late[0] < late[1]


def test_a_tree_that_stalls_crops_in_the_end() -> None:
    run = simulate(stand(0.4), *KIND, CropRule(True), orchards=200, seed=1)
    assert (run.crop[:, :4].max(axis=(1, 2)) == 0).mean() > 0.95
    assert (run.crop[:, 6] > 0).mean() > 0.95


def test_frost_takes_its_share_and_missing_bloom_all() -> None:
    full = simulate(stand(), *KIND, CropRule(False), orchards=300, seed=1)
    half = simulate(stand(), np.full((1, 3), 0.5), np.ones(1), CropRule(False), orchards=300, seed=1)
    none = simulate(stand(), np.full((1, 3), np.nan), np.ones(1), CropRule(False), orchards=300, seed=1)
    assert 0.45 < half.crop[:, 10:].mean() / full.crop[:, 10:].mean() < 0.65  # fewer fruits, larger
    assert none.crop.max() == 0


def test_unthinned_biennial_trees_alternate_and_thinning_evens_them() -> None:
    trees = stand(1.2, Grade.HIGH)
    wild = simulate(trees, *KIND, CropRule(False, thinned=False), orchards=300, seed=1)
    tended = simulate(trees, *KIND, CropRule(False), orchards=300, seed=1)
    index = [float(np.median(bearing_index(run.crop[:, 7:].transpose(0, 2, 1)))) for run in (wild, tended)]
    assert index[0] > 0.4
    assert index[1] < 0.2


def test_frost_leaves_flowers_for_the_year_after() -> None:
    """After a year without crop a biennial tree flowers fully: the state is carried from year to year."""
    trees = replace(stand(1.2, Grade.HIGH), vigour_spread=np.zeros(3), full_crop_spread=0.0)
    frost = np.array([[1.0] * 3, [0.0] * 3])
    run = simulate(trees, frost, np.ones(2), CropRule(False, thinned=False), orchards=3000, seed=4)
    crop = run.crop[:, :, 0]
    lost = crop[:, 9] == 0
    assert crop[lost, 10][crop[lost, 10] > 0].mean() > 1.5 * crop[~lost, 10][crop[~lost, 10] > 0].mean()


def test_an_orchard_of_one_is_an_orchard() -> None:
    run = simulate(stand(count=1), np.ones((1, 1)), np.ones(1), CropRule(True), orchards=1, seed=0)
    assert run.crop.shape == (1, 15, 1)


def test_stocks_share_their_site() -> None:
    trees = replace(stand(), vigour_spread=np.full(3, 0.5), stock=np.array([0, 0, 1]))
    run = simulate(trees, *KIND, CropRule(True), orchards=2000, seed=1)
    thick = np.log(run.trunk[:, 9])
    assert np.corrcoef(thick[:, 0], thick[:, 1])[0, 1] > 0.9
    assert np.corrcoef(thick[:, 0], thick[:, 2])[0, 1] == pytest.approx(0, abs=0.1)
