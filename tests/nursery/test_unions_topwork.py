import numpy as np
import pytest
from nursery.invented import catalogue

from topwire.catalogue.unions import UnionRisk, UnionRow, union_of
from topwire.nursery.topwork import crop_lost, scions_for_stub, stub_chance, topwork

ROWS = catalogue().rows("unions", UnionRow)


def test_the_pair_counts_before_the_stock() -> None:
    assert union_of("G.41", "Gala", ROWS).risk is UnionRisk.WEAK
    assert union_of("G.41", "Honeycrisp", ROWS).risk is UnionRisk.BREAK
    assert union_of("G.41", "McIntosh", ROWS).risk is UnionRisk.WATCH
    assert union_of("G.214", "Gala", ROWS).remarks == ()
    assert union_of("M.9 NAKBT337", "Gala", ROWS).risk is None


def test_virus_comes_on_top_of_the_union() -> None:
    union = union_of("G.935", "Cripps Pink", ROWS)
    assert union.risk is UnionRisk.BREAK
    assert union.virus_sensitive
    assert len(union.remarks) == 2


def test_every_row_names_a_stock_of_the_catalogue_or_says_why_not() -> None:
    known = set(catalogue().rootstock) | {"Ottawa 3"}
    assert {row.rootstock for row in ROWS} <= known


def test_topworking_counts_scions_and_chance() -> None:
    plan = topwork(10, stubs_per_tree=3, stub_diameter=0.08, take=0.85)
    assert plan.scions == 10 * 3 * 5
    assert plan.buds == 3 * plan.scions
    # Two of three stubs: 3 g^2 (1 - g) + g^3.
    good = stub_chance(5, 0.85)
    assert plan.chance_per_tree == pytest.approx(3 * good**2 * (1 - good) + good**3)


def test_thin_stubs_take_two() -> None:
    assert scions_for_stub(0.02) == 2
    with pytest.raises(ValueError, match="above 0"):
        scions_for_stub(0)
    with pytest.raises(ValueError, match="one stub"):
        topwork(1, stubs_per_tree=0, stub_diameter=0.05, take=0.8)


def test_crop_given_up_by_waiting() -> None:
    curve = np.array([0.0, 0.5, 1.0])
    assert crop_lost(curve, 10.0, delay=0, years=3) == pytest.approx(15.0)
    assert crop_lost(curve, 10.0, delay=2, years=3) == pytest.approx(30.0)
