"""Frost: kill curve, survivors over nights, what is left of the crop."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from topwire.phenology import frost, stages

COLD = st.floats(-30, 5)


@given(COLD, st.floats(0, 1.5), st.floats(0, 6))
def test_colder_kills_more_and_hardier_less(air: float, share: float, less: float) -> None:
    kill_10, kill_90 = frost.critical_temperatures(share)
    usual = float(frost.kill_share(air, kill_10, kill_90))
    assert 0.0 <= usual <= 1.0
    assert float(frost.kill_share(air - less, kill_10, kill_90)) >= usual - 1e-12
    hardy_10, hardy_90 = frost.critical_temperatures(share, 1.0)
    assert float(frost.kill_share(air, hardy_10, hardy_90)) <= usual + 1e-12


def test_buds_grow_tenderer_to_bloom() -> None:
    share = np.linspace(stages.SILVER_TIP, 1.4, 200)
    ten, ninety = frost.critical_temperatures(share)
    assert (np.diff(ten) >= 0).all()
    assert (ten > ninety).all()


def test_survivors_multiply() -> None:
    share = np.full((1, 2, 1), 1.0)
    kill_10, _ = frost.critical_temperatures(1.0)
    night = np.array([[float(kill_10), float(kill_10)]])
    assert frost.killed(night, share)[0, 0] == pytest.approx(1 - 0.9**2)


def test_nothing_is_killed_before_silver_tip() -> None:
    share = np.full((1, 3, 1), stages.SILVER_TIP * 0.9)
    assert frost.killed(np.full((1, 3), -25.0), share)[0, 0] == 0.0


def test_from_silver_tip_on_buds_die_and_the_hardier_less() -> None:
    share = np.full((1, 1, 2), stages.SILVER_TIP)
    night = np.full((1, 1), frost.KILL_10[0])
    kill = frost.killed(night, share, hardier=[0.0, 1.0])[0]
    assert kill[0] == pytest.approx(0.1)
    assert 0 < kill[1] < kill[0]


def test_scenarios_stack() -> None:
    share = np.linspace(0.3, 1.2, 20)[np.newaxis, :, np.newaxis] * np.ones((2, 20, 3))
    night = np.random.default_rng(1).normal(0, 3, (2, 20))
    both = frost.killed(np.stack([night, night + 1.0]), share)
    np.testing.assert_array_equal(both[0], frost.killed(night, share))
    assert (both[1] <= both[0]).all()


def test_no_bloom_no_kill() -> None:
    assert np.isnan(frost.killed(np.zeros((1, 4)), np.full((1, 4, 1), np.nan))[0, 0])


def test_a_tree_needs_few_of_its_buds() -> None:
    np.testing.assert_allclose(frost.crop_left([0.0, 0.5, 0.85, 0.925, 1.0]), [1, 1, 1, 0.5, 0])


def test_chance_counts_only_years_with_bloom() -> None:
    kill = np.array([[0.2, np.nan], [0.6, np.nan], [np.nan, np.nan], [0.95, np.nan]])
    assert frost.chance_of_losing(kill, 0.5)[0] == pytest.approx(2 / 3)
    assert np.isnan(frost.chance_of_losing(kill, 0.5)[1])
    kill = np.array(
        [[0.5, 0.1, np.nan], [0.2, 0.3, 0.9]]
    )  # just half is half; each cultivar by its own years
    assert frost.chance_of_losing(kill, 0.5).tolist() == [0.5, 0.0, 1.0]


def test_last_and_first_frost() -> None:
    tmin = np.full((2, 457), 5.0)
    tmin[0, 92 + 99] = 0.0  # day 100
    tmin[0, 92 + 49] = -3.0
    tmin[0, 92 + 299] = -0.5  # day 300
    np.testing.assert_array_equal(frost.last_frost(tmin), [100.0, np.nan])
    np.testing.assert_array_equal(frost.first_frost(tmin), [300.0, np.nan])
    tmin[1, 92 + 109], tmin[1, 92 + 309] = 0.0, 0.0  # each year by its own nights; just at freezing is frost
    tmin[:, 92 + 120] = tmin[:, 92 + 280] = 0.5  # above it is not
    np.testing.assert_array_equal(frost.last_frost(tmin), [100.0, 110.0])
    np.testing.assert_array_equal(frost.first_frost(tmin), [300.0, 310.0])


def test_spring_ends_with_june() -> None:
    tmin = np.full((2, 457), 5.0)
    tmin[0, 92 + 180] = tmin[1, 92 + 181] = -1.0  # 30 June, 1 July
    np.testing.assert_array_equal(frost.last_frost(tmin), [181.0, np.nan])
    np.testing.assert_array_equal(frost.first_frost(tmin), [np.nan, 182.0])
