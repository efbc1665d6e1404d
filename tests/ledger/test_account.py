import re
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from nursery.invented import NAMES, blank, catalogue, choice, ground, layout, plan, seasons
from pydantic import TypeAdapter

from topwire.catalogue.model import Catalogue
from topwire.choice.findings import Batch, Batches, Choice
from topwire.growth.answer import answer as grow
from topwire.growth.question import question as ask_years
from topwire.ledger.answer import answer as account
from topwire.ledger.asked import LedgerQuestion
from topwire.ledger.findings import Budget, Ledger, Moved, Running, Spent
from topwire.ledger.money import net_present_value
from topwire.ledger.question import question as ask
from topwire.nursery.answer import answer
from topwire.nursery.question import question
from topwire.show.ledger_sheets import sheets
from topwire.show.sheet import printed
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.trellis.findings import TrellisFindings
from topwire.values.bill import together
from topwire.values.units import UnitSystem
from topwire.water.findings import WaterPlan
from topwire.weather.record import Weather

NO_WEATHER = blank(Weather, day=np.zeros(0, dtype="datetime64[D]"))
TRELLIS = blank(TrellisFindings, cost=900.0, labour_hours=30.0)
WATER = blank(WaterPlan, cost=500.0, water_cost_per_year=40.0)


@cache
def _base() -> Ledger:
    return _made(TRELLIS, WATER, catalogue())


def ledger(
    trellis: TrellisFindings | None = TRELLIS,
    water: WaterPlan | None = WATER,
    tables: Catalogue | None = None,
    **sections: Any,
) -> Ledger:
    if (trellis, water, tables, sections) == (TRELLIS, WATER, None, {}):
        return _base()
    return _made(trellis, water, tables or catalogue(), **sections)


def question_of(
    trellis: TrellisFindings | None = TRELLIS,
    water: WaterPlan | None = WATER,
    tables: Catalogue | None = None,
    chosen: Choice | None = None,
    **sections: Any,
) -> LedgerQuestion:
    made, place, land, rows = plan(**sections), seasons(0.9), ground(), layout({"Honeycrisp": "G.214"})
    shipped, picked = tables or catalogue(), chosen or choice()
    crop = grow(ask_years(made, shipped, NO_WEATHER, place, land, picked, rows))
    order = answer(question(made, shipped, picked, rows))
    return ask(made, shipped, place, picked, land, rows, crop, order, trellis, water)


def _made(
    trellis: TrellisFindings | None, water: WaterPlan | None, tables: Catalogue, **sections: Any
) -> Ledger:
    return account(question_of(trellis, water, tables, **sections))


def test_the_sums_add_up() -> None:
    book = ledger()
    spent = book.cost_to_establish
    assert book.cash_flow[0] == pytest.approx([-spent] * 3)
    assert book.cash_flow[1:] == pytest.approx(book.value[1:] - book.yearly_cost[1:, None])
    assert book.npv[0] < book.npv[1] < book.npv[2]
    stacked = net_present_value(book.cash_flow.T, 0.05)
    assert book.npv[1] == pytest.approx(stacked[1], abs=0.05 * spent)
    # Poor years all in a row are worse than the poorest orchard of ten.
    assert stacked[0] < book.npv[0]
    assert (np.diff(book.value, axis=1) >= 0).all()
    assert book.value[0].tolist() == [0, 0, 0]
    assert sum(book.cost_by_kind.values()) == pytest.approx(book.yearly_cost[10])
    assert book.years.tolist() == list(range(2027, 2047))


def test_bills_of_trellis_and_water_are_in_it() -> None:
    book = ledger()
    assert book.establishment[Spent.TRELLIS] == 900
    assert book.establishment[Spent.IRRIGATION] == 500
    assert any(
        task.name == "building the trellis" and task.hours.sum() == pytest.approx(30) for task in book.tasks
    )
    without = ledger(trellis=None, water=None)
    laid = next(task.hours.sum() for task in book.tasks if task.name == "irrigation lines")
    ties = together(book.goods) - together(without.goods)  # no wire, no ties to it
    less = 900 + 500 + (30 + laid) * 18 + ties
    assert without.cost_to_establish == pytest.approx(book.cost_to_establish - less)
    missing = [notice.concerns for notice in without.notices if notice.code == "ledger.bill_missing"]
    assert missing == [("trellis",), ("water",)]


