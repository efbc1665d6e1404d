"""Dishes, yields, what products keep, what a cultivar may serve and blends may be, prices."""

from topwire.catalogue.schema import (
    CURRENCY,
    EVIDENCE,
    REMARKED,
    SOURCED,
    TableSchema,
    choice,
    listed,
    number,
    positive,
    text,
)
from topwire.values.terms import Blended, CiderClass, Pan, Use
from topwire.values.traits import CultivarKind

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
        "What the mixture of a blended product may come out as, over its season.",
        (
            text("bound", "any words no other row has"),
            choice("product", "what is blended", Blended),
            choice(
                "of",
                "acid (g/L as malic), tannin (g/L), sugar (°Brix), ph; of the fruit the share that is bitter, of "
                "hard tannin, or of no cider class (table)",
                ("acid", "tannin", "sugar", "ph", "bitter", "hard", "table"),
            ),
            number("low", "least", "", 0, 40, needed=False),
            number("high", "most", "", 0, 40, needed=False),
            *REMARKED,
        ),
        rising=(("low", "high"),),
    ),
    TableSchema(
        "juice_classes",
        "Juice of fruit whose own figures no one states, by the cider maker's class or the kind.",
        (
            choice("of", "class or kind", (*CiderClass, *CultivarKind)),
            number("acid_g_l", "acid, as malic", "g/L", 0, 60),
            positive("acid_spread_g_l", "standard deviation from cultivar to cultivar", "g/L", 30),
            number("tannin_g_l", "tannin", "g/L", 0, 30),
            positive("tannin_spread_g_l", "standard deviation from cultivar to cultivar", "g/L", 30),
            number("brix", "soluble solids", "°Bx", 0, 40),
            positive("brix_spread", "standard deviation from cultivar to cultivar", "°Bx", 20),
            *REMARKED,
        ),
    ),
    TableSchema(
        "plate_bounds",
        "What a single cultivar has to be like for a use; beside the uses cultivars.csv gives it.",
        (
            choice("use", "the use", Use),
            number("acid_low_g_l", "least acid, as malic", "g/L", 0, 60, needed=False),
            number("acid_high_g_l", "most acid, as malic", "g/L", 0, 60, needed=False),
            number("tannin_high_g_l", "most tannin", "g/L", 0, 30, needed=False),
            listed("pan", "what it may do when cooked, with | between: holds, softens, falls; empty = any"),
            *REMARKED,
        ),
    ),
    TableSchema(
        "cultivar_kitchen",
        "What a cook finds: texture, what the fruit does in the pan, flavour.",
        (
            text("cultivar", "the cultivar", refers="cultivars"),
            text("texture", "of the flesh, raw", needed=False),
            choice("pan", "what it does when cooked", Pan, needed=False),
            text("flavour", "in a cook's words", needed=False),
            text("best_for", "where it shines", needed=False),
            EVIDENCE,
        ),
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
