"""Each condition of serving alone: one cultivar, one year, numbers to reckon in the head."""

from dataclasses import replace

import numpy as np
import pytest
from choice.conftest import CATALOGUE, candidate_of, loosened, need

from topwire.cellar.keeping import share_kept
from topwire.choice.planting import WORST_WEIGHT, Limits
from topwire.choice.service import CLEAN_LOSS, SAMENESS_COST, WASTE_COST, WORST_SHARE
from topwire.choice.serving import Service, serve, unavoidable
from topwire.choice.supply import TABLE_GRADE, Supply
from topwire.values.terms import Risk

MADE = 1 - CLEAN_LOSS  # of fruit pressed or cooked in the week it is picked


def one_year(supply: Supply, **changes: object) -> Supply:
    """The first year alone: 10 kg a tree; picked in weeks 28, 42 and 43, 38."""
    return replace(supply.in_years(np.array([0])), **changes)  # type: ignore[arg-type]


def served(supply: Supply, needs: tuple, limits: Limits, *trees: int) -> Service:
    return serve(supply, needs, limits, np.array(trees))[1]


CAREFUL = WORST_WEIGHT[Risk.CAREFUL]


def test_fruit_is_not_served_before_it_is_picked(supply: Supply, limits: Limits) -> None:
    # 100 kg picked in equal parts in weeks 42 and 43: no more than 50 kg are cooked in week 42
    year = one_year(supply)
    service = served(year, (need("pie", 41, 43, weekly=80.0),), limits, 0, 10, 0)
    assert service.served[0, 0, 40] == 0
    assert service.served[0, 0, 41] == pytest.approx(50)
    share = float(share_kept(0.5, 30.0))  # by week 43 the fruit is half a week old
    assert service.served[0, 0, 42] == pytest.approx(50 * share)


def test_a_blemished_apple_is_sauce_never_the_other_way(supply: Supply, limits: Limits) -> None:
    year = one_year(supply)
    needs = (need("fresh", 43, 43, weekly=500.0, weight=2.0), need("pie", 43, 43, weekly=500.0))
    service = served(year, needs, limits, 0, 10, 0)
    assert service.given[0, 1].tolist() == pytest.approx([TABLE_GRADE * 100, (1 - TABLE_GRADE) * 100])


def test_fruit_that_mellows_waits_for_the_table_but_not_for_the_pan(supply: Supply, limits: Limits) -> None:
    year = one_year(supply, mellow=np.array([0.0, 6.0, 0.0]))  # picked from week 42, good at table from 48
    needs = (need("fresh", 44, 52, weekly=1.0), need("pie", 44, 52, weekly=1.0))
    service = served(year, needs, limits, 0, 10, 0)
    assert (np.flatnonzero(service.served[0, 0] > 0) + 1).tolist() == [48, 49, 50, 51, 52]
    assert (np.flatnonzero(service.served[0, 1] > 0) + 1).tolist() == list(range(44, 53))


def test_juice_and_cider_share_the_press_of_a_week(supply: Supply, limits: Limits) -> None:
    # two weeks of 30 kg for both together; cider matters more and is served first
    year = one_year(supply)
    cider = need("cider", 38, 39, total=40.0 * MADE, weight=5.0)
    juice = need("juice", 38, 39, total=100.0)
    assert cider.served_by(year.cultivars[2])
    assert juice.served_by(year.cultivars[2])
    service = served(year, (cider, juice), loosened(limits, press_week=30.0), 0, 0, 20)
    both = service.given[0, 2]
    assert both.sum() == pytest.approx(60)
    assert both[0] >= 40 - 1e-6


def test_the_pan_takes_so_much_a_week(supply: Supply, limits: Limits) -> None:
    year = one_year(supply)
    pan = need("sauce", 28, 30, total=500.0, more={"weekly_capacity": "12 kg"})
    service = served(year, (pan,), limits, 20, 0, 0)
    assert service.given[0, 0, 0] == pytest.approx(3 * 12)


def test_the_pan_stands_idle_before_the_first_fruit(supply: Supply, limits: Limits) -> None:
    # weeks 26 to 29, picked in week 28: two weeks of 12 kg
    pan = need("sauce", 26, 29, total=500.0, more={"weekly_capacity": "12 kg"})
    assert served(one_year(supply), (pan,), limits, 20, 0, 0).given[0, 0, 0] == pytest.approx(24)


