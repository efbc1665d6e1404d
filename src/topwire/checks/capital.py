"""Goods that last, picking and fences held against published prices and rates."""

from functools import cache, partial

from topwire.catalogue.model import Catalogue, Mark
from topwire.catalogue.tables import read_tables
from topwire.checks import Check, checks_of
from topwire.ledger.capital import CapitalRow, IndexRow, in_money_of

_check = checks_of("ledger")


@cache
def _rows() -> dict[str, CapitalRow]:
    return {row.item: row for row in Catalogue(read_tables()).rows("capital", CapitalRow)}


@cache
def _index() -> tuple[IndexRow, ...]:
    return Catalogue(read_tables()).rows("price_index", IndexRow)


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
    ]  # fmt: skip
