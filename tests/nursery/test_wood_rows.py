import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.nursery.rows import nursery_ground
from topwire.nursery.wood import scion_sticks, stocks_to_order


def test_a_grafts_buds_come_from_one_stick() -> None:
    # Five usable buds make two grafts of two buds, not two and a half.
    assert scion_sticks(20, buds_per_graft=2, usable_buds_per_stick=5, margin=1.0) == 10


@given(st.integers(0, 500), st.integers(1, 3), st.integers(3, 10))
@settings(deadline=None)
def test_sticks_are_enough(grafts: int, per_graft: int, per_stick: int) -> None:
    sticks = scion_sticks(grafts, buds_per_graft=per_graft, usable_buds_per_stick=per_stick)
    assert sticks * (per_stick // per_graft) >= grafts


def test_stocks_carry_culls_and_bundles() -> None:
    assert stocks_to_order(100) == 103
    assert stocks_to_order(100, bundle=50) == 150
    assert stocks_to_order(0) == 0


def test_wood_that_cannot_be() -> None:
    with pytest.raises(ValueError, match="too short"):
        scion_sticks(10, buds_per_graft=4, usable_buds_per_stick=3)
    with pytest.raises(ValueError, match="usable bud"):
        scion_sticks(10, buds_per_graft=1, usable_buds_per_stick=0)


@given(st.integers(1, 3000))
@settings(deadline=None)
def test_rows_hold_the_trees(trees: int) -> None:
    ground = nursery_ground(trees, tree_spacing=0.3, row_spacing=1.0)
    assert ground.rows * ground.row_length >= trees * 0.3 - 1e-9
    assert ground.row_length <= 50.0 + 0.3
    assert ground.area_with_headlands > ground.area


def test_no_tree_no_ground() -> None:
    assert nursery_ground(0, tree_spacing=0.3, row_spacing=1.0).area == 0
