"""Who can pollinate whom."""

from dataclasses import replace

import numpy as np
import pytest

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.choice.pollination import (
    DEPENDABLE,
    POOR_POLLEN,
    UNKNOWN_MATCH,
    UNKNOWN_PLOIDY,
    USEFUL,
    bloom_overlap,
    chance_together,
    compatibility,
    compatible_fraction,
    donor_weight,
    donors_wanted,
    useful_chance,
    useful_donors,
)
from topwire.values.traits import Pollen

CATALOGUE = Catalogue(read_tables())
KNOWN = np.zeros(2)  # [d] offsets that are not in doubt


@pytest.mark.parametrize("name", ["Gala", "Jonagold", "Dolgo", "Winesap"])
def test_a_cultivar_does_not_pollinate_itself(name: str) -> None:
    row = CATALOGUE.cultivar[name]
    assert compatible_fraction(row, row) == 0


def test_triploids_give_nothing_and_reject_more() -> None:
    jonagold, golden = CATALOGUE.cultivar["Jonagold"], CATALOGUE.cultivar["Golden Delicious"]
    assert compatible_fraction(jonagold, golden) == 0
    assert compatible_fraction(golden, jonagold) == 0  # S2S3 within S2S3S9


def test_a_triploid_gives_nothing_however_good_its_pollen_is_called() -> None:
    """Pollen of triploids germinates poorly and sets next to nothing (BARNEY2012-POLLEN): ploidy guards."""
    golden, gala = CATALOGUE.cultivar["Golden Delicious"], CATALOGUE.cultivar["Gala"]
    assert golden.pollen is Pollen.GOOD
    assert compatible_fraction(golden, gala) > 0
    assert compatible_fraction(replace(golden, ploidy=3), gala) == 0
    assert compatible_fraction(replace(golden, ploidy=3, s_alleles=None), gala) == 0
    assert compatible_fraction(replace(golden, ploidy=4), gala) == 0


def test_a_ploidy_not_known_is_taken_for_two_sets() -> None:
    golden, gala = CATALOGUE.cultivar["Golden Delicious"], CATALOGUE.cultivar["Gala"]
    assert compatible_fraction(replace(golden, ploidy=None), gala) == compatible_fraction(golden, gala) > 0


def test_neither_ploidy_nor_pollen_known_is_not_one_to_rely_on() -> None:
    golden = CATALOGUE.cultivar["Golden Delicious"]
    known = replace(golden, ploidy=2, pollen=Pollen.GOOD)
    assert donor_weight(known) == 1.0
    assert donor_weight(replace(known, ploidy=None)) == 1.0
    assert donor_weight(replace(known, pollen=None)) == 1.0
    assert donor_weight(replace(known, ploidy=None, pollen=None)) == UNKNOWN_PLOIDY == 0.2


def test_poor_pollen_is_never_relied_on_and_none_is_nothing() -> None:
    golden, gala = CATALOGUE.cultivar["Golden Delicious"], CATALOGUE.cultivar["Gala"]
    good = compatible_fraction(golden, gala)
    assert compatible_fraction(replace(golden, pollen=Pollen.POOR), gala) == pytest.approx(POOR_POLLEN * good)
    assert POOR_POLLEN < USEFUL
    assert compatible_fraction(replace(golden, pollen=Pollen.NONE), gala) == 0


def test_a_donor_is_useful_from_half_the_bloom_with_half_the_alleles() -> None:
    compatible = np.array([[0.0, 0.5], [0.5, 0.0]])
    for late, useful in ((4.9, True), (5.1, False), (1.0, True)):
        first = np.array([[100.0, 100.0 + late]])
        chance = useful_chance(first, first + 10.0, KNOWN, 0.0, compatible)
        assert useful_donors(chance)[0, 1] == useful


def test_an_unknown_genotype_counts_three_quarters() -> None:
    unknown = next(
        row for row in CATALOGUE.cultivars if not row.alleles and row.pollen == "good" and row.ploidy == 2
    )
    assert compatible_fraction(unknown, CATALOGUE.cultivar["Gala"]) == UNKNOWN_MATCH


def test_matrix_is_donors_by_parents() -> None:
    rows = [CATALOGUE.cultivar[name] for name in ("Golden Delicious", "Jonagold")]
    assert compatibility(rows).tolist() == [[0.0, 0.0], [0.0, 0.0]]
    rows = [CATALOGUE.cultivar[name] for name in ("Golden Delicious", "Gala")]
    assert compatibility(rows)[0, 1] == 0.5


def test_overlap_is_the_parents_share() -> None:
    first = np.array([[100.0, 104.0, np.nan]])
    last = np.array([[110.0, 124.0, np.nan]])
    share = bloom_overlap(first, last)
    assert share[0, 0, 1] == pytest.approx(0.3)  # donor 0 covers 6 of parent 1's 20 days
    assert share[0, 1, 0] == pytest.approx(0.6)
    assert share[0, 2].tolist() == [0, 0, 0]


