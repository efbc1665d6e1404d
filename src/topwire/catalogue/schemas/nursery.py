"""Rates, hours and numbers of propagation."""

from topwire.catalogue.schema import REMARKED, TableSchema, number, text

TABLES = (
    TableSchema(
        "propagation",
        "Rates, hours and numbers of propagation; shares run from 0 to 1.",
        (
            text("item", "what it is"),
            number("low", "a low figure", "in the row's unit", 0, 100_000),
            number("middle", "the figure used", "in the row's unit", 0, 100_000),
            number("high", "a high figure", "in the row's unit", 0, 100_000),
            text("unit", "of the three"),
            *REMARKED,
        ),
        rising=(("low", "middle", "high"),),
    ),
)
