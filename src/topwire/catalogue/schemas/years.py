"""Crop by leaf, crop load, thinning, trials."""

from topwire.catalogue.schema import (
    REMARKED,
    SOURCED,
    TableSchema,
    number,
    positive,
    text,
    whole,
)

TABLES = (
    TableSchema(
        "yield_by_leaf",
        "Crop of a tree's growing seasons.",
        (
            whole("leaf", "growing season since planting", 1, 60),
            number("share", "of a full crop", "", 0, 1.5),
            number("goal_t_ha", "goal read", "t/ha", 0, 250),
            number("fruit_annual", "fruits to leave on a tree of annual habit", "", 0, 2000),
            number("fruit_biennial", "fruits to leave on a tree of biennial habit", "", 0, 2000),
            *REMARKED,
        ),
    ),
    TableSchema(
        "crop_load",
        "Fruits by trunk cross-section (fruits per cm²), and the mature yield (t/ha).",
        (
            text("item", "cultivar, habit, or “mature yield”"),
            positive("low", "least", "fruits per cm², or t/ha", 250),
            positive("load", "middle", "fruits per cm², or t/ha", 250),
            positive("high", "most", "fruits per cm², or t/ha", 250),
            *REMARKED,
        ),
        rising=(("low", "load", "high"),),
    ),
    TableSchema(
        "thinning_rules",
        "When and how far to thin.",
        (
            text("rule", "its name"),
            text("condition", "when it holds"),
            text("action", "what to do"),
            *SOURCED,
        ),
    ),
    TableSchema(
        "crop_trials",
        "Rootstock trials that the forecast is set beside.",
        (
            text("trial", "any word no other row has"),
            text("cultivar", "the scion", refers="cultivars"),
            text("rootstock", "the stock as the trial names it"),
            positive("trees_per_ha", "density", "trees/ha", 20_000),
            positive("vigour", "trunk cross-section beside M.9 NAKBT337", "", 10),
            positive("height_m", "of the tree", "m", 15),
            positive("kg_leaf_5", "crop of a tree in leaf 5", "kg", 500),
            positive("kg_to_leaf_5", "crop of a tree up to leaf 5", "kg", 1000),
            *SOURCED,
        ),
    ),
)
