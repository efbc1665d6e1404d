"""Runs laid along rows: counts kept, stumps avoided, the search beside the exact answer."""

import math
from collections import Counter
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from topwire.layout.assignment import LOOKED_AT, Kinds, Planner, Stand, Trees, Weights, within

from topwire.layout import search
from topwire.layout.pollen import fields
from topwire.layout.search import plan_runs
from topwire.layout.walk import Rows


def stand(rows: int, places: int, weeks: int = 6, kinds: int = 6) -> Stand:
    """A level block of equal rows 3.5 m apart, trees 1 m apart, walked up and down."""
    row = np.repeat(np.arange(rows), places)
    up = np.tile(np.arange(places), rows).reshape(rows, places)
    up[1::2] = up[1::2, ::-1]
    step = up.ravel()
    along = step + 0.5
    x = np.arange(rows) * 3.5
    zero = np.zeros(rows)
    n = row.size
    none = np.zeros(0, dtype=int)
    return Stand(
        row=row,
        line=row,
        step=step,
        block=np.zeros(n, dtype=int),
        along=along,
        height=row * 0.5,
        to_gate=np.hypot(row * 3.5, along),
        last=(row + 1) * places,
        rows=Rows(np.stack([x, zero], 1), np.stack([x, zero + places], 1), zero + places, np.zeros(2)),
        standing_low=np.full((rows, weeks), np.inf),
        standing_high=np.full((rows, weeks), -np.inf),
        standing_useful=np.zeros((kinds, n)),
        standing_around=np.zeros(n),
        standing_beside=np.zeros((kinds, n), dtype=bool),
        watched=Trees(none, none, none, none, np.zeros(0), np.zeros(0), np.zeros((kinds, 0), dtype=bool)),
        row_spacing=np.array([3.5]),
        tree_spacing=np.array([1.0]),
    )


def kinds(trees: list[int], seed: int = 0, weeks: int = 6) -> Kinds:
    random = np.random.default_rng(seed)
    n = len(trees)
    match = np.clip(random.random((n, n)) + 0.2, 0, 1)
    np.fill_diagonal(match, 0)
    ripe = np.zeros((n, weeks), dtype=bool)
    ripe[np.arange(n), random.integers(0, weeks, n)] = True
    return Kinds(
        trees=np.array(trees),
        match=match,
        ripe=ripe,
        vigour=random.uniform(0.8, 1.4, n),
        care=random.random(n),
        bloom=random.normal(0, 4, n),
        favourite=random.random(n),
        story=np.where(random.random(n) < 0.5, random.integers(1700, 1900, n), np.nan),
    )


def planner(trees: list[int], rows: int, places: int, seed: int = 0) -> Planner:
    return Planner(
        stand(rows, places, kinds=len(trees)), kinds(trees, seed), shortest_run=5, weights=Weights()
    )


