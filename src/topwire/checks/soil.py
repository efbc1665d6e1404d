"""Lime, nutrients and feeding held against published tables, worked examples and reports."""

from functools import partial

from topwire.catalogue.model import Mark
from topwire.checks import Check, checks_of, table
from topwire.soil.feeding import NITROGEN, Age, nitrogen_of_leaf, product, rate_change
from topwire.soil.lime import (
    ACIDITY_SLICE,
    TON_AN_ACRE,
    buffer_acidity,
    by_acidity,
    by_buffer_acidity,
    by_smp,
    by_texture,
    carolina_factor,
    dressings,
    fineness_new_york,
    fineness_ohio,
    spread,
    to_depth,
    two_layers,
)
from topwire.soil.nutrients import boron, gypsum, parts_of_pounds, phosphate, potash
from topwire.values.terms import Texture

_check = checks_of("Soil")
_POUNDS_PER_THOUSAND_FEET = 0.45359237 / (1000 * 0.3048**2)  # [kg/m2]
_POUND_AN_ACRE = TON_AN_ACRE / 2000
_HECTARE = 1e4
# How far the laboratory's printed steps and the guide's lines part (pounds on 1,000 square feet), by target.
_APART = {7.0: 15.0, 6.5: 40.0, 6.0: 40.0}
# Tri-State, tons an acre of lime 90 % effective: index, target, tons; the whole table from memory.
_TRISTATE = (
    (68, 6.8, 1.4), (68, 6.5, 1.2), (68, 6.0, 1.0), (67, 6.8, 2.4), (66, 6.5, 2.9), (65, 6.8, 4.5),
    (64, 6.5, 4.7), (63, 6.0, 4.6), (62, 6.8, 7.5), (61, 6.5, 7.2), (60, 6.8, 9.6), (60, 6.0, 6.8),
)  # fmt: skip
# RB209, t/ha of limestone to 6.7: texture, pH, tonnes, as pure carbonate.
_TEXTURES = (
    (Texture.SAND, 6.2, 2.8), (Texture.SAND, 5.5, 6.5), (Texture.SAND, 5.0, 9.3),
    (Texture.SILT_LOAM, 6.0, 4.6), (Texture.SILT_LOAM, 5.5, 7.4), (Texture.SILT_LOAM, 5.0, 11.1),
    (Texture.CLAY, 6.2, 3.7), (Texture.CLAY, 6.0, 5.6), (Texture.CLAY, 5.5, 9.3), (Texture.CLAY, 5.0, 13.0),
)  # fmt: skip


def checks() -> list[Check]:
    return [*_acidity(), *_tables(), *_chain(), *_feeding()]


def _acidity() -> list[Check]:
    """Every line of the laboratory's table."""
    found = []
    for row in table("lime_acidity.csv"):
        acidity, target = float(row["acidity"]), float(row["target"])
        found.append(
            _check(
                f"lime at {acidity:g} meq/100 g to pH {target:g}, lb on 1,000 ft2",
                "LIME-PSU, table 1",
                float(row["pounds"]),
                partial(_per_thousand_feet, acidity, target),
                _APART[target],
                Mark.READ,
            )
        )
    return found


def _per_thousand_feet(acidity: float, target: float) -> float:
    return by_acidity(acidity, 5.0, target) / _POUNDS_PER_THOUSAND_FEET


def _tables() -> list[Check]:
    smp = [
        _check(
            f"lime of 90 % at index {index} to pH {target:g}, ton/acre",
            "LIME-TRISTATE, lime table",
            tons,
            partial(_tristate, index / 10, target),
            0.01,
        )
        for index, target, tons in _TRISTATE
    ]
    textures = [
        _check(
            f"pure lime at pH {ph:g} on {texture} to 6.7, t/ha",
            "LIME-RB209, liming table",
            tonnes,
            partial(_textured, ph, texture),
            0.06,
        )
        for texture, ph, tonnes in _TEXTURES
    ]
    return smp + textures


def _tristate(buffer: float, target: float) -> float:
    return by_smp(buffer, 5.0, target) / 0.9 / TON_AN_ACRE


def _textured(ph: float, texture: Texture) -> float:
    return 10 * by_texture(ph, texture, 6.7)


def _worked(below: float) -> float:
    """9 meq/100 g, 40 cm deep, lime 75 % effective, t/ha."""
    top = by_acidity(9.0, 5.5, 7.0)
    lower = by_acidity(9.0, 5.5, below)
    return 10 * spread(two_layers(top, lower, ACIDITY_SLICE, 0.40), 0.75)


