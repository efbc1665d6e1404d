"""Goods that last, the bill of the first years, the banker's page."""

from dataclasses import replace

import numpy as np
import pytest
from ledger.test_account import ledger, question_of
from nursery.invented import catalogue

from topwire.catalogue.prices import PriceRow
from topwire.ledger.answer import answer
from topwire.ledger.capital import COLD_ROOMS, PRESSES, CapitalRow, capital_lines
from topwire.ledger.findings import Running, Spent
from topwire.show.ledger_sheets import sheets
from topwire.tell.reader import Reader
from topwire.values.bill import together
from topwire.values.price_index import IndexRow, in_money_of
from topwire.values.units import UnitSystem

ROWS = catalogue().rows("capital", CapitalRow)
INDEX = catalogue().rows("price_index", IndexRow)
FARM = {
    "money_year": 2024,
    "conditions": ("field", "press", "cellar", "bird_net"),
    "amounts": {"picker": 3.0, "kg a week": 2000.0, "store m2": 30.0, "hectare": 1.2},
    "have": (),
}


def test_older_money_is_brought_up() -> None:
    lines = {line.item: line for line in capital_lines(ROWS, INDEX, ground=12_000.0, **FARM)}  # type: ignore[arg-type]
    tractor = lines["compact tractor"]
    assert tractor.factor == pytest.approx(in_money_of(2009, 2024, INDEX))
    assert tractor.cost == pytest.approx(12_500 * tractor.factor)
    assert lines["field crate"].number == 106
    assert lines["cold room"].cost == pytest.approx(30 * 650)
    for line in lines.values():
        assert line.low <= line.cost <= line.high


def test_the_larger_stands_instead_of_the_smaller() -> None:
    large, small = (
        {line.item for line in capital_lines(ROWS, INDEX, ground=ground, **FARM)}  # type: ignore[arg-type]
        for ground in (12_000.0, 1_000.0)
    )
    assert {"mower", "air-blast sprayer", "mill and rack press"} <= large
    assert not {"small mower", "tree sprayer on a skid", "small press"} & large
    assert {"small mower", "small press"} <= small


def test_what_is_there_costs_nothing() -> None:
    base = question_of()
    plain, having = answer(base), answer(replace(base, have=tuple(row.item for row in ROWS)))
    first = int(np.flatnonzero(plain.value[:, 1] > 0)[0])
    spent = sum(
        line.cost * len(range(0 if line.at_planting else first, base.horizon, line.lasts))
        for line in plain.capital
    )
    assert sum(line.spent for line in having.capital) == 0
    assert having.npv[1] >= plain.npv[1]
    flow = (having.cash_flow - plain.cash_flow).sum(axis=0)
    assert flow == pytest.approx([spent] * 3)


def test_a_stated_cellar_and_press_are_there_and_a_cold_room_is_made_for_what_lies_in_it() -> None:
    unstated = question_of()
    assert unstated.store == pytest.approx(
        1000.0 / 250.0
    )  # the most of the middle year, 250 kg on a square metre
    assert unstated.have == ()
    needs = [{"use": "fresh", "amount": "5 kg/week", "from": "1 Sep", "to": "30 Nov"}]
    stated = question_of(
        kitchen={"cellar": {"capacity": "500 kg"}, "press": {"weekly_capacity": "90 kg"}, "needs": needs}
    )
    assert stated.store == pytest.approx(2.0)
    assert stated.have == (*COLD_ROOMS, *PRESSES)


def test_goods_that_last_are_paid_when_they_are_needed() -> None:
    book = ledger()
    later = sum(line.spent for line in book.capital if not line.at_planting)
    now = sum(line.spent for line in book.capital if line.at_planting)
    assert book.establishment[Spent.CAPITAL] == pytest.approx(now)
    assert Running.CAPITAL in book.cost_by_kind
    crop = np.flatnonzero(book.value[:, 1] > 0)[0]
    assert book.yearly_cost[crop] >= later


def test_every_tree_has_its_cane_and_guard() -> None:
    book = ledger()
    goods = {line.item: line for line in book.goods}
    assert goods["training cane"].quantity == 140
    assert goods["vole and rabbit guard"].quantity == 140
    assert goods["clip"].quantity % 140 == 0
    assert book.establishment[Spent.GUARDS] + book.establishment[Spent.FENCE] == pytest.approx(
        together(book.goods)
    )


def test_the_banker_sees_the_deepest_point() -> None:
    book = ledger()
    for deepest, flow in zip(book.deepest, book.cash_flow.T, strict=True):
        sums = np.cumsum(flow)
        assert deepest.out == pytest.approx(-sums.min())
        assert 0 < deepest.work < deepest.out
        assert book.years[int(sums.argmin())] == deepest.year
    assert all(line.left < 0 for line in book.ruins)
    names = [sheet.name for sheet in sheets(book, Reader(UnitSystem.US))]
    assert {"ledger.banker", "ledger.goods", "ledger.next_days"} <= set(names)


def test_uses_are_what_sources_bring() -> None:
    """The bank's page closes: to establish and to carry the first years is own work and money to find."""
    book = ledger()
    sheet = next(sheet for sheet in sheets(book, Reader(UnitSystem.METRIC)) if sheet.name == "ledger.banker")
    rows = {str(row[0]): row[1:] for row in sheet.rows}
    for column in range(3):
        used = [float(row[column]) for what, row in rows.items() if what.startswith("uses: ")]
        brought = [float(row[column]) for what, row in rows.items() if what.startswith("sources: ")]
        assert sum(used) == pytest.approx(sum(brought))
        assert sum(used) == pytest.approx(float(rows["uses together"][column]))


def test_worn_goods_are_bought_again() -> None:
    asked = replace(question_of(), horizon=20)
    book = answer(asked)
    mower = next(line for line in book.capital if "mower" in line.item)
    longer = answer(replace(asked, capital=tuple(replace(row, lasts=99) for row in asked.capital)))
    assert mower.lasts < 20
    assert book.yearly_cost[mower.lasts] == pytest.approx(longer.yearly_cost[mower.lasts] + sum(
        line.spent for line in book.capital if line.at_planting and line.lasts == mower.lasts
    ))  # fmt: skip


def test_the_kitchens_work_is_paid_once() -> None:
    """Hours of pressing and preserving are paid at the wage; making costs hold no work."""
    rows = {row.item: row for row in catalogue().rows("prices", PriceRow)}
    for item in ("juice making", "preserves making"):
        assert "counts as hours" in (rows[item].remark or "")
    assert {"pressing", "preserving"} <= {row.task for row in question_of().labour}
