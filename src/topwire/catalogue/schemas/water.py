"""Pipes, emitters, soils, ground cover, water quality, pumps and filters."""

from topwire.catalogue.schema import (
    REMARK,
    REMARKED,
    SOURCED,
    TableColumn,
    TableSchema,
    choice,
    number,
    positive,
    text,
)
from topwire.values.terms import Texture

_PRICE_SOURCE = text("price_source", "where the price is from", needed=False)


def _told(of: str) -> tuple[TableColumn, ...]:
    return (
        text(f"{of}_source", "key in the bibliography", needed=False),
        text(f"{of}_mark", "how the figure is known", needed=False),
    )


TABLES = (
    TableSchema(
        "tubing",
        "Pipes and blank tube.",
        (
            text("name", "the name"),
            choice("use", "what it serves as", ("main", "lateral")),
            positive("outside_mm", "outside diameter", "mm", 1000),
            positive("inside_mm", "inside diameter", "mm", 1000),
            positive("most_kpa", "pressure it bears", "kPa", 10_000),
            number("price_per_m", "of a metre", "", 0, 10_000, needed=False),
            _PRICE_SOURCE,
            *REMARKED,
        ),
        rising=(("inside_mm", "outside_mm"),),
    ),
    TableSchema(
        "emitters",
        "Lines with emitters in their wall, and single emitters.",
        (
            text("name", "the one name the plan uses"),
            choice("kind", "of emitter", ("line", "button")),
            text("tube", "blank tube a button sits on", needed=False, refers="tubing"),
            positive("inside_mm", "inside diameter of the line", "mm", 100),
            positive("litres_per_hour", "flow at the nominal head", "L/h", 200),
            positive("nominal_head_m", "head it is stated at", "m", 100),
            number("exponent", "of the flow by head", "", 0, 1),
            number("regulates_from_m", "least head at which it holds its flow; 0 = it does not", "m", 0, 100),
            positive("most_head_m", "head it bears", "m", 200),
            number("variation", "maker's coefficient of variation", "", 0, 0.5),
            positive("spacing_m", "between emitters of a line", "m", 10, needed=False),
            positive("per_tree", "emitters a tree", "", 50, needed=False),
            number("barb_m", "length of tube whose friction its barb equals", "m", 0, 10),
            number("price_per_m", "of a metre of line", "", 0, 10_000, needed=False),
            number("price_each", "of one emitter", "", 0, 10_000, needed=False),
            _PRICE_SOURCE,
            *REMARKED,
        ),
    ),
    TableSchema(
        "soils_water",
        "How ground of a texture holds and takes water.",
        (
            choice("texture", "the texture", Texture),
            positive("field_capacity", "water held against gravity", "m³/m³", 0.7),
            positive("wilting_point", "water no root takes", "m³/m³", 0.5),
            *_told("water"),
            positive("readily_evaporable_mm", "water the bare surface loses at full rate", "mm", 30),
            *_told("evaporable"),
            positive("infiltration_mm_h", "steady rate it takes water", "mm/h", 1000),
            *_told("infiltration"),
            positive("curve_number", "of runoff", "", 100),
            *_told("curve"),
            positive("wetted_width_m", "strip one drip line wets", "m", 5),
            *_told("wetted"),
            REMARK,
        ),
        rising=(("wilting_point", "field_capacity"),),
    ),
    TableSchema(
        "crop_coefficients",
        "Crop coefficients of a ground cover.",
        (
            text("cover", "the cover"),
            *(
                positive(f"{kind}_{stage}", f"{kind} coefficient, {said}", "", 2)
                for kind in ("single", "basal")
                for stage, said in (("initial", "early"), ("middle", "in midsummer"), ("end", "late"))
            ),
            positive("most_height_m", "height of the crop", "m", 15),
            positive("depletion_share", "of the available water used before growth suffers", "", 1),
            *REMARKED,
        ),
    ),
    TableSchema(
        "water_quality",
        "What in the water is trouble.",
        (
            text("what", "what is measured"),
            text("unit", "in which"),
            number("well_below", "no trouble below", "in the row's unit", 0, 1e7),
            number("trouble_above", "trouble above", "in the row's unit", 0, 1e7),
            text("says", "what it does"),
            text("remedy", "what helps"),
            *SOURCED,
        ),
        rising=(("well_below", "trouble_above"),),
    ),
    TableSchema(
        "pumps_filters",
        "Pumps, filters, valves and the rest of the head.",
        (
            text("item", "the thing"),
            text("kind", "what it is for the sums"),
            positive("most_m3_h", "flow it passes", "m³/h", 1e6),
            positive("most_pipe_mm", "outside of the widest pipe it joins", "mm", 1000, needed=False),
            number("loss_clean_m", "head lost, clean", "m", 0, 100),
            number("loss_dirty_m", "head lost, due for cleaning", "m", 0, 100),
            number("price", "of one", "", 0, 1_000_000, needed=False),
            _PRICE_SOURCE,
            *REMARKED,
        ),
        rising=(("loss_clean_m", "loss_dirty_m"),),
    ),
)
