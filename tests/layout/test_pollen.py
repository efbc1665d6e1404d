"""Useful pollen: against sums done tree by tree, and in the limits."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.layout.pollen import (
    ALLOWED_BAD_YEARS,
    REACH,
    ROWS_ACROSS,
    TREES_ALONG,
    dependable,
    donors_in_reach,
    fields,
    threshold,
    useful_matrix,
    useful_pollen,
)


def by_hand(row: np.ndarray, step: np.ndarray, kind: np.ndarray, kinds: int) -> tuple[np.ndarray, np.ndarray]:
    weight = np.exp(-np.abs(step[:, None] - step[None]) / TREES_ALONG) * np.exp(
        -np.abs(row[:, None] - row[None]) / ROWS_ACROSS
    )
    weight = weight * (kind >= 0)[:, None]  # an empty place gives nothing
    own = np.diag(weight).copy()
    total = weight.sum(axis=0)
    np.fill_diagonal(weight, 0.0)
    by_kind = np.array([weight[kind == k].sum(axis=0) for k in range(kinds)])
    assert own.shape == total.shape
    return by_kind, total


@given(st.integers(0, 10_000), st.integers(1, 6), st.integers(1, 25))
@settings(max_examples=40, deadline=None)
def test_running_sums_equal_the_sum_over_all_trees(seed: int, rows: int, steps: int) -> None:
    random = np.random.default_rng(seed)
    row, step = (grid.ravel() for grid in np.meshgrid(np.arange(rows), np.arange(steps), indexing="ij"))
    kind = random.integers(-1, 4, row.size)
    got, total = fields(row + 3, step - 7, kind, 4)
    wanted, all_of_it = by_hand(row, step, kind, 4)
    np.testing.assert_allclose(got, wanted, atol=1e-9)
    np.testing.assert_allclose(total, all_of_it, atol=1e-9)


def test_an_orchard_of_one_cultivar_has_no_useful_pollen() -> None:
    row, step = np.repeat(np.arange(5), 20), np.tile(np.arange(20), 5)
    kind = np.zeros(100, dtype=int)
    match = useful_matrix(np.ones((3, 1, 1)), np.ones((1, 1)))
    share = useful_pollen(*fields(row, step, kind, 1), kind, match)
    assert share.max() == 0.0


def test_the_threshold_is_the_published_arrangement() -> None:
    """A donor row in every fourth row of a wide block: the middle rows get just the threshold at half the overlap."""
    rows, steps = 81, 61
    row, step = np.repeat(np.arange(rows), steps), np.tile(np.arange(steps), rows)
    kind = np.where(row % 4 == 0, 1, 0)
    match = np.zeros((1, 2, 2))
    match[0, 1, 0] = 0.5
    share = useful_pollen(*fields(row, step, kind, 2), kind, match)[0]
    middle = (row == 42) & (step == 30)
    assert share[middle][0] == pytest.approx(threshold(), rel=1e-4)


def test_nine_years_of_ten() -> None:
    assert dependable(np.arange(10.0)[:, None])[0] == 1.0  # the one failing year is left out
    assert dependable(np.arange(9.0)[:, None])[0] == 0.0
    assert dependable(np.arange(40.0)[:, None])[0] == 4.0
    share = np.stack([np.arange(10.0), 9.0 - np.arange(10.0) / 2], axis=1)
    assert dependable(share).tolist() == [1.0, 5.0]  # each tree by its own years


def test_an_empty_place_has_no_share() -> None:
    kind = np.array([0, -1, 1])
    match = useful_matrix(np.ones((2, 2, 2)), np.ones((2, 2)))
    share = useful_pollen(*fields(np.zeros(3, dtype=int), np.arange(3), kind, 2), kind, match)
    assert share.dtype == np.float64
    assert np.isnan(share[:, 1]).all()
    assert np.isfinite(share[:, [0, 2]]).all()


def test_a_match_is_overlap_times_compatible_share() -> None:
    match = useful_matrix(np.full((2, 3, 3), 0.8), np.full((3, 3), 0.5))
    assert match[:, 0, 1] == pytest.approx([0.4, 0.4])
    assert match[0].diagonal().tolist() == [0.0, 0.0, 0.0]


def test_a_donor_counts_from_a_quarter_on_and_at_twenty_metres() -> None:
    xy, kind = np.array([[0.0, 0.0], [20.0, 0.0]]), np.array([0, 1])
    for share, count in ((0.25, 1), (0.2499, 0)):
        match = useful_matrix(np.full((10, 2, 2), share), np.ones((2, 2)))
        found = donors_in_reach(xy, kind, match)
        assert found.tolist() == [count, count]
        assert found.dtype == np.int64
    match = useful_matrix(np.ones((10, 2, 2)), np.ones((2, 2)))
    assert donors_in_reach(xy * 1.000001, kind, match).tolist() == [0, 0]


def test_a_donor_of_no_use_does_not_hide_the_next_one() -> None:
    xy, kind = np.array([[0.0, 0.0], [1.0, 0.0], [2.0, 0.0]]), np.array([0, 1, 2])
    match = np.zeros((10, 3, 3))
    match[:, 2, 1] = 1.0
    assert donors_in_reach(xy, kind, match).tolist() == [0, 1, 0]
    match = np.zeros((10, 3, 3))
    match[:, 1, 0] = 1.0
    match[:, 0, 2] = 0.0
    assert donors_in_reach(xy, kind, match).tolist() == [1, 0, 0]


def test_donors_are_counted_within_twenty_metres() -> None:
    xy = np.array([[0.0, 0.0], [10.0, 0.0], [19.9, 0.0], [20.1, 0.0]])
    kind = np.array([0, 1, 2, 3])
    match = useful_matrix(np.ones((10, 4, 4)), np.ones((4, 4)))
    assert donors_in_reach(xy, kind, match)[0] == 2
    match[:2, 1, 0] = 0.0  # useless in two years of ten: not dependable
    assert donors_in_reach(xy, kind, match)[0] == 1
    assert donors_in_reach(xy, np.array([-1, 1, 2, 3]), match)[0] == 0


def test_pollen_falls_off_as_measured() -> None:
    """Mean siring distances of 2.7 trees and 3.6 rows (KRON2001B); a donor within 20 m (POLL-GOF2)."""
    assert (TREES_ALONG, ROWS_ACROSS, REACH, ALLOWED_BAD_YEARS) == (2.7, 3.6, 20.0, 0.1)
