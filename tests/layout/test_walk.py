"""Picking rounds: by hand, and against every way to walk them."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.layout.walk import RowLines, picking_walk, reach


def rows_of(count: int, length: float = 100.0, pitch: float = 4.0) -> RowLines:
    x = np.arange(count) * pitch
    zero = np.zeros(count)
    return RowLines(np.stack([x, zero], 1), np.stack([x, zero + length], 1), zero + length, np.zeros(2))


def test_one_tree_is_fetched_and_carried_back() -> None:
    low, high = reach(np.array([1]), np.array([30.0]), np.array([30.0]), np.array([[True]]), 3)
    assert picking_walk(rows_of(3), low, high)[0] == pytest.approx(4 + 60 + 4)


def test_two_full_rows_are_walked_through() -> None:
    low, high = np.array([[0.0], [0.0]]), np.array([[100.0], [100.0]])
    assert picking_walk(rows_of(2), low, high)[0] == pytest.approx(100 + 4 + 100 + 4)


def test_a_week_without_fruit_costs_nothing() -> None:
    low, high = reach(np.array([0]), np.array([5.0]), np.array([5.0]), np.array([[False]]), 2)
    assert picking_walk(rows_of(2), low, high)[0] == 0.0


@given(st.integers(0, 100_000))
@settings(max_examples=40, deadline=None)
def test_no_way_of_turning_or_passing_is_shorter(seed: int) -> None:
    random = np.random.default_rng(seed)
    count = int(random.integers(1, 6))
    rows = rows_of(count)
    there = random.random(count) < 0.7
    a, b = random.uniform(0, 100, (2, count))
    low = np.where(there, np.minimum(a, b), np.inf)[:, None]
    high = np.where(there, np.maximum(a, b), -np.inf)[:, None]
    visited = np.flatnonzero(there)
    best = 0.0 if visited.size == 0 else np.inf
    # the picker enters each row at one end and leaves at the same or the other one
    for ends in product((0, 1), repeat=2 * visited.size):
        at, total = rows.gate, 0.0
        for k, row in enumerate(visited):
            points = (rows.start[row], rows.end[row])
            into, out = ends[2 * k], ends[2 * k + 1]
            if k and into != ends[2 * k - 1]:
                total = np.inf  # rows are changed along the headland the picker stands on
                break
            total += float(np.hypot(*(points[into] - at)))
            far = high[row, 0] if into == 0 else 100 - low[row, 0]
            total += 100.0 if into != out else 2 * far
            at = points[out]
        best = min(best, total + float(np.hypot(*(at - rows.gate))))
    assert picking_walk(rows, low, high)[0] == pytest.approx(best)
