"""Labour, the calendar of work, maturity at picking."""

from topwire.catalogue.schema import REMARKED, SOURCED, TableSchema, choice, number, positive, text, whole

_STAGE = text("stage", "a stage of the year (full_bloom), or month-day (08-15)")
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
            choice("basis", "what its rate is by", ("min/tree", "h/ha", "h/100 m", "kg/h", "h each")),
            positive("low", "a low rate", "in the row's basis", 100_000),
            positive("middle", "the rate used", "in the row's basis", 100_000),
            positive("high", "a high rate", "in the row's basis", 100_000),
            *REMARKED,
        ),
        rising=(("low", "middle", "high"),),
    ),
    TableSchema(
        "work_calendar",
        "What is done when.",
        (
            text("item", "the work"),
            text("year", "of work done once: planting-1, graft+1; empty: every year", needed=False),
            _STAGE,
            whole("begin", "first day, from the stage (before: negative)", -365, 365),
            text("until", "stage it lasts to; empty: the same one", needed=False),
            whole("end", "last day, from that stage", -365, 365),
            *_LEAVES,
            whole("every", "how many years apart it comes again", 1, 60),
            text("moves", "yes: may be done earlier, so that what waits for it is not held up", needed=False),
            text("ground", "open: not in frozen ground", needed=False),
            text(
                "late",
                "of work done once, for a late start: season = only in its weeks, else left out; a work: left "
                "out with that one; empty: done as soon as it can be",
                needed=False,
            ),
            text(
                "needs",
                "work it waits for, apart by “;”; “=” before one: only until it has begun",
                needed=False,
            ),
            text("only", "conditions that all have to hold", needed=False),
            text("labour", "row of labour.csv its hours come from", needed=False),
            whole("people", "who work at it together", 1, 200),
            text("tools", "what has to be at hand", needed=False),
            text("where", "rows: done row by row", needed=False),
            text("bill", "bill its material stands on, as trellis.bill", needed=False),
            text("what", "what is done"),
            text("how", "how"),
            text("caution", "what can hurt", needed=False),
            text("lost", "what is lost where it is left out", needed=False),
            *SOURCED,
        ),
        rising=(("first_leaf", "last_leaf"),),
    ),
    TableSchema(
        "first_goods",
        "Material of work done once that no department's bill has.",
        (
            text("use", "any words no other row has"),
            text("item", "the goods, as in prices.csv"),
            text("work", "row of work_calendar.csv that takes them"),
            choice(
                "per",
                "what they are counted by",
                (
                    "tree",
                    "clip",
                    "planting",
                    "fence",
                    "fence m",
                    "strip m2",
                    "ground m2",
                    "drain m",
                ),
            ),
            positive("amount", "for one", "", 1000),
            *SOURCED,
        ),
    ),
    TableSchema(
        "tools",
        "Tools the work names, and how each is had.",
        (
            text("tool", "as the work names it"),
            text("had", "house, hand, ground, or the bill it stands on"),
            text("item", "its line on that bill", needed=False),
            text("remark", "a note", needed=False),
        ),
    ),
    TableSchema(
        "capital",
        "Goods that last, in the money of a stated year.",
        (
            text("item", "the goods"),
            choice("per", "what they are counted by", ("each", "picker", "kg a week", "store m2", "hectare")),
            positive("size", "of that, one serves", "", 100_000),
            positive("low", "a low price of one", "in its currency", 10_000_000),
            positive("middle", "the price used", "in its currency", 10_000_000),
            positive("high", "a high price", "in its currency", 10_000_000),
            whole("year", "of the price's money", 1950, 2200),
            text("currency", "of the price"),
            whole("lasts", "years until it is bought again", 1, 100),
            choice("first", "needed from", ("planting", "first crop")),
            text("only", "conditions that all have to hold", needed=False),
            number("least_ground", "tree ground from which it is worth having", "m²", 0, 1e8),
            *REMARKED,
        ),
        rising=(("low", "middle", "high"),),
    ),
    TableSchema(
        "price_index",
        "What money was worth, by year: consumer prices.",
        (
            whole("year", "the year", 1900, 2200),
            positive("index", "consumer prices", "", 100_000),
            *SOURCED,
        ),
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
