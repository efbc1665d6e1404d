"""Service before full crop follows the one crop by leaf there is."""

from dataclasses import replace

import numpy as np
from growth.worlds import asked, forecast

from topwire.growth.kitchen import kitchen_by_leaf, trees_worth


def test_standing_trees_count_from_the_start_and_autumns_from_their_own() -> None:
    kitchen = asked().kitchen
    count = len(kitchen.supply.cultivars)
    planted = np.zeros((2, count), dtype=np.int64)
    planted[0, 0], planted[1, 1] = 10, 20
    standing = np.zeros(count, dtype=np.int64)
    standing[2] = 4
    share = np.tile([0.0, 0.5, 1.0, 1.0], (count, 1))
    worth = trees_worth(replace(kitchen, planted=planted, standing=standing), share)
    assert worth[:, 0].tolist() == [0, 5, 10, 10]
    assert worth[:, 1].tolist() == [0, 0, 10, 20]
    assert worth[:, 2].tolist() == [4, 4, 4, 4]


def test_service_grows_to_that_of_the_full_grown_trees() -> None:
    kitchen = asked().kitchen
    share = np.tile([0.0, 0.3, 0.8, 1.0], (len(kitchen.supply.cultivars), 1))
    years = kitchen_by_leaf(kitchen, share)
    assert [line.leaf for line in years] == [1, 2, 3, 4]
    assert years[0].year == kitchen.first + 1
    assert years[0].served == (0.0,)
    served = [line.served[0] for line in years]
    assert served == sorted(served)
    assert served[-1] > 0


def test_service_begins_with_the_orchards_crop() -> None:
    """One truth: where the orchard's crop by leaf says nothing is borne nothing is served, and something else."""
    crop = forecast()
    assert crop.orchard_kg[1, 2] == 0.0
    for line in crop.kitchen:
        _, middle, high = crop.orchard_kg[line.leaf - 1]
        if high == 0:
            assert line.served == (0.0,)
        if middle > 0:
            assert line.served[0] > 0


def test_the_sample_spans_the_years() -> None:
    kitchen = asked().kitchen
    assert 1 <= len(kitchen.supply.years) <= 3
    trees = {line.cultivar: line.trees for line in asked().trees}
    assert kitchen.planted.tolist() == [[trees[row.name] for row in kitchen.supply.cultivars]]