def test_tasks_cover_horizon_and_weeks() -> None:
    book = ledger()
    names = [task.name for task in book.tasks]
    assert len(names) == len(set(names))
    for task in book.tasks:
        assert task.hours.shape == (20, 52)
        assert (task.hours >= 0).all()
    by_name = {task.name: task.hours for task in book.tasks}
    assert by_name["planting"][0].sum() == pytest.approx(140 * 2 / 60)
    assert by_name["planting"][1:].sum() == 0
    assert by_name["training leaf 1"][1].sum() > 0
    assert by_name["training leaf 1"][2:].sum() == 0
    assert by_name["picking"][:3].sum() == 0  # nothing to pick before the wire
    assert by_name["picking"][12].sum() > by_name["picking"][5].sum()


def test_picking_falls_in_each_cultivars_weeks() -> None:
    book = ledger()
    picking = next(task.hours for task in book.tasks if task.name == "picking")[12]
    weeks = np.flatnonzero(picking) + 1
    assert weeks.min() >= 26
    assert weeks.max() <= 44


def test_too_few_hands_are_told() -> None:
    assert ledger().short_weeks == ()
    book = ledger(money={"hands": 0.2, "hours_per_week": 20})
    assert book.short_weeks
    short = book.short_weeks[0]
    total = sum(task.hours[short.year, short.week - 1] for task in book.tasks)
    assert short.beyond == pytest.approx(total - 4)
    (said,) = [notice for notice in book.notices if notice.code == "ledger.short_of_hands"]
    assert said.facts["weeks"] == len(book.short_weeks)


def test_sensitivity_is_ranked_and_brackets_the_middle() -> None:
    book = ledger()
    widths = [abs(line.high - line.low) for line in book.sensitivity]
    assert widths == sorted(widths, reverse=True)
    for line in book.sensitivity:
        assert min(line.low, line.high) - 1e-6 <= book.npv[1] <= max(line.low, line.high) + 1e-6, line.moved
        assert line.low <= line.high
    crops = next(line for line in book.sensitivity if line.moved is Moved.CROP)
    assert (crops.low, crops.high) == pytest.approx((book.npv[0], book.npv[2]))


def test_wage_and_interest_move_the_outcome() -> None:
    base = ledger()
    assert ledger(money={"wage": 30}).npv[1] < base.npv[1]
    assert ledger(money={"interest": 0.1}).npv[1] < base.npv[1]


def test_own_prices_are_used() -> None:
    tables = catalogue()
    prices = tables.tables["prices"]
    row = prices.rows["fresh apples"]
    dear = replace(row, cells=dict(row.cells, price="6.60", mark="own"), own=True)
    changed = replace(prices, rows=dict(prices.rows) | {"fresh apples": dear})
    own = Catalogue(dict(tables.tables) | {"prices": changed})
    base = ledger()
    assert ledger(tables=own).value_by_use["fresh"] == pytest.approx(2 * base.value_by_use["fresh"])


def test_another_currency_is_said() -> None:
    book = ledger(money={"currency": "EUR"})
    assert book.currency == "EUR"
    assert any(notice.code == "prices.foreign" for notice in book.notices)
    assert not any(notice.code == "prices.foreign" for notice in ledger().notices)


def test_the_calendar_holds_all_hours() -> None:
    book = ledger()
    assert book.calendar[0].work == "walk"
    assert book.calendar[0].start.startswith("2025")
    assert {job.leaf for job in book.calendar} == {None, *range(20)}
    assert {job.cultivar for job in book.calendar if job.cultivar} == set(NAMES)
    hours = sum(job.hours or 0.0 for job in book.calendar)
    assert hours == pytest.approx(sum(task.hours.sum() for task in book.tasks))


