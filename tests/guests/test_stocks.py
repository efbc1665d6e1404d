"""What is made once and sold for a year, and which of the week's dishes are of which apples."""

from datetime import date

import numpy as np
import pytest

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.choice.findings import NeedLine
from topwire.guests.question import dishes_of
from topwire.guests.stocks import in_its_weeks, on_offer
from topwire.season.asked import KitchenNeed, MadeOnce
from topwire.season.question import kitchen_needs
from topwire.values.terms import CiderClass, CiderStyle, Use

CATALOGUE = Catalogue(read_tables())
CIDER = MadeOnce(
    first=267.0, last=308.0, ripens=210.0, keeps=None
)  # 24 Sep to 4 Nov, ready 2 Jun of most years
JUICE = MadeOnce(first=244.0, last=294.0, ripens=None, keeps=140.0)  # 1 Sep to 21 Oct, good to 10 Mar


def line(use: Use, weeks: list[int], **changed: object) -> NeedLine:
    """Made in those weeks, a week later in every third year."""
    served = np.zeros((3, 52))
    for year, later in enumerate((0, 0, 1)):
        served[year, [(week - 1 + later) % 52 for week in weeks]] = 40.0
    facts: dict[str, object] = {
        "use": use, "cider_class": None, "blended": False, "amount": 900.0, "a_week": False, "start": 244.0,
        "end": 354.0, "used_from": None, "used_to": None, "weight": 1.0, "wanted": np.full(52, 10.0), "served": served,
    }  # fmt: skip
    return NeedLine(**facts | changed)  # type: ignore[arg-type]


def stock(use: Use, weeks: list[int], **changed: object) -> MadeOnce | None:
    return kitchen_needs((line(use, weeks, **changed),), CATALOGUE)[0].stock


def test_a_product_made_once_has_the_days_of_the_middle_year_and_its_own_life() -> None:
    plain = stock(Use.CIDER, [39, 40, 44])
    assert plain == MadeOnce(267.0, 308.0, 7.0 * 30, None)  # no style: the house blend, and its slowest
    assert stock(Use.CIDER, [39, 44], style=CiderStyle.BOTTLE_CONDITIONED) == MadeOnce(
        267.0, 308.0, 182.0, None
    )
    assert stock(Use.CIDER, [39, 44], style=CiderStyle.VINEGAR) is None
    assert stock(Use.JUICE, [35, 42]) == MadeOnce(
        244.0, 294.0, None, 364.0
    )  # not before the plan's first day
    assert stock(Use.SAUCE, [50, 2], start=330.0, end=20.0) == MadeOnce(
        344.0, 378.0, None, 364.0
    )  # over New Year
    assert stock(Use.JUICE, []) is None
    assert stock(Use.PIE, [40]) is None
    assert stock(Use.JUICE, [40], used_from=280.0, used_to=100.0) is None  # has its weeks


@pytest.mark.parametrize(
    ("day", "there"),
    [
        ("2032-10-10", False),  # being pressed
        ("2032-11-10", False),
        ("2033-05-31", False),
        ("2033-06-01", True),  # the first vintage is ready
        ("2034-09-05", True),  # last year's while this year's is pressed
        ("2034-11-10", True),
        ("2034-12-28", True),
        ("2035-02-10", True),
    ],
)  # fmt: skip
def test_cider_is_poured_when_it_is_ready_and_last_years_until_then(day: str, there: bool) -> None:
    asked = date.fromisoformat(day)
    made = {year: year >= 2032 for year in range(2028, 2036)}
    assert on_offer(CIDER, asked, made) is there
    assert not on_offer(CIDER, date(2035, 6, 2), made | {2034: False})  # of a year without any there is none


@pytest.mark.parametrize(
    ("day", "there"),
    [("2034-08-31", False), ("2034-09-01", True), ("2035-03-10", True), ("2035-03-11", False)],
)
def test_juice_is_there_from_its_first_day_as_long_as_it_keeps(day: str, there: bool) -> None:
    made = {year: year >= 2032 for year in range(2028, 2036)}
    assert on_offer(JUICE, date.fromisoformat(day), made) is there
    assert not on_offer(JUICE, date.fromisoformat(day), dict.fromkeys(made, False))


def test_a_dish_is_of_the_choices_apples_of_that_week_and_a_stock_is_no_need_of_a_week() -> None:
    wanted = np.zeros(52)
    wanted[51] = 25.0
    by_week = ((),) * 51 + (("Enterprise", "Winesap"),)
    needs = (
        KitchenNeed("pie", "slice of pie", wanted, wanted, brought_by=by_week),
        KitchenNeed("cider", str(CiderClass.SHARP), wanted, wanted, made_once=True, stock=CIDER),
        KitchenNeed("baked", "for the fair", wanted, wanted, made_once=True, brought_by=by_week),
    )
    assert [(dish.dish, dish.fruit) for dish in dishes_of(needs, (), None, 51)] == [
        ("slice of pie", ("Enterprise", "Winesap")),
        ("for the fair", ("Enterprise", "Winesap")),  # a season's amount, baked as its fruit is there
    ]
    assert [dish.dish for dish in dishes_of(needs, (1,), None, 20)] == ["sharp cider"]


@pytest.mark.parametrize(
    ("day", "there"),
    [
        ("2031-07-12", False),  # first summer apples; the jars of this week would be of 2030
        ("2031-08-20", False),  # being cooked, and not yet in use
        ("2031-11-10", True),
        ("2032-07-12", True),  # of 2031
        ("2032-08-20", False),
    ],
)
def test_a_jar_is_of_the_fruit_of_its_making(day: str, there: bool) -> None:
    used = np.where((np.arange(52) >= 39) | (np.arange(52) < 30), 20.0, 0.0)  # 1 Oct to 31 Jul
    served = np.tile(used, (3, 1))
    need = line(Use.SAUCE, [], start=213.0, used_from=274.0, used_to=212.0, wanted=used, served=served)
    (sauce,) = kitchen_needs((need,), CATALOGUE)
    assert sauce.season == 213.0  # made from 1 August
    made = {year: year >= 2031 for year in range(2028, 2036)}
    assert in_its_weeks(sauce, 213.0, date.fromisoformat(day), made) is there
    stocks = (0,) if there else ()
    assert [dish.use for dish in dishes_of((sauce,), stocks, None, 27)] == [Use.SAUCE] * there


def test_what_is_made_once_has_no_weeks_and_no_season() -> None:
    assert kitchen_needs((line(Use.CIDER, [39]),), CATALOGUE)[0].season is None
