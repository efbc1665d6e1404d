"""The chance of enough pollen: sums against the plain rule, alleles by frequency, certainty where all is known."""

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from topwire.choice.pollination import compatible_fraction
from topwire.layout import pollen
from topwire.layout.asked import Genes
from topwire.layout.pollen_chance import chance_of_enough, compatible_share, drawn_alleles, springs_drawn
from topwire.layout.sureness import without_best


def genes(
    alleles: tuple[tuple[int, ...], ...], error: float, pool: tuple[int, ...] = (1, 2, 3, 5, 7, 9)
) -> Genes:
    count = len(alleles)
    return Genes(alleles, (2,) * count, ((),) * count, np.ones(count), 0.75, pool, np.full(count, error))


class _Tested:
    """A cultivar as the pairwise rule sees it."""

    def __init__(self, name: str, alleles: tuple[int, ...]) -> None:
        self.name, self.alleles, self.ploidy, self.pollen = name, alleles, len(alleles) or 2, None


def test_compatible_share_is_the_pairwise_rule() -> None:
    alleles = ((1, 2), (2, 3), (1, 2), (), (2, 3, 5))
    rows = [_Tested(str(number), own) for number, own in enumerate(alleles)]
    weight = np.array([1.0, 1.0, 1.0, 1.0, 0.0])
    wanted = [[compatible_fraction(donor, parent) for parent in rows] for donor in rows]
    np.testing.assert_allclose(compatible_share(alleles, weight, 0.75), wanted)


def test_untested_alleles_are_drawn_as_often_as_they_are_found() -> None:
    random = np.random.default_rng(1)
    known = genes(((1, 2), ()), 0.0, pool=(3, 3, 3, 5, 5, 7))
    seen: Counter[int] = Counter()
    for _ in range(4000):
        first, second = drawn_alleles(known, random)
        assert first == (1, 2)
        assert len(set(second)) == 2
        seen.update(second)
    # two of three without putting back, weights 3, 2, 1: chance of each worked out by hand
    chance = {3: 3 / 6 + 2 / 6 * 3 / 4 + 1 / 6 * 3 / 5, 5: 2 / 6 + 3 / 6 * 2 / 3 + 1 / 6 * 2 / 5}
    for allele, share in chance.items():
        assert seen[allele] / 4000 == pytest.approx(share, abs=0.03)


def test_an_untested_child_has_one_allele_of_each_tested_parent() -> None:
    known = replace(genes(((), (), ()), 0.0), inherited=(((2, 3), (5, 9)), ((7,),), ((2, 3), (2, 3))))
    random = np.random.default_rng(3)
    for _ in range(200):
        both, one, kin = drawn_alleles(known, random)
        assert (both[0] in (2, 3), both[1] in (5, 9)) == (True, True)
        assert one[0] == 7
        assert set(kin) == {2, 3}  # of parents alike no allele twice
        assert all(len(set(own)) == 2 for own in (both, one, kin))


def row_of(kinds: list[int]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    placed = np.array(kinds)
    by_kind, total = pollen.fields(
        np.zeros(placed.size, dtype=int), np.arange(placed.size), placed, max(kinds) + 1
    )
    return by_kind, total, placed


def chance(
    field: tuple[np.ndarray, np.ndarray, np.ndarray], known: Genes, enough: float, fails: float = 0.0
) -> np.ndarray:
    """Of cultivars that flower from day 110 to 120 in each of twelve years."""
    bloom = np.full((12, len(known.alleles)), 110.0)
    return chance_of_enough(*field, springs_drawn(bloom, bloom + 10.0, known, fails=fails), enough)


def test_what_is_known_is_certain() -> None:
    field = row_of([0, 1] * 10)
    fit = chance(field, genes(((1, 2), (3, 5)), 0.0), pollen.threshold())
    np.testing.assert_array_equal(fit, 1.0)
    unfit = chance(field, genes(((1, 2), (1, 2)), 0.0), pollen.threshold())
    np.testing.assert_array_equal(unfit, 0.0)


def test_less_sure_bloom_and_alleles_lower_the_chance() -> None:
    field = row_of([0] * 8 + [1] * 3)
    known, untested = ((1, 2), (3, 5)), ((1, 2), ())
    sure = chance(field, genes(known, 0.0), 0.25).mean()
    drifting = chance(field, genes(known, 6.0), 0.25).mean()
    unknown = chance(field, genes(untested, 6.0), 0.25).mean()
    assert sure > drifting > unknown > 0
    empty = chance((field[0], field[1], np.full(11, -1)), genes(known, 0.0), 0.25)
    np.testing.assert_array_equal(empty, 0.0)


def test_a_lone_donor_fails_as_often_as_it_is_said_to() -> None:
    """One donor: enough in nine springs of ten; two that are each enough fail together in one of a hundred."""
    alleles = ((1, 2), (3, 5), (7, 9))
    lone = chance(row_of([0, 1] * 10), genes(alleles[:2], 0.0), 0.1, fails=0.1)
    both = chance(row_of([1, 0, 2] * 7), genes(alleles, 0.0), 0.1, fails=0.1)
    assert lone.mean() == pytest.approx(0.9, abs=0.05)
    assert both[1::3].mean() > 0.97


def test_without_its_best_donor_a_tree_has_what_the_others_give() -> None:
    by_kind, total, placed = row_of([0, 1, 2, 0, 0])
    match = np.zeros((10, 3, 3))
    match[:, 1, 0], match[:, 2, 0] = 1.0, 0.5
    left = without_best(by_kind, total, placed, match)
    # tree 1: cultivar 1 stands one step off, 2 two steps and half as good; kernel exp(-steps / 2.7)
    assert left[0] == pytest.approx(0.5 * np.exp(-2 / 2.7) / total[0])
    # tree 4: cultivar 2 one step off (0.5 e^-1/2.7) against 1 two steps off (e^-2/2.7): 0.345 against 0.477
    assert left[3] == pytest.approx(0.5 * np.exp(-1 / 2.7) / total[3])
    np.testing.assert_array_equal(left[1:3], 0.0)