def _chain() -> list[Check]:
    read = Mark.READ
    return [
        _check("sieve efficiency of limestone A, %", "LIME-OHIO, limestone A", 85.28,
               lambda: 100 * fineness_ohio(0.788 + 0.10 + 0.024, 0.888, 0.788), 0.01, read),
        _check("sieve efficiency of limestone B, % (its printed sum is a slip)", "LIME-OHIO, limestone B", 94.46,
               lambda: 100 * fineness_ohio(1.0, 0.96, 0.90), 0.07, read),
        _check("effective share of lime that wholly passes 100 mesh", "LIME-CCA", 1.0,
               partial(fineness_new_york, 1, 1, 1), 1e-9, read),
        _check("effective share of lime between 20 and 60 mesh", "LIME-CCA", 0.40,
               partial(fineness_new_york, 1, 0, 0), 1e-9, read),
        _check("5 lb at a neutralising value of 70 %, lb", "LIME-PSU-SPLIT", 7.0, partial(spread, 5.0, 0.70), 0.2,
               read),
        _check("Carolina factor from pH 5.0 to 6.0", "LIME-NC, table", 0.625, partial(carolina_factor, 5.0, 6.0), 5e-4,
               read),
        _check("Carolina requirement, acidity 1.2 to 6.0 from 5.0, ton/acre", "LIME-NC, example", 0.76,
               lambda: by_buffer_acidity(5.0, 6.6 - 0.3, 6.0) / TON_AN_ACRE, 0.011, read),
        _check("Carolina acidity at buffer pH 6.3", "LIME-NC", 1.2, partial(buffer_acidity, 6.3), 1e-9, read),
        _check("lime for 40 cm at 9 meq to 7.0, 75 % effective, t/ha", "LIME-WORKED", 29.9, partial(_worked, 7.0), 0.1),
        _check("the same with a subsoil target of 6.5, t/ha", "LIME-WORKED", 27.5, partial(_worked, 6.5), 0.2),
        _check("a rate for 15 cm worked 30 cm deep", "LIME-UK", 2.0, partial(to_depth, 1.0, 0.15, 0.30), 1e-9, read),
        _check("dressings of 5 t/ha", "LIME-PSU-SPLIT", 1, partial(dressings, 0.5), 0, read),
        _check("dressings of 8 t/ha", "LIME-PSU-SPLIT", 2, partial(dressings, 0.8), 0, read),
        _check("dressings of 12 t/ha", "LIME-PSU-SPLIT", 3, partial(dressings, 1.2), 0, read),
        _check("the least to 6.5 below 4 meq, lb/acre", "LIME-PSU", 2000,
               lambda: by_acidity(2.0, 6.0, 6.5) / _POUND_AN_ACRE, 1, read),
        _check("no lime where the soil has its target", "LIME-PSU", 0.0, partial(by_acidity, 9.0, 7.0, 6.5), 0, read),
    ]  # fmt: skip


def _feeding() -> list[Check]:
    read = Mark.READ
    ounce = 0.45359237 / 16
    return [
        _check("urea-type fertiliser in leaf 2, oz a tree", "FEED-TFPG", 1.4,
               lambda: product(nitrogen_of_leaf(2)) / ounce, 0.02, read),
        *(
            _check(f"nitrogen in leaf {leaf}, g a tree", "FEED-TFPG", grams,
                   lambda leaf=leaf: 1000 * nitrogen_of_leaf(leaf), 0.25, read)
            for leaf, grams in ((1, 9), (2, 18), (3, 27))
        ),
        _check("nitrogen of leaf 3 at 2,500 trees a hectare, kg/ha", "FEED-TFPG", 68,
               lambda: 2500 * nitrogen_of_leaf(3), 0.5, read),
        _check("gypsum where sulphur is 6 ppm and pH 6.2, kg/ha", "SOIL-ORGANIC142", 196,
               lambda: gypsum(6.0, 6.2).most * _HECTARE, 0.5, read),
        _check("gypsum where pH is 7, kg/ha", "SOIL-ORGANIC142", 0, lambda: gypsum(6.0, 7.0).most, 0, read),
        _check("boron at 0.6 ppm, kg/ha, most", "common practice, no source", 2,
               lambda: boron(0.6).most * _HECTARE, 1e-6),
        _check("boron at 1.2 ppm", "SOIL-WSU119, table 1", 0, lambda: boron(1.2).most, 0, read),
        _check("potash for 50 ppm more, kg/ha, least", "SOIL-RB209", 300,
               lambda: potash(100, 150).least * _HECTARE, 1e-6),
        _check("potash for 50 ppm more, kg/ha, most", "SOIL-RB209", 500,
               lambda: potash(100, 150).most * _HECTARE, 1e-6),
        _check("phosphate for 10 ppm more, kg/ha, most", "SOIL-RB209", 400,
               lambda: phosphate(5, 15).most * _HECTARE, 1e-6),
        _check("phosphate for 1 ppm more, kg/ha, least", "LIME-TRISTATE", 22.4,
               lambda: phosphate(5, 6).least * _HECTARE, 0.5),
        _check("200 lb/acre in a slice of 6-7 in, ppm", "common practice, no source", 100,
               partial(parts_of_pounds, 200), 0),
        _check("a tenth more nitrogen for 0.1 % in the leaf", "LEAF-GFG14", 0.1, partial(rate_change, 2.2, 2.3), 1e-9,
               read),
        _check("leaf nitrogen of trees not bearing, least, %", "LEAF-WSU", 2.4,
               lambda: NITROGEN[Age.YOUNG].least or 0, 0, read),
        _check("leaf nitrogen of full-grown soft kinds, most, %", "LEAF-WSU", 2.2,
               lambda: NITROGEN[Age.SOFT].most or 0, 0, read),
    ]  # fmt: skip
