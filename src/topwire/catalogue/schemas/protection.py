"""Insects' clocks and what happens on them."""

from topwire.catalogue.schema import REMARKED, TableSchema, choice, number, positive, text
from topwire.values.insect_clock import ClockStart, CutOff, DayCurve

DANGERS = ("watch", "light", "moderate", "severe")
TABLES = (
    TableSchema(
        "insect_clocks",
        "How each insect's warmth is counted. A threshold belongs to its way of counting and to its region: change "
        "both together.",
        (
            text("clock", "name of the clock"),
            text("insect", "whose it is"),
            number("lower_f", "below it nothing counts", "°F", 20, 70),
            number("upper_f", "above it the cut-off holds", "°F", 60, 120, needed=False),
            choice("curve", "how a day runs between its two ends", DayCurve),
            choice("cut_off", "what warmth above the upper threshold is worth", CutOff),
            choice("starts", "from when it counts", ClockStart),
            positive("first_low_f", "from 1 January to the first catch, early", "°F d", 3_000, needed=False),
            positive("first_high_f", "and late", "°F d", 3_000, needed=False),
            text("region", "where it was found", needed=False),
            *REMARKED,
        ),
        rising=(("lower_f", "upper_f"), ("first_low_f", "first_high_f")),
    ),
    TableSchema(
        "insect_events",
        "What happens when a clock has come to a sum, and what to do without a spray.",
        (
            text("entry", "any word no other row has"),
            text("clock", "on which clock", refers="insect_clocks"),
            text("event", "what happens"),
            number("low_f", "sum at which it does, early", "°F d", 0, 6_000),
            number("high_f", "and late", "°F d", 0, 6_000),
            choice("danger", "how much it matters", DANGERS),
            text("action", "what to look for and do"),
            *REMARKED,
        ),
        rising=(("low_f", "high_f"),),
    ),
)
