"""Posts, wires, anchors, fittings, wood, and the ground that holds them."""

from topwire.catalogue.schema import (
    CURRENCY,
    EVIDENCE,
    REMARK,
    REMARKED,
    SOURCED,
    TableSchema,
    choice,
    number,
    positive,
    text,
    whole,
)
from topwire.values.terms import Texture

_MARKET = choice("market", "where it is sold: us or metric; empty = anywhere", ("us", "metric"), needed=False)
_PRICE = number("price", "of one, in its currency", "", 0, 1_000_000, needed=False)
_MINUTES = number("minutes", "of work to set one", "min", 0, 10_000, needed=False)
_LAST = (*SOURCED, EVIDENCE, REMARK)
TABLES = (
    TableSchema(
        "posts",
        "Posts; wood takes its strength from its species, others from the maker.",
        (
            text("name", "the one name the plan uses"),
            choice("kind", "of post", ("round wood", "steel", "concrete")),
            text("wood", "species of a wooden post", needed=False, refers="wood"),
            positive("diameter_m", "diameter, or depth of the section", "m", 0.5),
            positive("length_m", "length", "m", 12),
            positive("moment_nm", "bending moment 19 of 20 bear, from the maker", "N m", 1e6, needed=False),
            positive("stiffness_nm2", "bending stiffness EI, from the maker", "N m²", 1e9, needed=False),
            _MARKET,
            _PRICE,
            CURRENCY,
            _MINUTES,
            *_LAST,
        ),
    ),
    TableSchema(
        "wood",
        "Bending strength of round posts.",
        (
            text("name", "the species"),
            positive("mean_rupture_mpa", "mean modulus of rupture", "MPa", 200),
            positive("scatter", "coefficient of variation", "", 0.6),
            positive("modulus_gpa", "modulus of elasticity", "GPa", 30),
            *_LAST,
        ),
    ),
    TableSchema(
        "wires",
        "Wires.",
        (
            text("name", "the one name the plan uses"),
            positive("diameter_m", "diameter", "m", 0.03),
            positive("breaking_n", "breaking load, from the maker", "N", 1e6, needed=False),
            positive("modulus_gpa", "modulus of elasticity", "GPa", 300, needed=False),
            _MARKET,
            number("price_per_m", "of a metre, in its currency", "", 0, 10_000, needed=False),
            CURRENCY,
            *_LAST,
        ),
    ),
    TableSchema(
        "anchors",
        "Anchors; without the maker's capacity it is worked out from plate or log.",
        (
            text("name", "the name"),
            choice("kind", "of anchor", ("screw", "plate", "log")),
            positive("plate_m", "diameter of the plate or log", "m", 1.5, needed=False),
            positive(
                "depth_m",
                "length of a screw's rod, in line with the guy; how deep a log lies",
                "m",
                4,
                needed=False,
            ),
            positive("length_m", "of a log", "m", 6, needed=False),
            positive("capacity_n", "ultimate pull, from the maker or a test", "N", 1e6, needed=False),
            _MARKET,
            _PRICE,
            CURRENCY,
            _MINUTES,
            *_LAST,
        ),
    ),
    TableSchema(
        "trellis_fittings",
        "What else a trellis takes.",
        (
            text("item", "the thing"),
            _PRICE,
            text("unit", "what the price is for"),
            CURRENCY,
            _MINUTES,
            *REMARKED,
        ),
    ),
    TableSchema(
        "soils_lateral",
        "How ground of a texture holds a post, drained and soaked.",
        (
            choice("texture", "the texture", Texture),
            whole("code_class", "class in the building code", 1, 5),
            positive("code_kpa_per_m", "lateral bearing by depth in the code", "kPa/m", 500),
            choice("kind", "sand or clay, for the sums", ("sand", "clay")),
            positive("friction_deg", "angle of friction of a sand", "°", 60, needed=False),
            positive("unit_weight_dry", "weight, drained", "N/m³", 40_000),
            positive("unit_weight_wet", "weight, soaked", "N/m³", 40_000),
            positive("growth_dry", "growth of the subgrade modulus, drained", "N/m³", 1e9, needed=False),
            positive("growth_wet", "growth of the subgrade modulus, soaked", "N/m³", 1e9, needed=False),
            positive("cohesion_dry", "undrained strength of a clay, drained", "Pa", 1e7, needed=False),
            positive("cohesion_wet", "undrained strength of a clay, soaked", "Pa", 1e7, needed=False),
            *_LAST,
        ),
    ),
)
