"""A bill of goods as a sheet."""

from collections.abc import Sequence

from topwire.show.sheet import Column, Link, Linked, LinkKind, Sheet, Value, table
from topwire.show.table import Figure
from topwire.tell.reader import Reader, counted
from topwire.values.bill import PRICE_NEAR, QUANTITY_NEAR, BillLine, SoldBy, digits_by_hand, together
from topwire.values.mark import Mark
from topwire.values.quantities import Plain
from topwire.values.units import Kind

_PRICES = table("prices")
_KINDS = {
    SoldBy.LENGTH: Kind.LENGTH,
    SoldBy.KILOGRAM: Kind.MASS,
    SoldBy.LITRE: Kind.SMALL_VOLUME,
    SoldBy.CUBIC_METRE: Kind.VOLUME,
}
_SI = {SoldBy.LITRE: 1e-3}  # of what the quantity is held in
_RESTS = {Mark.UNSAID: "proposal", Mark.MEMORY: "proposal"}  # nobody has quoted it


def bill_sheet(name: str, title: str, lines: Sequence[BillLine], currency: str, reader: Reader) -> Sheet:
    """Lengths of wire and pipe in the reader's unit; pieces as they are."""
    rows: list[tuple[Value, ...]] = [
        (
            line.item,
            Figure(many := line.quantity * _one(line, reader), digits_by_hand(many, QUANTITY_NEAR)),
            reader.unit(_kind(line)) or str(line.sold_by),
            _each(line, reader),
            line.cost,
            Linked(line.source, Link(LinkKind.SOURCE, line.source))
            if line.source
            else _RESTS.get(line.mark, str(line.mark)),
        )
        for line in lines
    ]
    rows.append(("together", "", "", "", together(lines), ""))
    unpriced = sum(line.price is None for line in lines)
    return Sheet(
        name,
        title,
        (
            Column("item", "item", width=2.6),
            Column("quantity", "quantity", Plain.COUNT, width=0.8),
            Column("unit", "unit", width=0.6),
            Column("each", "each", Plain.MONEY, 2, width=0.9, unit=currency, links=_PRICES),
            Column("cost", "cost", Plain.MONEY, width=0.8, unit=currency, links=_PRICES),
            Column("price_from", "price from", width=1),
        ),
        tuple(rows),
        "The catalogue's prices, or your own where you have laid them over. A proposal is a planning figure that "
        "nobody has quoted.",
        (f"No price is known for {counted(unpriced, 'line')}: ask the maker.",) if unpriced else (),
    )


def _kind(line: BillLine) -> Kind | None:
    return _KINDS.get(line.sold_by)


def _one(line: BillLine, reader: Reader) -> float:
    """What is sold, in the reader's unit of sale."""
    return reader.convert(_SI.get(line.sold_by, 1.0), _kind(line))


def _each(line: BillLine, reader: Reader) -> Value:
    price = None if line.price is None else line.price / _one(line, reader)
    return "ask the maker" if price is None else Figure(price, digits_by_hand(price, PRICE_NEAR, 2))