def test_a_donor_out_of_bloom_gives_nothing_and_one_about_it_gives_all() -> None:
    first = np.array([[100.0, 112.0, 102.0, 108.0]])
    last = np.array([[110.0, 120.0, 106.0, 108.0]])  # the last one drops its petals the day it opens
    share = bloom_overlap(first, last)[0]
    assert share[0].tolist() == [1.0, 0.0, 1.0, 0.0]
    assert share[1].tolist() == [0.0, 1.0, 0.0, 0.0]
    assert share[2, 0] == pytest.approx(0.4)


def test_three_donors_are_wanted_or_two_where_there_are_no_more() -> None:
    useful = np.zeros((5, 5), dtype=bool)
    for parent in range(5):
        useful[:parent, parent] = True
    assert donors_wanted(useful).tolist() == [2, 2, 2, 3, 3]
    assert donors_wanted(useful).dtype == np.int64


def test_useful_in_three_springs_of_four() -> None:
    compatible = np.array([[0.0, 1.0], [1.0, 0.0]])
    first = np.full((8, 2), 100.0)
    first[:2, 1] = 130.0
    assert useful_donors(useful_chance(first, first + 10.0, KNOWN, 0.0, compatible))[0, 1]
    first[2, 1] = 130.0
    assert not useful_donors(useful_chance(first, first + 10.0, KNOWN, 0.0, compatible))[0, 1]


def test_what_is_not_known_counts_against_a_donor_that_just_reaches() -> None:
    compatible = np.array([[0.0, 0.5], [0.5, 0.0]])
    first = np.array([[100.0, 104.0]])
    known = useful_chance(first, first + 10.0, KNOWN, 0.0, compatible)
    unsure = useful_chance(first, first + 10.0, np.full(2, 2.5), 1.5, compatible)
    assert known[0, 1] == pytest.approx(1.0)
    assert unsure[0, 1] == pytest.approx(0.59, abs=0.03)  # normal of 4.1 d from -9 to +1
    assert useful_chance(first, first + 10.0, np.full(2, 2.5), 1.5, 0 * compatible).max() == 0.0


def test_a_year_without_bloom_is_no_chance() -> None:
    first = np.array([[100.0, 100.0], [100.0, np.nan]])
    chance = useful_chance(first, first + 10.0, KNOWN, 0.0, np.array([[0.0, 1.0], [1.0, 0.0]]))
    np.testing.assert_allclose(chance, [[0.0, 0.5], [0.5, 0.0]])


def test_a_donor_that_flowers_too_short_or_is_asked_for_too_much_has_no_chance() -> None:
    """A short-flowering donor lies inside the parent's bloom and still covers too little of it."""
    first, last = np.array([[100.0, 103.0]]), np.array([[112.0, 107.0]])
    unsure = np.full(2, 3.0)
    half, third = np.full((2, 2), 0.5), np.full((2, 2), 4.0 / 12.0)
    assert chance_together(first, last, unsure, 1.5, half)[1, 0] == 0.0  # 4 days of 12, wanted 6
    assert chance_together(first, last, unsure, 1.5, third)[1, 0] > 0.5  # 4 days wanted, 4 there
    assert chance_together(first, last, unsure, 1.5, np.full((2, 2), 1.5)).max() == 0.0  # more than all of it
    assert chance_together(first, last, unsure, 1.5, np.full((2, 2), 1.0))[0, 1] > 0.5


def test_chances_are_those_of_springs_drawn_many_times() -> None:
    """The area under the normal curve, and the count over 4,000 draws of eight years and six cultivars."""
    random = np.random.default_rng(11)
    first = random.normal(115.0, 4.0, (8, 6))
    last = first + random.uniform(6.0, 14.0, (8, 6))
    error, single = random.uniform(0.0, 3.0, 6), 1.5
    compatible = np.where(np.eye(6) > 0, 0.0, random.choice([0.25, 0.5, 0.75, 1.0], (6, 6)))
    late = random.normal(size=(4000, 1, 6)) * error + random.normal(0.0, single, (4000, 8, 6))
    drawn = bloom_overlap((first + late).reshape(-1, 6), (last + late).reshape(-1, 6))
    counted = np.mean(drawn * compatible[None] >= USEFUL, axis=0)
    np.testing.assert_allclose(useful_chance(first, last, error, single, compatible), counted, atol=0.01)


def test_weights_of_what_is_not_known() -> None:
    """Design assumptions, no source: a change of one moves the choice and has to be meant."""
    assert (POOR_POLLEN, UNKNOWN_MATCH, USEFUL, DEPENDABLE) == (0.2, 0.75, 0.25, 0.75)
