"""Dishes, yields, what products keep, usual blends, prices."""

from topwire.catalogue.schema import (
    CURRENCY,
    REMARKED,
    SOURCED,
    TableSchema,
    choice,
    number,
    positive,
    text,
)
from topwire.values.terms import Use

TABLES = (
    TableSchema(
        "kitchen_dishes",
        "What a portion takes from the crate.",
        (
            text("name", "the dish as the plan writes it"),
            choice("use", "the use it counts as", Use),
            positive("whole_fruit_low_kg", "least whole fruit in a portion", "kg", 50),
            positive("whole_fruit_high_kg", "most whole fruit in a portion", "kg", 50),
            text("portion", "what a portion is"),
            *SOURCED,
        ),
        rising=(("whole_fruit_low_kg", "whole_fruit_high_kg"),),
    ),
    TableSchema(
        "kitchen_yields",
        "What a kilogram of fruit gives.",
        (
            text("product", "the product"),
            positive("low", "least", "in the row's unit", 10),
            positive("high", "most", "in the row's unit", 10),
            choice("unit", "of the two", ("kg/kg", "L/kg")),
            text("note", "how it was found", needed=False),
            *SOURCED,
        ),
        rising=(("low", "high"),),
    ),
    TableSchema(
        "product_life",
        "How long a product keeps at its best.",
        (choice("use", "the product", Use), positive("weeks", "it keeps", "weeks", 520), *SOURCED),
    ),
    TableSchema(
        "blend_bounds",
        "What is usual in a cider's mixed juice.",
        (
            choice("of", "acid or tannin", ("acid", "tannin")),
            number("low_g_l", "least", "g/L", 0, 30),
            positive("high_g_l", "most", "g/L", 30),
            *SOURCED,
        ),
        rising=(("low_g_l", "high_g_l"),),
    ),
    TableSchema(
        "prices",
        "Prices of the trade.",
        (
            text("item", "what it is the price of"),
            number("price", "the middle one", "in its currency", 0, 1_000_000),
            number("low", "a low one", "in its currency", 0, 1_000_000, needed=False),
            number("high", "a high one", "in its currency", 0, 1_000_000, needed=False),
            text("unit", "what it is for: kg, each, h"),
            CURRENCY,
            *REMARKED,
        ),
        rising=(("low", "price", "high"),),
    ),
)
