"""Labour, the calendar of work, maturity at picking."""

from topwire.catalogue.schema import REMARKED, SOURCED, TableSchema, choice, number, positive, text, whole

_STAGE = text("stage", "a stage of the year (full_bloom), or month-day (08-15)")
_DAYS = (
    whole("begin", "first day, from the stage (before: negative)", -365, 365),
    whole("end", "last day, from the stage", -365, 365),
)
_LEAVES = (
    whole("first_leaf", "first growing season it is done in; 0 = the planting year", 0, 60),
    whole("last_leaf", "last growing season it is done in", 0, 60),
)
TABLES = (
    TableSchema(
        "labour",
        "Hours of every task.",
        (
            text("task", "the task"),
            choice("basis", "what its rate is by", ("min/tree", "h/ha", "h/100 m", "kg/h")),
            positive("low", "a low rate", "in the row's basis", 100_000),
            positive("middle", "the rate used", "in the row's basis", 100_000),
            positive("high", "a high rate", "in the row's basis", 100_000),
            *_LEAVES,
            _STAGE,
            *_DAYS,
            *REMARKED,
        ),
        rising=(("low", "middle", "high"), ("first_leaf", "last_leaf"), ("begin", "end")),
    ),
    TableSchema(
        "work_calendar",
        "What is done when.",
        (
            text("item", "the work"),
            _STAGE,
            *_DAYS,
            *_LEAVES,
            text("what", "what is done"),
            text("how", "how"),
            text("caution", "what can hurt", needed=False),
            *SOURCED,
        ),
        rising=(("first_leaf", "last_leaf"), ("begin", "end")),
    ),
    TableSchema(
        "maturity",
        "Starch (1 to 8) and firmness (pounds on an 11 mm probe) at picking.",
        (
            text("cultivar", "the cultivar", refers="cultivars"),
            *(
                positive(f"firmness_{span}_lb", f"least for {said} storage", "lb", 60, needed=False)
                for span, said in (("short", "short"), ("mid", "middling"), ("long", "long"))
            ),
            number("starch_mature", "index at which picking begins", "", 1, 8),
            number("starch_over", "index above which it no longer keeps", "", 1, 8),
            *SOURCED,
        ),
        rising=(("starch_mature", "starch_over"),),
    ),
)