@pytest.mark.parametrize("horizon", [5, 40])
def test_short_and_long_horizons(horizon: int) -> None:
    book = ledger(years={"planting": 2027, "horizon": horizon})
    assert book.cash_flow.shape == (horizon, 3)
    assert np.isfinite(book.cash_flow).all()
    if horizon == 5:
        assert book.payback_year is None


def test_goes_to_json_and_back() -> None:
    adapter = TypeAdapter(Ledger)
    text = adapter.dump_json(ledger())
    assert adapter.dump_json(adapter.validate_json(text)) == text


def test_stands_beside_published_figures() -> None:
    book = ledger()
    lines = {line.budget: line for line in book.beside}
    assert {Budget.SMALL_FARM_HOURS, Budget.PYRAMID_BY_TREE, Budget.RETURN_LEAST} <= set(lines)
    returns = (Budget.RETURN_LEAST, Budget.RETURN_MOST)  # 140 trees may earn less than nothing
    assert all(line.published > 0 for line in lines.values())
    assert all(line.ours > 0 for budget, line in lines.items() if budget not in returns)
    by_tree, by_area = lines[Budget.SPINDLE_BY_TREE].ours, lines[Budget.SPINDLE_BY_AREA].ours
    assert by_tree == pytest.approx(book.cost_to_establish / 140)
    # dollars of 2005 in those of 2024: consumer prices stood at 195.3 and 313.7 (CPI-BLS)
    assert lines[Budget.SPINDLE_BY_TREE].published == pytest.approx(47524 / 5382 * 313.7 / 195.3, rel=1e-3)
    assert by_area == pytest.approx(by_tree * 140 / book.areas.tree_ground)


def test_areas_are_told_apart() -> None:
    areas = ledger().areas
    assert areas.blocks == 640
    assert areas.tree_ground == pytest.approx(140 * 3.3 * 0.92)
    assert areas.fenced == pytest.approx(40 * 16)


def test_at_break_even_worth_a_full_year_leaves_nothing() -> None:
    book = ledger()
    even = book.break_even
    assert even is not None
    assert even.worth * even.crop == pytest.approx(book.value[10, 1])
    worn = sum(line.spent / line.lasts for line in book.capital)
    bought = book.cost_by_kind[Running.CAPITAL]  # by luck of the year
    assert worn > 0
    assert even.worth_needed * even.crop == pytest.approx(sum(book.cost_by_kind.values()) - bought + worn)
    assert even.crop_needed is not None
    assert (even.crop_needed < even.crop) == (even.worth_needed < even.worth)


def test_an_orchard_of_old_trees_only_costs_nothing_new() -> None:
    made, tables, place = plan(), catalogue(), seasons(0.9)
    rows = layout(standing=140)
    crop = grow(ask_years(made, tables, NO_WEATHER, place, ground(), choice(), rows))
    order = answer(question(made, tables, choice(), rows))
    book = account(ask(made, tables, place, choice(), ground(), rows, crop, order, None, None))
    assert order.lines == ()
    assert sum(book.establishment.values()) == 0
    assert book.value.max() == 0


def test_cultivars_that_never_ripen_are_no_stumbling_block() -> None:
    place = seasons(0.9)
    nothing = {
        name: getattr(place, name) * np.nan
        for name in ("harvest_first", "harvest_last", "full_bloom", "petal_fall", "crop_after_frost")
    }
    barren = replace(place, **nothing)
    made, tables, rows = plan(), catalogue(), layout()
    borne = grow(ask_years(made, tables, NO_WEATHER, place, ground(), choice(), rows))
    none = {name: 0 * getattr(borne, name) for name in ("orchard_kg", "kg_per_tree", "drawn_kg")}
    crop = replace(borne, **none)
    order = answer(question(made, tables, choice(), rows))
    book = account(ask(made, tables, barren, choice(), ground(), rows, crop, order, None, None))
    assert book.payback_year is None
    assert not any(job.cultivar for job in book.calendar)


