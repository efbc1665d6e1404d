"""The tables of `records/`: what the grower saw and counted."""

from collections.abc import Mapping

from topwire.catalogue.schema import REMARK, TableSchema, choice, day, positive, text, whole
from topwire.values.own_date import DateSeen

_TABLES = (
    TableSchema(
        "bloom",
        "Dates seen in the orchard, or near it: bloom and the first pick.",
        (
            text("entry", "any number or word that no other row has"),
            text("cultivar", "the cultivar", refers="cultivars"),
            choice("event", "what was seen", DateSeen),
            day("date", "when, 2024-04-28"),
            REMARK,
        ),
    ),
    TableSchema(
        "takes",
        "Lots of wood grafted at home.",
        (
            text("lot", "any word no other row has"),
            text("cultivar", "the scion; empty where the lot is mixed", needed=False, refers="cultivars"),
            whole("year", "of the grafting", 1950, 2200, needed=False),
            whole("started", "grafts made", 1, 100_000),
            whole("good", "of them alive in June", 0, 100_000),
            REMARK,
        ),
        rising=(("good", "started"),),
    ),
    TableSchema(
        "fruitlets",
        "Tagged fruitlets, each measured twice.",
        (
            text("fruitlet", "any word no other row has"),
            text("cultivar", "the cultivar", refers="cultivars"),
            whole("leaf", "growing season of the tree", 1, 100),
            text("cluster", "which of the flower clusters it sits in"),
            positive(
                "clusters_per_tree", "flower clusters of a tree, counted on the sample trees", "", 5000,
                needed=False,
            ),
            positive("first_mm", "diameter at the first measurement", "mm", 150),
            positive("second_mm", "at the second; empty = fallen", "mm", 150, needed=False),
            REMARK,
        ),
    ),
)  # fmt: skip
RECORDS: Mapping[str, TableSchema] = {schema.name: schema for schema in _TABLES}