def test_the_cellar_holds_also_what_waits_for_the_press(supply: Supply, limits: Limits) -> None:
    # 200 kg picked in week 38; the press takes 30 a week; beside the week's 30 the cellar holds 40 and no more
    needs = (need("juice", 38, 45, total=500.0),)
    service = served(one_year(supply), needs, loosened(limits, press_week=30.0, cellar=40.0), 0, 0, 20)
    assert service.given[0, 2, 0] == pytest.approx(30 + 40)
    assert service.stored[0].max() == pytest.approx(40)


def test_the_cellar_is_held_in_every_week(supply: Supply, limits: Limits) -> None:
    needs = (need("pie", 42, 10, weekly=15.0),)
    service = served(one_year(supply), needs, loosened(limits, cellar=50.0), 0, 30, 0)
    assert service.stored[0].max() <= 50 + 1e-5
    assert service.stored[0].max() > 49


def test_a_product_is_eaten_after_it_is_made(supply: Supply, limits: Limits) -> None:
    # 120 kg to be eaten in equal parts in weeks 28 to 33; the pan takes 10 kg a week in 28 and 29: two weeks of 20
    # could never be served from it before it is made; what is made by week 28 is 10 kg, by week 29 it is 20
    need_ = need("sauce", 28, 29, total=120.0, used=tuple(range(28, 34)), more={"weekly_capacity": "10 kg"})
    service = served(one_year(supply), (need_,), limits, 20, 0, 0)
    eaten = service.served[0, 0]
    kept = share_kept(np.array([0.0, 1.0]), 3.0) * MADE
    assert eaten[27] <= 10 * kept[0] + 1e-6
    assert eaten.sum() == pytest.approx(10 * kept.sum())
    assert eaten[33:].sum() == 0


def test_what_is_made_is_eaten_within_its_life(supply: Supply, limits: Limits) -> None:
    # made in week 28 and good until week 30; wanted in equal parts in weeks 28 to 37: three tenths can be had
    need_ = need("sauce", 28, 28, total=100.0, used=tuple(range(28, 38)), keeps=2.0)
    year = one_year(supply)
    service = served(year, (need_,), limits, 20, 0, 0)
    assert service.served[0, 0, 27:37].tolist() == pytest.approx([10.0] * 3 + [0.0] * 7)
    assert service.given[0, 0, 0] == pytest.approx(30 / MADE)  # no more is made than is eaten
    assert service.short.tolist() == pytest.approx([70])
    assert need_.off_the_shelf() == tuple(range(31, 38))
    assert unavoidable(year, (need_,)).tolist() == pytest.approx([70])


def test_stock_goes_over_new_year_and_ends_before_the_next_making(supply: Supply, limits: Limits) -> None:
    # made in week 42 or 43, drunk in weeks 50 to 3: all of it; drunk in week 41 it is a year old
    year = one_year(supply)
    over = need("sauce", 42, 43, total=60.0, used=(50, 51, 52, 1, 2, 3))
    service = served(year, (over,), limits, 0, 20, 0)
    assert service.served[0, 0, [49, 50, 51, 0, 1, 2]].tolist() == pytest.approx([10.0] * 6)
    assert need("sauce", 42, 43, total=1.0, used=(41,), keeps=50.0).off_the_shelf() == ()
    assert need("sauce", 42, 43, total=1.0, used=(41,), keeps=49.0).off_the_shelf() == (41,)


@pytest.mark.parametrize(("side", "bound"), [("acid_low", 6.0), ("acid_high", 4.0)])
def test_a_blend_is_mixed_by_mass(supply: Supply, limits: Limits, side: str, bound: float) -> None:
    """Two cultivars of the catalogue, one sharp and one mild; one is pressed only as far as the other carries it."""
    mild, sharp = (
        candidate_of(CATALOGUE.cultivar["Dabinett"]),
        candidate_of(CATALOGUE.cultivar["Brown's Apple"]),
    )
    acid = [row.juice.acid.value for row in (mild, sharp)]
    assert acid[0] < 4 < 6 < acid[1]
    year = one_year(supply, cultivars=(mild, sharp, supply.cultivars[1]))
    week = year.first * 0 + 40
    year = replace(year, first=week, last=week)
    plenty, little = 40, 5
    trees = (plenty, little, 0) if side == "acid_low" else (little, plenty, 0)
    blend = need("cider", 40, 40, total=1000.0, more={"blend": {side: bound}})
    given = served(year, (blend,), limits, *trees).given[0, :2, 0]
    scarce, other = (1, 0) if side == "acid_low" else (0, 1)
    assert given[scarce] == pytest.approx(50)
    assert given[other] == pytest.approx(50 * abs(acid[scarce] - bound) / abs(acid[other] - bound))


