import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from nursery.invented import catalogue

from topwire.growth.bearing import HABITS, bearing_index, flowers_next_year, habit_of, load_seen
from topwire.growth.rows import LoadRow
from topwire.values.traits import Grade


def test_flowers_fall_with_load_and_are_half_at_the_turn() -> None:
    flowers = flowers_next_year(np.arange(12.0), 5.0)
    assert (np.diff(flowers) < 0).all()
    assert flowers[5] == pytest.approx(0.5)


def test_the_buds_see_what_is_thinned_late() -> None:
    assert float(load_seen(4.0, 10.0, 0.25)) == pytest.approx(5.5)
    assert float(load_seen(4.0, 3.0, 0.25)) == 4.0


def test_unknown_habit_is_the_middle_one() -> None:
    assert habit_of(None) is HABITS[Grade.MEDIUM]
    assert HABITS[Grade.HIGH].load < HABITS[Grade.MEDIUM].load < HABITS[Grade.LOW].load


def test_index_from_even_to_every_other_year() -> None:
    assert float(bearing_index([10.0, 10, 10])) == 0
    assert float(bearing_index([10.0, 0, 10, 0])) == 1
    assert float(bearing_index([0.0, 0, 0])) == 0
    assert float(bearing_index([10.0, 5, 10])) == pytest.approx(1 / 3)
    with pytest.raises(ValueError, match="two years"):
        bearing_index([3.0])


@given(st.lists(st.floats(0, 50), min_size=2, max_size=12))
@settings(deadline=None)
def test_index_lies_between(yields: list[float]) -> None:
    assert 0 <= float(bearing_index(yields)) <= 1


def test_the_table_ships_the_habits_loads() -> None:
    rows = {row.item: row.load for row in catalogue().rows("crop_load", LoadRow)}
    assert {grade: rows[f"biennial {grade}"] for grade in Grade} == {
        grade: HABITS[grade].load for grade in Grade
    }
