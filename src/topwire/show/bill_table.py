"""A bill of materials as a table."""

from collections.abc import Sequence

from topwire.show.reader import Reader
from topwire.show.table import UNKNOWN, Cell, Table, figure
from topwire.values.units import Kind
from topwire.water.result import PipeLine


def bill(title: str, lines: Sequence[PipeLine], currency: str, reader: Reader) -> Table:
    rows: list[tuple[Cell, ...]] = []
    total, unpriced = 0.0, 0
    for line in lines:
        quantity, unit = _quantity(line.quantity, line.unit, reader)
        price = (
            None if line.price is None else line.price * line.quantity / quantity if quantity else line.price
        )
        cost = None if line.price is None else line.price * line.quantity
        total += cost or 0.0
        unpriced += line.price is None
        rows.append(
            (
                line.item,
                figure(quantity),
                unit,
                figure(price, 2) if price is not None else "ask the maker",
                figure(cost),
                line.source or UNKNOWN,
            )
        )
    rows.append(("together", "", "", "", figure(total), ""))
    note = (f"{unpriced} lines have no price: ask the maker.",) if unpriced else ()
    return Table(
        title,
        (
            "item",
            "quantity",
            "unit",
            f"each, {currency}".rstrip(", "),
            f"cost, {currency}".rstrip(", "),
            "price from",
        ),
        tuple(rows),
        "The catalogue's prices, or your own where you have laid them over.",
        note,
        (2.6, 0.8, 0.6, 0.9, 0.8, 1),
    )


def _quantity(value: float, unit: str, reader: Reader) -> tuple[float, str]:
    """Lengths of wire and pipe in the person's unit; pieces as they are."""
    return (reader.convert(value, Kind.LENGTH), "ft") if unit == "m" and reader.us else (value, unit)
