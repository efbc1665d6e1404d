"""Shipped prices in another currency: planning figures at a price level, never a rate of exchange.

Nearly all shipped prices are proposals that nobody has quoted. For a plan that counts in one of these currencies they
stand as proposals in it; an own table's rows stay as they are written.
"""

from collections.abc import Mapping
from dataclasses import replace

from topwire.catalogue.tables import RawTable

SHIPPED = "USD"
# What the shipped figure is multiplied by: shop prices of garden and farm goods with sales tax in them where shops
# print it so (proposals, no source).
LEVELS: Mapping[str, float] = {"EUR": 1.0, "GBP": 0.85, "CHF": 1.2}
_PRICES = frozenset({"price", "price_per_m"})
_MONEY = _PRICES | {"low", "middle", "high"}  # where a currency stands beside them


def at_level(tables: Mapping[str, RawTable], currency: str) -> Mapping[str, RawTable]:
    """Tables whose shipped prices stand in `currency`, as proposals; unchanged where there is no level for it."""
    level = LEVELS.get(currency)
    if level is None:
        return tables
    return {
        name: _priced(table, currency, level) if {"currency", *_PRICES} & {*table.columns} else table
        for name, table in tables.items()
    }


def _priced(table: RawTable, currency: str, level: float) -> RawTable:
    rows = {
        key: replace(row, cells=_cells(row.cells, currency, level))
        if not row.own and row.cells.get("currency", SHIPPED) == SHIPPED
        else row
        for key, row in table.rows.items()
    }
    return replace(table, rows=rows)


def _cells(cells: Mapping[str, str], currency: str, level: float) -> Mapping[str, str]:
    stated = "currency" in cells
    moved = {
        column: f"{float(cell) * level:.4g}"
        for column, cell in cells.items()
        if column in (_MONEY if stated else _PRICES) and cell
    }
    marked = {"mark": "proposal"} if "price" in cells and "kind" not in cells else {}
    return {**cells, **moved, **marked, **({"currency": currency} if stated else {})}