@given(st.lists(st.integers(1, 40), min_size=1, max_size=8), st.integers(3, 30), st.integers(0, 10_000))
@settings(max_examples=60, deadline=None)
def test_every_tree_is_planted_once_and_no_run_crosses_a_row(
    trees: list[int], places: int, seed: int
) -> None:
    rows = -(-sum(trees) // places) + int(np.random.default_rng(seed).integers(0, 3))
    plan = planner(trees, rows, places)
    order = plan.in_order(np.random.default_rng(seed).permutation(len(trees)))
    runs = plan.lay(order)
    laid = Counter()
    for start, stop, kind in zip(runs.start, runs.stop, runs.kind, strict=True):
        assert plan.stand.row[start] == plan.stand.row[stop - 1]
        laid[int(kind)] += int(stop - start)
    assert laid == Counter(dict(enumerate(trees)))
    assert (runs.start[1:] >= runs.stop[:-1]).all()


def test_spare_places_keep_stumps_from_the_row_ends() -> None:
    plan = planner([12, 12, 12], 5, 10)
    runs = plan.lay(plan.in_order([0, 1, 2]))
    assert (runs.stop - runs.start).min() >= 5


@pytest.mark.parametrize("seed", range(4))
def test_the_search_comes_to_the_exact_answer_on_small_ground(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    trees = [12, 8, 14, 9, 11]
    plan = planner(trees, 3, 20, seed)
    exact = plan_runs(plan, seed=1, tries=0, starts=[])
    assert exact.exact
    assert exact.tried == math.factorial(5)
    monkeypatch.setattr(search, "EXACT_UP_TO", 0)
    start = plan.in_order(range(5))
    found = plan_runs(plan, seed=1, tries=1500, starts=[start])
    assert not found.exact
    # split runs are open to the search and not to the list of orders: it may do better, never worse
    assert found.objective <= exact.objective + 1e-9
    assert found.objective <= plan.worth(start) + 1e-9


def test_stopping_early_never_changes_the_value() -> None:
    plan = planner([12, 8, 14, 9, 11], 3, 20)
    random = np.random.default_rng(5)
    for _ in range(30):
        order = plan.in_order(random.permutation(5))
        value = plan.worth(order)
        terms, _ = plan.measure(order)
        assert value == pytest.approx(terms.total(plan.weights))
        limit = float(random.uniform(0, 2 * value))
        early = plan.worth(order, at_most=limit)
        assert early == (pytest.approx(value) if value <= limit else early)
        assert early >= min(value, limit)


def test_sampled_pollen_is_the_pollen_of_the_trees() -> None:
    plan = planner([12, 18, 14, 16], 3, 20)
    runs = plan.lay(plan.in_order([2, 0, 3, 1]))
    share, donors = plan.sampled(runs)
    kind = plan.kind_of(runs)
    by_kind, around = fields(plan.stand.line, plan.stand.step, kind, 4)
    at = (runs.start[None] + within(runs, LOOKED_AT)).ravel()
    here = kind[at]
    wanted = (plan.kinds.match[:, here] * by_kind[:, at]).sum(axis=0) / around[at]
    np.testing.assert_allclose(share, wanted, atol=1e-9)
    assert donors.max() <= 3
    plan.every_run = False
    coarse, _ = plan.sampled(runs)
    assert coarse.size == 5 * 4
    assert set(np.round(coarse[[0, -1]], 9)) <= set(np.round(wanted, 9))


def test_equal_seeds_give_equal_plantings() -> None:
    trees = [7] * 8
    plan = planner(trees, 4, 14)
    start = plan.in_order(range(8))
    first, second = (plan_runs(plan, seed=9, tries=300, starts=[start]) for _ in range(2))
    assert first.order == second.order
    np.testing.assert_array_equal(first.kind, second.kind)


def test_scaled_terms_stay_between_best_and_worst() -> None:
    plan = planner([12, 8, 14, 9, 11], 3, 20)
    random = np.random.default_rng(1)
    for _ in range(40):
        terms, _ = plan.measure(plan.in_order(random.permutation(5)))
        assert 0 <= terms.frost <= 1
        assert 0 <= terms.gate <= 1
        assert 0 <= terms.heritage <= 1


def one_wish(**wish: object) -> Planner:
    """Four cultivars of one row each, alike but for one thing."""
    n = 4
    plain = {
        "trees": np.full(n, 20),
        "match": np.ones((n, n)) - np.eye(n),
        "ripe": np.eye(n, 6, dtype=bool),
        "vigour": np.ones(n),
        "care": np.zeros(n),
        "bloom": np.zeros(n),
        "favourite": np.zeros(n),
        "story": np.full(n, np.nan),
    }
    return Planner(stand(4, 20, kinds=n), Kinds(**(plain | wish)), shortest_run=5, weights=Weights())  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("term", "wish", "best", "worst"),
    [
        # row 4 of the trial stand is the highest and the farthest from the gate
        ("frost", {"bloom": np.array([6.0, -5.0, 0.0, 2.0])}, (0, 3, 2, 1), (1, 2, 3, 0)),
        ("gate", {"favourite": np.array([0.0, 1.0, 0.0, 0.0])}, (1, 0, 2, 3), (0, 2, 3, 1)),
        ("heritage", {"story": np.array([1650.0, np.nan, 1790.0, 1820.0])}, (1, 0, 2, 3), (3, 1, 2, 0)),
        ("alike", {"vigour": np.array([0.8, 1.4, 0.9, 1.3])}, (0, 2, 3, 1), (0, 1, 2, 3)),
    ],
)
def test_every_wish_is_met_best_where_it_should_be(
    term: str, wish: dict[str, object], best: tuple[int, ...], worst: tuple[int, ...]
) -> None:
    plan = one_wish(**wish)
    values = {order: getattr(plan.measure(plan.in_order(order))[0], term) for order in permutations(range(4))}
    assert values[best] == pytest.approx(min(values.values()))
    assert values[worst] > values[best]
    if term in ("frost", "gate"):
        assert values[worst] == pytest.approx(max(values.values()))
    if term == "frost":  # whole rows are of one height: the bound over all ways to place trees is reached
        assert values[best] == pytest.approx(0.0, abs=1e-9)


def test_a_longer_walk_than_catalogue_order_is_charged() -> None:
    plan = one_wish()
    runs = plan.lay(plan.in_order(range(4)))
    assert plan.walk_term(runs) == pytest.approx(1.0)
    plan.walk_scale /= 1.5
    assert plan.walk_term(runs) == pytest.approx(1.5 + 5 * 0.5)
