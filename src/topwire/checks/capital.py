"""Goods that last, picking and fences held against published prices and rates."""

from functools import cache, partial

from topwire.catalogue.model import Catalogue, Mark
from topwire.catalogue.prices import PriceRow
from topwire.catalogue.tables import read_tables
from topwire.checks import Check, checks_of
from topwire.choice.hands import picking_ease
from topwire.ledger.capital import CapitalRow
from topwire.ledger.goods import FENCE_WORK, Amounts, GoodsRow, goods_bill
from topwire.ledger.labour import LabourRow
from topwire.values.bill import together
from topwire.values.price_index import IndexRow, in_money_of

_check = checks_of("Ledger")


@cache
def _rows() -> dict[str, CapitalRow]:
    return {row.item: row for row in Catalogue(read_tables()).rows("capital", CapitalRow)}


@cache
def _index() -> tuple[IndexRow, ...]:
    return Catalogue(read_tables()).rows("price_index", IndexRow)


@cache
def _labour() -> dict[str, LabourRow]:
    return {row.task: row for row in Catalogue(read_tables()).rows("labour", LabourRow)}


def _picked_middle() -> float:
    return _labour()["picking"].middle


def _fence() -> float:
    """A metre of 509 built, in money of 2020: material with gates and hire, and hours at 18 USD."""
    hours, metres = _labour()["deer fence"].middle / 100, 509.0
    catalogue = Catalogue(read_tables())
    goods = catalogue.rows("first_goods", GoodsRow)
    units = {row.item: row.unit for row in catalogue.rows("prices", PriceRow)}
    amounts = Amounts(0, 0, metres, 0.0, 0.0)
    bill = goods_bill(goods, (FENCE_WORK,), amounts=amounts, prices=catalogue.prices, units=units)
    return (together(bill) / metres + hours * 18) * _money(2024, 2020)


def _money(year: int, wanted: int) -> float:
    return in_money_of(year, wanted, _index())


def checks() -> list[Check]:
    read = Mark.READ
    return [
        _check("consumer prices, 2005 to 2024 (313.7 / 195.3)", "CPI-BLS", 1.606, partial(_money, 2005, 2024), 0.002),
        _check("consumer prices, 1998 to 2024 (313.7 / 163.0)", "CPI-BLS", 1.925, partial(_money, 1998, 2024), 0.002),
        _check("consumer prices, a year to itself", "CPI-BLS", 1.0, partial(_money, 2013, 2013), 1e-9),
        _check("consumer prices there and back", "CPI-BLS", 1.0,
               lambda: _money(2000, 2020) * _money(2020, 2000), 1e-9),
        _check("21.94 USD a tree of 2005 in money of 2024", "MON-ROB05", 35.2, lambda: 21.94 * _money(2005, 2024), 0.1,
               read),
        _check("8.83 USD a tree of 2005 in money of 2024", "MON-ROB05", 14.2, lambda: 8.83 * _money(2005, 2024), 0.1,
               read),
        _check("compact tractor, least of 2009, USD", "CAP-TRACTOR09", 10000, lambda: _rows()["compact tractor"].low, 0,
               read),
        _check("compact tractor, most of 2009, USD", "CAP-TRACTOR09", 15000, lambda: _rows()["compact tractor"].high, 0,
               read),
        _check("skid sprayer, least, USD", "CAP-SPRAYER", 3000, lambda: _rows()["tree sprayer on a skid"].low, 0, read),
        _check("skid sprayer, most, USD", "CAP-SPRAYER", 5000, lambda: _rows()["tree sprayer on a skid"].high, 0, read),
        _check("self-built cold room, a case of 2013 in money of 2024 (291 USD/m2), beside our least", "CAP-ROOM13",
               400, lambda: 291 * _money(2013, 2024), 15, read),
        _check("how many times longer cider fruit of 50 g takes to pick (up to four)", "LAB-CIDER-HAND", 3.6,
               lambda: 1 / float(picking_ease(0.05)), 0.4, read),
        _check("apples of 180 g are picked at the table's rate", "common practice, no source", 1.0,
               lambda: float(picking_ease(0.18)), 1e-9),
        _check("staff picking 180 g apples, kg/h (83 to 145)", "common practice, no source", 114, _picked_middle, 31),
        _check("staff picking 50 g cider fruit, kg/h (23 to 40)", "common practice, no source", 31.5,
               lambda: _picked_middle() * float(picking_ease(0.05)), 8.5),
        _check("deer fence, 13,000 USD for 16,187 m2 square, 509 m, beside our price and work (25.5 USD/m in 2020)",
               "FENCE-CASE20", 25.5, _fence, 6.0, read),
    ]  # fmt: skip
