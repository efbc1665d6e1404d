"""Parents: each that is tested has given its child an S-allele, as heredity has it; parents are from memory."""

import pytest

from topwire.catalogue.model import Catalogue
from topwire.catalogue.parents import ParentsRow, parents_of
from topwire.catalogue.tables import read_tables
from topwire.choice.disease import Disease
from topwire.choice.disease_question import ratings_of

CATALOGUE = Catalogue(read_tables())
PAIRS = [
    (child, parent)
    for child, parents in parents_of(CATALOGUE).items()
    for parent in parents
    if parent in CATALOGUE.cultivar
    and CATALOGUE.cultivar[parent].alleles
    and CATALOGUE.cultivar[child].alleles
]


def test_many_pairs_can_be_held_against_heredity() -> None:
    assert len(PAIRS) >= 20


@pytest.mark.parametrize(("child", "parent"), PAIRS)
def test_a_parent_shares_an_allele_with_its_child(child: str, parent: str) -> None:
    assert {*CATALOGUE.cultivar[child].alleles} & {*CATALOGUE.cultivar[parent].alleles}


def test_no_one_is_its_own_ancestor() -> None:
    parents = parents_of(CATALOGUE)

    def ancestors(name: str, seen: tuple[str, ...]) -> None:
        assert name not in seen, seen
        for parent in parents.get(name, ()):
            ancestors(parent, (*seen, name))

    for name in parents:
        ancestors(name, ())


def test_both_parents_stand_for_a_child_no_one_has_rated() -> None:
    ratings = ratings_of(CATALOGUE)
    unrated = [
        (row.cultivar, disease)
        for row in CATALOGUE.rows("cultivar_parents", ParentsRow)
        for disease in Disease
        if len(row.names) == 2
        and all(name in ratings and ratings[name][disease].known for name in row.names)
        and not ratings[row.cultivar][disease].known
    ]
    assert unrated
    for child, disease in unrated:
        rating = ratings[child][disease]
        own = [ratings[name][disease].middle for name in parents_of(CATALOGUE)[child]]
        assert rating.middle >= sum(own) / 2 - 1e-9  # never told better than its parents
