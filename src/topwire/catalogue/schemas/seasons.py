"""Chill and heat to bloom, hardiness, harvest lists, stated climates."""

from topwire.catalogue.schema import (
    MARK,
    REMARKED,
    SOURCE,
    SOURCED,
    TableSchema,
    choice,
    number,
    positive,
    text,
)
from topwire.values.traits import Chill

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
TABLES = (
    TableSchema(
        "bloom_groups",
        "Chill without which there is no bloom, by group of cultivars.",
        (
            choice("group", "the group", Chill),
            positive("required", "chill to be had by the day of bloom", "portions", 200),
            *REMARKED,
        ),
    ),
    TableSchema(
        "bloom_shape",
        "How warmth and chill lead to bloom: figures that all cultivars share.",
        (
            text("parameter", "the figure"),
            positive("value", "as fitted", "see the remark", 1_000),
            positive("error", "one standard deviation", "as the value", 1_000),
            text("covariance", "with the first six figures, in their order", needed=False),
            *REMARKED,
        ),
    ),
    TableSchema(
        "wood_hardiness",
        "Hardiness of the wood in winter.",
        (
            text("name", "the cultivar", refers="cultivars"),
            choice("hardiness", "of its wood", ("hardy", "medium", "tender", "very tender")),
            *SOURCED,
        ),
    ),
    TableSchema(
        "root_hardiness",
        "Soil temperature that killed half the roots.",
        (
            text("rootstock", "the stock", refers="rootstocks"),
            number("tenderest_c", "in the tenderest test read", "°C", -40, 0),
            number("hardiest_c", "in the hardiest test read", "°C", -40, 0),
            *REMARKED,
        ),
        rising=(("hardiest_c", "tenderest_c"),),
    ),
    TableSchema(
        "harvest_lists",
        "Dates in lists of other places.",
        (
            text("entry", "any word no other row has"),
            text("cultivar", "the cultivar", refers="cultivars"),
            text("place", "where the list is from"),
            number("days_from_golden_delicious", "in the same list (before: negative)", "days", -150, 120),
            SOURCE,
            MARK,
        ),
    ),
    TableSchema(
        "warming_ways",
        "Ways in which days and nights warm apart, each to one kelvin of warming over the year.",
        (
            text("entry", "any word no other row has"),
            text("way", "its two rows belong together"),
            choice("part", "what the row warms", ("days", "nights")),
            *(number(month, "kelvin for a kelvin of warming", "K", -5, 5) for month in MONTHS),
            *REMARKED,
        ),
    ),
    TableSchema(
        "climate_changes",
        "Another climate as changes of the months: temperatures in kelvin, rain and spread by a factor.",
        (
            text("entry", "any word no other row has"),
            text("change", "name of the climate; its rows belong together"),
            choice("part", "what the row changes", ("days", "nights", "rain", "spread")),
            *(number(month, "change in that month", "K or a factor", -20, 20) for month in MONTHS),
        ),
    ),
)
