"""Fruit at hand shared out to the kitchen for the rest of the year."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from topwire.choice.needs import WeeklyNeed
from topwire.choice.plate import Juice, JuiceFigure
from topwire.choice.supply import CandidateCultivar
from topwire.season.allotment import AHEAD, FruitSource, made_by, shared_out, still
from topwire.season.asked import KitchenBasis
from topwire.season.seen import PressedNoted
from topwire.values.terms import Use
from topwire.values.traits import Right

FIGURE = JuiceFigure(5.0, 1.0, measured=True)
KEEPER = CandidateCultivar(
    name="Keeper",
    uses=(Use.FRESH, Use.PIE, Use.SAUCE, Use.JUICE),
    cider_class=None,
    juice=Juice(FIGURE, JuiceFigure(0.5, 0.1, measured=True), JuiceFigure(12.0, 1.0, measured=True)),
    pan=None,
    alleles=(),
    ploidy=2,
    pollen=None,
    heritage=False,
    right=Right.FREE,
    biennial=None,
    precocity=None,
    vigour=None,
    storage_weeks=24.0,
    mellow_weeks=0.0,
    harvest_read=True,
)
WEEK = 46  # mid-November


def _need(use: Use, weekly: float, weeks: tuple[int, ...]) -> WeeklyNeed:
    return WeeklyNeed(use, 1.0, weeks, weekly, weekly * len(weeks), 0.0, 0.0)


TABLE = _need(Use.FRESH, 10.0, (*range(40, 53), *range(1, 14)))
BASIS = KitchenBasis((KEEPER, replace(KEEPER, name="Early")), (TABLE,), 1, None, 0.6e-3)


def _lot(kg: float, *, grade: str = "table", table: float = 16.0, name: str = "Keeper") -> FruitSource:
    return FruitSource(name, grade, kg, 0, 0, table, table + 6.0, 0.0)


def test_what_lies_there_is_given_and_no_more() -> None:
    found = shared_out([_lot(50.0)], BASIS, WEEK, holds=None)
    assert 45.0 < found.served.sum() <= 50.0
    assert found.given.sum() == pytest.approx(50.0)
    assert found.wanted[0, :7] == pytest.approx(10.0)


def test_weeks_that_are_over_want_nothing_and_the_first_is_this_one() -> None:
    left = still(TABLE, WEEK)
    assert left is not None
    assert left.weeks[0] == WEEK
    assert left.total == 10.0 * len(left.weeks)
    assert still(_need(Use.FRESH, 10.0, (30, 31)), 32) is None  # beyond what is reckoned ahead: 50 weeks
    assert AHEAD < 50


def test_a_need_ends_before_the_next_crop_and_a_product_before_the_next_making() -> None:
    """In mid-November the summer after next year's first fruit is not this crop's to serve."""
    whole_year = _need(Use.FRESH, 10.0, tuple(range(1, 53)))
    left = still(whole_year, WEEK, end=34)
    assert left is not None
    assert (left.weeks[-1], len(left.weeks)) == (27, 34)
    juice = replace(_need(Use.JUICE, 0.0, tuple(range(33, 51))), weekly=None, total=84.0)
    juice = replace(juice, used=(*range(36, 53), *range(1, 26)))
    left = still(juice, WEEK, made=0.0)
    assert left is not None
    assert (left.used[0], left.used[-1]) == (WEEK, 25), "not week 36 and 37, which drink of the next"
    assert left.total == pytest.approx(84.0 * 32 / 42)
    found = shared_out([_lot(400.0)], replace(BASIS, needs=(whole_year,)), WEEK, holds=None, ends=[20])
    assert found.wanted.sum() == pytest.approx(200.0)


def test_fruit_near_its_end_is_eaten_first() -> None:
    short, long = _lot(40.0, table=3.0, name="Early"), _lot(200.0)
    found = shared_out([long, short], BASIS, WEEK, holds=None)
    assert found.given[1, 0] == pytest.approx(40.0, rel=0.05)
    assert np.all(found.served[0, :10] > 9.9)


def test_only_table_grade_is_eaten_fresh_and_windfalls_are_never_pressed() -> None:
    juice = _need(Use.JUICE, 20.0, tuple(range(44, 50)))
    basis = replace(BASIS, needs=(TABLE, juice))
    found = shared_out([_lot(60.0, grade="kitchen"), _lot(60.0, grade="windfall")], basis, WEEK, holds=None)
    assert found.given[0, 0] == 0.0
    assert found.given[0, 1] > 0.0
    assert found.given[1].sum() == 0.0


def test_what_hangs_on_the_trees_comes_when_it_is_picked() -> None:
    coming = FruitSource("Early", "", 500.0, 3, 4, 10.0, 14.0, 0.0)
    found = shared_out([coming], BASIS, WEEK, holds=None)
    assert found.served[0, :3] == pytest.approx(0.0)
    assert found.served[0, 5] == pytest.approx(10.0)


@pytest.mark.parametrize("first", [20, 30, 38, 43])
def test_next_autumns_fruit_serves_no_spring_before_it(first: int) -> None:
    """Fruit that keeps for most of a year, and is picked weeks or months from now."""
    whole_year = replace(BASIS, needs=(_need(Use.FRESH, 10.0, tuple(range(1, 53))),))
    coming = FruitSource("Early", "", 900.0, first, first + 2, 40.0, 50.0, 0.0)
    found = shared_out([_lot(50.0), coming], whole_year, 5, holds=None)
    assert found.served[0, :first].sum() <= 50.0
    assert found.served[0, first:] == pytest.approx(10.0)


def test_what_was_pressed_is_not_asked_for_again() -> None:
    """Of 100 kg of juice 70 are noted in October: 30 are left in mid-November, and none once it is all made."""
    juice = replace(_need(Use.JUICE, 0.0, tuple(range(36, 51))), weekly=None, total=100.0)
    basis = replace(BASIS, needs=(TABLE, juice))
    day = date(2031, 11, 14)
    october = PressedNoted(date(2031, 10, 10), "Keeper", "juice", 70.0)
    before = PressedNoted(date(2031, 3, 10), "Keeper", "juice", 50.0)
    cider = PressedNoted(date(2031, 10, 11), "Keeper", "cider", 30.0)
    assert made_by(basis, (before,), day, WEEK) == [None, None], "last season's"
    made = made_by(basis, (before, october, cider), day, WEEK)
    assert made == [None, 70.0]
    left = still(juice, WEEK, made[1])
    assert left is not None
    assert left.total == pytest.approx(30.0)
    assert still(juice, WEEK, 100.0) is None
    unsaid = still(juice, WEEK)
    assert unsaid is not None
    assert unsaid.total == pytest.approx(100.0 * 5 / 15)
    found = shared_out([_lot(200.0)], basis, WEEK, holds=None, made=made)
    assert found.served[found.index.index(1)].sum() == pytest.approx(30.0, abs=0.5)
