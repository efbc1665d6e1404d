"""Presses, styles of cider, and what else is known of a cultivar's juice."""

from topwire.catalogue.schema import REMARKED, SOURCED, TableSchema, choice, number, positive, text
from topwire.values.terms import CiderStyle, PressKind, Tannin

TABLES = (
    TableSchema(
        "press_yields",
        "Juice of a kilogram of fruit, by the press.",
        (
            choice("press", "how it is pressed", PressKind),
            positive("low", "least", "L/kg", 1),
            positive("middle", "the middle one", "L/kg", 1),
            positive("high", "most", "L/kg", 1),
            *REMARKED,
        ),
        rising=(("low", "middle", "high"),),
    ),
    TableSchema(
        "cider_styles",
        "What becomes of the juice, by style.",
        (
            choice("style", "the style", CiderStyle),
            positive("left", "share of the juice that is in bottle, keg or cask in the end", "", 1),
            positive("gravity_low", "lowest specific gravity it is bottled or drawn at", "", 1.2),
            positive("gravity_high", "highest specific gravity it is bottled or drawn at", "", 1.2),
            positive("weeks_low", "fewest weeks in its tank", "weeks", 200),
            positive("weeks_high", "most weeks in its tank", "weeks", 200),
            number("volumes", "carbon dioxide it is made for", "volumes", 0, 6),
            text(
                "begins", "first month-day fruit is pressed for it, where the plan does not say", needed=False
            ),
            text("worth", "row of prices.csv for a litre of it"),
            *REMARKED,
        ),
        rising=(("gravity_low", "gravity_high"), ("weeks_low", "weeks_high")),
    ),
    TableSchema(
        "cider_harvest",
        "Ways of getting cider fruit.",
        (
            text("way", "how it comes down and up"),
            positive("speed_low", "slowest, beside picking it by hand from the tree", "", 50),
            positive("speed", "middle", "", 50),
            positive("speed_high", "fastest", "", 50),
            positive("got", "share of the fruit that is got", "", 1),
            choice("ground", "whether it lay on the ground", ("yes", "no")),
            text("caution", "what to beware of"),
            *REMARKED,
        ),
        rising=(("speed_low", "speed", "speed_high"),),
    ),
    TableSchema(
        "juice_more",
        "What else is known of a cultivar's juice.",
        (
            text("cultivar", "the cultivar", refers="cultivars"),
            number("ph", "pH of its juice", "", 2.4, 5, needed=False),
            choice("tannin", "how its tannin tastes", Tannin, needed=False),
            *SOURCED,
        ),
    ),
)
