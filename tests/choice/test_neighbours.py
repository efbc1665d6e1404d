"""Pollen from beyond the orchard: stated or guessed, near or far."""

from dataclasses import dataclass, replace
from itertools import product

import numpy as np
import pytest
from choice.test_brute_force import NEEDS, kitchen
from hypothesis import given
from hypothesis import strategies as some

from topwire.choice.neighbours import Outside, counted_on, mass_at, neighbour, outside_pollen
from topwire.choice.pollination import DEPENDABLE, REACH
from topwire.choice.search import find
from topwire.choice.years import Infeasible
from topwire.layout import pollen
from topwire.values.traits import Pollen


@given(some.lists(some.floats(0, 1), min_size=1, max_size=4))
def test_so_many_can_be_counted_on_as_are_useful_in_three_springs_of_four(chances: list[float]) -> None:
    """Every combination of neighbours that flower or not, added up."""
    often = np.zeros(len(chances) + 1)
    for there in product((0, 1), repeat=len(chances)):
        often[sum(there)] += np.prod([p if one else 1 - p for p, one in zip(chances, there, strict=True)])
    at_least = np.cumsum(often[::-1])[::-1]
    if np.abs(at_least - DEPENDABLE).min() > 1e-6:
        assert counted_on(np.array(chances)[:, None])[0] == (at_least[1:] >= DEPENDABLE).sum()


@dataclass(frozen=True)
class Tree:
    name: str
    alleles: tuple[int, ...]
    ploidy: int | None = 2
    pollen: Pollen | None = None


def found(*neighbours: tuple[int, float, float]) -> np.ndarray:
    """Donors of Parent and Late, of trees (which, distance, sure): a donor, one with Parent's alleles, a triploid."""
    trees = [
        Tree("Parent", (1, 2)), Tree("Late", (3, 4)),
        Tree("Donor", (5, 7)), Tree("Alike", (1, 2)), Tree("Triploid", (5, 7, 9), 3),
    ]  # fmt: skip
    first = np.array([[110.0, 130.0, 111.0, 111.0, 111.0]] * 3)
    outside = outside_pollen(
        [neighbour(trees[which].name, distance, sure) for which, distance, sure in neighbours],
        [[which] for which, _, _ in neighbours], trees, [0, 1], first, first + 10, np.ones(5), 1.0,
    )  # fmt: skip
    return outside.donors


def test_a_neighbour_counts_where_it_flowers_with_the_tree_fits_and_stands_near() -> None:
    assert found((2, 10.0, 1.0)).tolist() == [1, 0]  # Late flowers three weeks after it
    assert found((3, 10.0, 1.0)).tolist() == [0, 0]
    assert found((4, 10.0, 1.0)).tolist() == [0, 0]
    assert found((2, REACH + 1, 1.0)).tolist() == [0, 0]


def test_one_guess_is_no_donor_and_three_are_one() -> None:
    assert found((2, 10.0, 0.5)).tolist() == [0, 0]
    assert found(*[(2, 10.0, 0.5)] * 3).tolist() == [1, 0]


def test_a_lone_cultivar_needs_pollen_from_beyond() -> None:
    supply, limits, useful = kitchen(1)
    alone = replace(limits, fewest_cultivars=1, most_cultivars=1, board=1)
    with pytest.raises(Infeasible):
        find(supply, NEEDS, alone, useful.astype(np.int64))
    beyond = useful.astype(np.int64)
    np.fill_diagonal(beyond, 2)
    trees = find(supply, NEEDS, alone, beyond).trees
    assert (trees > 0).sum() == 1


def test_pollen_from_beyond_reaches_every_tree_and_fades_with_distance() -> None:
    assert (np.diff(mass_at([0.0, 5.0, 20.0])) < 0).all()
    by_kind, total = np.zeros((1, 2)), np.array([1.5, 1.5])
    kind, match = np.array([0, 0]), np.zeros((1, 1, 1))
    crab = Outside(np.full((1, 1, 1), 0.6), mass_at([8.0]), np.array([1]))
    without = pollen.useful_pollen(by_kind, total, kind, match)
    with_it = pollen.useful_pollen(by_kind, total, kind, match, crab)
    assert without == pytest.approx(0.0)
    assert (with_it >= pollen.threshold()).all()
    xy = np.array([[0.0, 0.0], [1.0, 0.0]])
    assert pollen.donors_in_reach(xy, kind, match, crab).tolist() == [1, 1]
