"""Cultivars, rootstocks, their unions and the room they want."""

from topwire.catalogue.schema import (
    EVIDENCE,
    MARK,
    REMARK,
    SOURCE,
    SOURCED,
    TableSchema,
    choice,
    listed,
    number,
    positive,
    text,
    whole,
)
from topwire.values.terms import CiderClass, Training
from topwire.values.traits import Chill, CultivarKind, Grade, Pollen, Right, Susceptibility, UnionRisk

_SUFFERS = tuple(
    choice(name, f"how it fares with {name.replace('_', ' ')}", Susceptibility, needed=False)
    for name in ("scab", "fire_blight", "cedar_apple_rust", "powdery_mildew")
)
_DISEASES = ("scab", "fire blight", "cedar apple rust", "quince rust", "powdery mildew", "summer rots")
_STOCK_WORDS = tuple(
    text(name, says, needed=False)
    for name, says in (
        ("precocity", "how early it makes a tree bear"),
        ("fire_blight", "how it fares with fire blight"),
        ("phytophthora", "how it fares with collar rot"),
        ("replant", "how it fares in ground that carried apples"),
        ("woolly_aphid", "how it fares with woolly apple aphid"),
        ("burr_knots", "how many burr knots it makes"),
        ("cold_hardiness", "how hardy its roots are, in words"),
        ("support", "whether the tree wants a support"),
        ("graft_union", "strength of its unions, in words"),
        ("freestanding", "whether the tree stands alone"),
    )
)
TABLES = (
    TableSchema(
        "cultivars",
        "What is grown.",
        (
            text("name", "the one name the plan uses"),
            listed("synonyms", "other names, with | between"),
            listed("trade_marks", "marks it is sold under, with | between; a mark is not its name"),
            text("origin", "country or state", needed=False),
            text("era", "when it was raised or found, in words", needed=False),
            whole("introduced", "year it was known by", 1000, 2200, needed=False),
            choice("kind", "what it is grown for first", CultivarKind),
            listed("uses", "uses it serves, with | between; “keeping” may stand among them"),
            choice("cider_class", "the cider maker's class", CiderClass, needed=False),
            number(
                "bloom_offset_days", "full bloom after Golden Delicious (before: negative)", "days", -40, 60,
                needed=False,
            ),
            number(
                "harvest_offset_days", "harvest after Golden Delicious (before: negative)", "days", -120, 90,
                needed=False,
            ),
            positive(
                "harvest_error_days", "standard error of the harvest offset, where wider than usual: an apple known "
                "by its season only", "days", 40, needed=False,
            ),
            whole("ploidy", "sets of chromosomes: 2, 3 or 4", 2, 4, needed=False),
            choice("pollen", "worth of its pollen", Pollen, needed=False),
            text("s_alleles", "self-incompatibility alleles, S2S5", needed=False),
            number("storage_weeks", "in cold air of 0 to 2 °C, at best", "weeks", 0, 104, needed=False),
            number("best_after_weeks", "in store before it is good at table", "weeks", 0, 52, needed=False),
            choice("chill", "cold it wants in winter", Chill, needed=False),
            choice("vigour", "vigour of the scion", Grade, needed=False),
            choice("growth_type", "type of growth, I to IV", ("I", "II", "III", "IV"), needed=False),
            choice("biennial", "tendency to bear every other year", Grade, needed=False),
            choice("precocity", "how early it bears", Grade, needed=False),
            positive("fruit_mass_g", "an apple at harvest", "g", 2000, needed=False),
            number("brix", "soluble solids of the juice", "°Bx", 0, 40, needed=False),
            number("acid_g_l", "acid of the juice, as malic", "g/L", 0, 60, needed=False),
            number("tannin_g_l", "tannin of the juice", "g/L", 0, 30, needed=False),
            *_SUFFERS,
            choice("tip_bearing", "bears at the tips of its shoots", ("yes", "no", "partial"), needed=False),
            choice("propagation_right", "whether it may be propagated at home", Right),
            text("notes", "anything worth saying", needed=False),
            EVIDENCE,
        ),
    ),
    TableSchema(
        "cultivar_heat",
        "Summers a cultivar is known to suit; a cultivar without a row is not known.",
        (
            text("cultivar", "the cultivar", refers="cultivars"),
            choice("suits", "summers it suits", ("cool summers", "hot summers", "both")),
            text("remark", "what it does elsewhere", needed=False),
            SOURCE,
            MARK,
        ),
    ),
    TableSchema(
        "sold_in_europe",
        "Cultivars whose trees or wood nurseries and collections in Europe usually have; a plan there takes no others "
        "unless it names them.",
        (
            text("cultivar", "the cultivar", refers="cultivars"),
            SOURCE,
            MARK,
            text("remark", "where", needed=False),
        ),
    ),
    TableSchema(
        "cultivar_stories",
        "Dated facts of cultivars, for the table.",
        (
            text("story", "any words no other row has"),
            text("cultivar", "the cultivar", refers="cultivars"),
            text("fact", "what is told"),
            text("when", "year or century", needed=False),
            text("place", "where", needed=False),
            choice(
                "tells",
                "what year and place are: `origin`, of its raising, finding or sending out; `home`, the place is its "
                "home and the year one it was known in; `known`, both are of a notice or a show, as where this is left "
                "empty; `tradition`, neither is sure",
                ("origin", "home", "known", "tradition"),
                needed=False,
            ),
            *SOURCED,
        ),
    ),
    TableSchema(
        "cultivar_doubts",
        "Where accounts of a cultivar's name, home or age disagree, for the table.",
        (
            text("doubt", "any words no other row has"),
            text("cultivar", "the cultivar", refers="cultivars"),
            text("says", "what is told; all of it found in the source"),
            *SOURCED,
        ),
    ),
    TableSchema(
        "cultivar_parents",
        "Parents of a cultivar, as far as they are known; each gives it one of its S-alleles.",
        (
            text("cultivar", "the cultivar", refers="cultivars"),
            text("seed_parent", "the tree its seed was from, or the parent that is known", needed=False),
            text("pollen_parent", "the tree its pollen was from", needed=False),
            SOURCE,
            MARK,
            REMARK,
        ),
    ),
    TableSchema(
        "disease_ratings",
        "What further sources say of a cultivar and a disease; cultivars.csv holds the first.",
        (
            text("rating_of", "any words no other row has"),
            text("cultivar", "the cultivar", refers="cultivars"),
            choice("disease", "the disease", _DISEASES),
            choice("rating", "how it fares", Susceptibility),
            SOURCE,
            MARK,
            REMARK,
        ),
    ),
    TableSchema(
        "rootstocks",
        "What is grafted on.",
        (
            text("name", "the one name the plan uses"),
            text("size_class", "dwarf, semi-dwarf and so on"),
            positive("seedling_low_pct", "least size beside a seedling", "%", 200, needed=False),
            positive("seedling_high_pct", "most size beside a seedling", "%", 200, needed=False),
            positive("vigour_low", "least trunk cross-section beside M.9 NAKBT337", "", 10, needed=False),
            positive("vigour", "trunk cross-section beside M.9 NAKBT337", "", 10, needed=False),
            positive("vigour_high", "most trunk cross-section beside M.9 NAKBT337", "", 10, needed=False),
            positive("height_after_5_years_m", "height in a trial", "m", 15, needed=False),
            positive("cumulative_yield_5_years_kg", "crop of a tree in a trial", "kg", 500, needed=False),
            positive("yield_efficiency_kg_cm2", "crop by trunk cross-section in a trial", "kg/cm²", 20,
                     needed=False),
            *_STOCK_WORDS,
            choice("propagation_right", "whether it may be propagated at home", Right),
            text("notes", "anything worth saying", needed=False),
            EVIDENCE,
        ),
        rising=(("seedling_low_pct", "seedling_high_pct"), ("vigour_low", "vigour", "vigour_high")),
    ),
    TableSchema(
        "unions",
        "How a stock and a scion grow together.",
        (
            text("pair", "any word no other row has"),
            text("rootstock", "the stock", refers="rootstocks"),
            text("cultivar", "the scion; empty = every cultivar", needed=False, refers="cultivars"),
            choice("risk", "of the union", UnionRisk),
            text("remark", "what was seen"),
            *SOURCED,
        ),
    ),
    TableSchema(
        "tree_spacing",
        "Distances in the row for a tall spindle.",
        (
            text("stock_class", "class of the stock"),
            listed("rootstocks", "stocks of the class, with | between", refers="rootstocks"),
            positive("vigour_to", "stocks without a row here: up to this trunk cross-section beside M.9", "", 99),
            positive("weak_scion_m", "under a weak scion", "m", 10),
            positive("medium_scion_m", "under a scion of middling vigour", "m", 10),
            positive("strong_scion_m", "under a strong scion", "m", 10),
            REMARK,
            SOURCE,
            MARK,
        ),
        rising=(("weak_scion_m", "medium_scion_m", "strong_scion_m"),),
    ),
    TableSchema(
        "training_spacing",
        "Distances by way of training.",
        (
            choice("training", "the way", Training),
            positive("tree_from_m", "least between trees", "m", 10),
            positive("tree_to_m", "most between trees", "m", 10),
            positive("row_from_m", "least between rows", "m", 15),
            positive("row_to_m", "most between rows", "m", 15),
            positive("spindle_factor", "tree spacing beside the tall spindle's", "", 5),
            positive("canopy_width_m", "width of the full-grown wall", "m", 6),
            REMARK,
            SOURCE,
            MARK,
        ),
        rising=(("tree_from_m", "tree_to_m"), ("row_from_m", "row_to_m")),
    ),
)  # fmt: skip