def test_a_cultivar_beyond_its_part_of_the_board_counts_less(supply: Supply, limits: Limits) -> None:
    # 40 kg wanted of two cultivars; one alone: 20 kg in full, 20 kg with three tenths of the weight lost
    table = (need("fresh", 43, 43, weekly=40.0, weight=2.0),)
    year = one_year(supply)
    both = serve(year, table, loosened(limits, board=2), np.array([0, 20, 0]))[0]
    alone = serve(year, table, limits, np.array([0, 20, 0]))[0]
    assert both - alone == pytest.approx(20 * SAMENESS_COST * 2)


def test_guests_pick_in_the_weeks_of_picking_only(supply: Supply, limits: Limits) -> None:
    guests = need("fresh", 40, 50, weekly=5.0, more={"picked_by_guests": True})
    service = served(one_year(supply), (guests,), limits, 0, 20, 0)
    assert (np.flatnonzero(service.served[0, 0]) + 1).tolist() == [42, 43]
    assert service.stored[0].max() < 5  # what is served in its own picking weeks


def test_a_need_without_trees_is_short_and_wastes_nothing(supply: Supply, limits: Limits) -> None:
    objective, service = serve(
        one_year(supply), (need("juice", 38, 40, total=70.0, weight=3.0),), limits, np.array([0, 0, 0])
    )
    assert objective == pytest.approx(210)
    assert service.short.tolist() == [210]
    assert service.waste.tolist() == [0]


def test_what_is_left_over_costs_a_little(supply: Supply, limits: Limits) -> None:
    # 100 kg picked for 48.5 kg of juice from 50: the rest is waste
    juice = (need("juice", 38, 38, total=50 * MADE),)
    objective, service = serve(one_year(supply), juice, limits, np.array([0, 0, 10]))
    assert service.waste[0] == pytest.approx(100 - 50 * MADE)
    assert objective == pytest.approx(WASTE_COST * (100 - 50 * MADE) + 10)  # and ten trees


def test_the_worst_fifth_counts_beside_the_mean(supply: Supply, limits: Limits) -> None:
    # ten years, the crop of one fails and half of another's: the worst two are the worst fifth
    crop = np.full((10, 3), 10.0)
    crop[3], crop[7] = 0.0, 5.0
    year = np.zeros((10, 3), dtype=np.int64) + supply.first[0]
    ten = replace(supply, years=np.arange(2001, 2011), crop=crop, first=year, last=year)
    juice = (need("juice", 38, 38, total=100 * MADE),)
    objective, service = serve(ten, juice, limits, np.array([0, 0, 10]))
    waste = WASTE_COST * service.waste
    worst = (100 * MADE + 50 * MADE + waste[3] + waste[7]) / 2
    mean = (150 * MADE + waste.sum()) / 10
    assert WORST_SHARE * 10 == 2
    assert objective == pytest.approx((1 - CAREFUL) * mean + CAREFUL * worst + 10)


def test_cultivars_share_the_pan_of_a_week(supply: Supply, limits: Limits) -> None:
    pan = need("sauce", 43, 43, total=500.0, more={"weekly_capacity": "12 kg"})
    year = one_year(supply, cultivars=(supply.cultivars[1],) * 3, first=supply.first[:1] * 0 + 43)
    year = replace(year, last=year.first)
    assert served(year, (pan,), limits, 20, 20, 0).given[0, :, 0].sum() == pytest.approx(12)


def test_a_cellar_a_little_too_small_is_held_too(supply: Supply, limits: Limits) -> None:
    # 100 kg picked by week 43 and wanted in week 44: the cellar takes 95
    needs = (need("pie", 44, 44, weekly=500.0),)
    service = served(one_year(supply), needs, loosened(limits, cellar=95.0), 0, 10, 0)
    assert service.given[0, 1, 0] == pytest.approx(95)