def test_dollars_stand_only_beside_dollars() -> None:
    in_dollars = {
        Budget.PYRAMID_BY_AREA,
        Budget.PYRAMID_BY_TREE,
        Budget.SPINDLE_BY_AREA,
        Budget.SPINDLE_BY_TREE,
    }
    assert not in_dollars & {line.budget for line in ledger(money={"currency": "EUR"}).beside}


def test_a_press_season_may_run_past_new_year() -> None:
    kitchen = {
        "needs": [{"use": "juice", "amount": "900 kg/season", "from": "1 Oct", "to": "15 Jan"}],
        "press": {"from": "1 Oct", "to": "15 Jan"},
    }
    book = ledger(kitchen=kitchen)
    weeks = np.flatnonzero(next(task.hours for task in book.tasks if task.name == "pressing")[12]) + 1
    assert {1, 2, 40, 52} <= set(weeks.tolist())
    assert not set(range(4, 39)) & set(weeks.tolist())


def _told_of(batches: Batches | None) -> list[str]:
    made, tables, place, rows = plan(), catalogue(), seasons(0.9), layout()
    chosen = replace(choice(), batches=batches)
    crop = grow(ask_years(made, tables, NO_WEATHER, place, ground(), chosen, rows))
    order = answer(question(made, tables, choice(), rows))
    asked = ask(made, tables, place, chosen, ground(), rows, crop, order, None, None)
    told = all_told(account(asked).notices, Reader(UnitSystem.METRIC))
    return [f"{notice.says} {notice.remedy}" for notice in told if "autumns" in notice.says]


def test_several_planting_autumns_are_told() -> None:
    two = Batches((Batch(2028, (), 0, ()), Batch(2030, (), 0, ())), True, 0.0, 0.0, 10)
    (said,) = _told_of(two)
    assert "as planted in 2028" in said
    assert "2 years later" in said
    assert _told_of(replace(two, planned=False)) == []
    assert _told_of(None) == []


@pytest.mark.parametrize(
    ("system", "foreign"),
    [
        (UnitSystem.US, r"\b(ha|hectares?)\b|\d[ \u00a0](kg|cm|mm|m|°C|t)\b"),
        (UnitSystem.METRIC, r"\bacres?\b|\d[ \u00a0](lb|in|ft|°F|tons?)\b"),
    ],
)
def test_sheets_speak_one_system(system: UnitSystem, foreign: str) -> None:
    reader = Reader(system)
    for sheet in sheets(ledger(), reader):
        table = printed(sheet, reader)
        said = [table.title, table.rests_on, *table.columns, *table.notes]
        said += [str(cell) for row in table.rows for cell in row if isinstance(cell, str)]
        found = [text for text in said if re.search(foreign, text)]
        assert not found, (sheet.name, found)


def test_what_rots_in_store_is_picked_and_neither_worth_anything_nor_there_to_sell() -> None:
    sound = choice()
    rots = replace(sound, needs=tuple(replace(need, served=0.9 * need.served) for need in sound.needs))
    whole, less = ledger(), account(question_of(chosen=rots))
    surplus = whole.value_by_use["surplus"]
    assert surplus > 0
    for use, worth in whole.value_by_use.items():
        assert less.value_by_use[use] == pytest.approx(worth if use == "surplus" else 0.9 * worth)
    young = slice(1, 6)  # what is borne then goes to the kitchen, and loses its part on the way
    assert less.value[young] == pytest.approx(0.9 * whole.value[young])
    full = whole.break_even, less.break_even
    assert full[0] is not None
    assert full[1] is not None
    assert full[0].crop == full[1].crop
    assert full[0].worth > full[1].worth
    hours = [{task.name: task.hours.sum() for task in book.tasks} for book in (whole, less)]
    assert hours[1]["picking"] == hours[0]["picking"]
    # Nobody peels what is rotten.
    assert hours[1]["preserving"] == pytest.approx(0.9 * hours[0]["preserving"])
