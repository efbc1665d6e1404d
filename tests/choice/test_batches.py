"""Which trees go into which autumn, on kitchens small enough to reckon by hand."""

import numpy as np
import pytest
from choice.conftest import BY_LEAF, CATALOGUE, candidate_of, loosened, need

from topwire.choice.batches import autumns_needed, batches, bearing, cropping
from topwire.choice.findings import Batches
from topwire.choice.planting import Limits
from topwire.choice.serving import serve
from topwire.choice.supply import Supply

EVERYONE = ~np.eye(3, dtype=bool)


def planned(
    supply: Supply, limits: Limits, trees: list[int], *, autumns: int, per_year: int | None
) -> Batches:
    needs = (need("juice", 28, 40, total=200.0), need("fresh", 44, 50, weekly=20.0, weight=3.0))
    numbers = np.array(trees)
    _, service = serve(supply, needs, limits, numbers)
    found = batches(
        BY_LEAF, supply, needs, limits, EVERYONE,
        trees=numbers, service=service, first=2027, autumns=autumns, per_year=per_year,
    )  # fmt: skip
    assert found is not None
    return found


def test_trees_count_by_their_leaf() -> None:
    # ten trees in each of two autumns, nothing in the first leaf, a half in the second, in full from the third
    worth = cropping(np.array([[10.0], [10.0]]), np.array([2.0]), np.array([[0.0, 0.5, 1.0, 1.0]]))
    assert worth[:, 0].tolist() == [2, 7, 17, 22]


def test_a_leaf_bears_what_the_table_says() -> None:
    (share,) = bearing(BY_LEAF, [candidate_of(CATALOGUE.cultivar["GoldRush"])], 4)
    assert share.tolist() == [0, 0.1, 0.3, 0.6]


@pytest.mark.parametrize(("per_year", "stated", "takes"), [(None, 3, 3), (10, 1, 3), (10, 4, 4), (25, 1, 1)])
def test_the_autumns_it_takes(per_year: int | None, stated: int, takes: int) -> None:
    assert autumns_needed(25, per_year, stated) == takes


def test_what_the_kitchen_misses_most_is_planted_first(supply: Supply, limits: Limits) -> None:
    # GoldRush serves the table, three times as dear as juice; the nursery raises ten trees a year
    found = planned(supply, limits, [0, 10, 10], autumns=2, per_year=10)
    assert found.planned
    assert [dict(batch.trees) for batch in found.autumns] == [{"GoldRush": 10}, {"Brown's Apple": 10}]
    assert [batch.autumn for batch in found.autumns] == [2027, 2028]
    assert found.gains > 0
    assert found.loses >= 0


def test_the_nursery_is_never_asked_for_more_and_every_tree_is_planted(
    supply: Supply, limits: Limits
) -> None:
    found = planned(supply, limits, [7, 9, 8], autumns=1, per_year=9)
    assert found.planned
    assert all(batch.total - batch.bought <= 9 for batch in found.autumns)
    total: dict[str, int] = {}
    for batch in found.autumns:
        for name, count in batch.trees:
            total[name] = total.get(name, 0) + count
    assert total == {"Yellow Transparent": 7, "GoldRush": 9, "Brown's Apple": 8}


def test_no_slivers(supply: Supply, limits: Limits) -> None:
    found = planned(supply, loosened(limits, fewest_trees=4), [0, 10, 10], autumns=2, per_year=13)
    assert all(count >= 4 for batch in found.autumns for _, count in batch.trees)


def test_trees_without_a_donor_yet_are_named(supply: Supply, limits: Limits) -> None:
    found = planned(supply, limits, [0, 10, 10], autumns=2, per_year=10)
    assert found.autumns[0].no_donor_yet == ("GoldRush",)
    assert found.autumns[1].no_donor_yet == ()


def test_one_autumn_is_best_where_the_nursery_can(supply: Supply, limits: Limits) -> None:
    found = planned(supply, limits, [0, 10, 10], autumns=1, per_year=None)
    assert not found.planned
    assert found.loses > 0
    assert [batch.total for batch in found.autumns] == [10, 10]


def test_standing_trees_are_in_no_batch(supply: Supply, limits: Limits) -> None:
    found = planned(supply, loosened(limits, standing={"GoldRush": 4}), [0, 10, 10], autumns=2, per_year=8)
    assert sum(batch.total for batch in found.autumns) == 16
