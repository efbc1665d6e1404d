"""Sheets of many places: what stands where, each place's climate, the region's list, the joint orders."""

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from topwire.many.findings import NotAnswered, PlaceAnswer, RegionFindings, RegionList
from topwire.phenology.ripening import EARLY, LATE_HANGING
from topwire.show.sheet import Column, LinkKind, Sheet, sheet_of
from topwire.tell.place import misfit_words
from topwire.tell.reader import counted
from topwire.values.quantities import Plain
from topwire.values.units import Kind

PARTS = {0: "summer", 1: "main season", 2: "late, hangs well"}
_THREE = (("low", 0), ("middle", 1), ("high", 2))
_DAY = Plain.DAY_OF_YEAR


def cultivar_columns(*, planned: bool) -> tuple[Column, ...]:
    """Of the table of every cultivar at every place: a line is a place, and each cell holds all its cultivars' values.

    So two million rows are written in minutes. `planned`: with the trees that whole plans took.
    """
    columns = [
        Column("id", "place", of=lambda answer: [answer.id] * len(answer.cultivars)),
        Column("cultivar", "cultivar", of=lambda answer: list(answer.cultivars)),
        Column("fits", "fits here", of=_verdict),
        Column("chill_met", "years with chill enough for bloom", Plain.SHARE),
        *(
            Column(f"{key}_{name}", f"{caption}, {name}", quantity, of=_row(key, at))
            for key, caption, quantity in (
                ("bloom", "full bloom", _DAY),
                ("frost_loss", "crop lost to frost", Plain.SHARE),
                ("ripens", "first pick", _DAY),
            )
            for name, at in _THREE
        ),
        Column("bloom_warmer", "full bloom when warmer", _DAY),
        Column("ripens_warmer", "first pick when warmer", _DAY),
        Column("fits_warmer", "fits when warmer", of=_verdict_warmer),
    ]
    if planned:
        columns.append(Column("trees", "trees in the plan", of=_trees))
    return tuple(columns)


def _row(key: str, at: int) -> Any:
    return lambda answer: getattr(answer, key)[at]


def _verdict(answer: PlaceAnswer) -> Sequence[str]:
    return [misfit_words(answer.unfit.get(name, ())) or "yes" for name in answer.cultivars]


def _verdict_warmer(answer: PlaceAnswer) -> Sequence[str]:
    """Empty where no warmer climate was asked for."""
    if not answer.warmer_step:
        return [""] * len(answer.cultivars)
    doubt = set(answer.in_doubt)
    return [
        "no" if name in answer.unfit else "in doubt" if name in doubt else "yes" for name in answer.cultivars
    ]


def _trees(answer: PlaceAnswer) -> Sequence[str]:
    taken = {line.cultivar: 0 for line in answer.planned.lines} if answer.planned else {}
    for line in answer.planned.lines if answer.planned else ():
        taken[line.cultivar] += line.trees
    return [str(taken.get(name, "")) for name in answer.cultivars]


def places(answers: Iterable[PlaceAnswer], *, planned: bool) -> Sheet:
    """One line a place."""
    return sheet_of("many.places", "Every place", place_columns(planned=planned), answers)


def place_columns(*, planned: bool) -> tuple[Column, ...]:
    columns = [
        Column("id", "place"),
        Column("latitude", "latitude", Plain.ANGLE, 4),
        Column("longitude", "longitude", Plain.ANGLE, 4),
        Column("elevation", "height of the place", Kind.LENGTH, 0),
        Column("years", "weather years"),
        Column("chill_low", "winter chill, portions, low year", Plain.COUNT, of=lambda one: one.chill.low),
        Column("chill", "winter chill, portions, middle year", Plain.COUNT, of=lambda one: one.chill.middle),
        Column("coldest", "coldest night, middle year", Kind.TEMPERATURE, of=lambda one: one.coldest.middle),
        Column(
            "last_frost",
            "last frost of spring, middle year",
            _DAY,
            of=lambda one: None if one.last_frost is None else one.last_frost.middle,
        ),
        Column("zone", "winter hardiness zone"),
        Column("frost_years", "years that frost takes most of the bloom", Plain.SHARE),
        Column(
            "frost_warmer_low",
            "the same when warmer, low",
            Plain.SHARE,
            of=lambda one: one.frost_years_warmer and one.frost_years_warmer[0],
        ),
        Column(
            "frost_warmer_high",
            "the same when warmer, high",
            Plain.SHARE,
            of=lambda one: one.frost_years_warmer and one.frost_years_warmer[1],
        ),
        Column("bloom_trend", "bloom moves, days in ten years", Plain.DAYS, 1),
        Column("fits", "cultivars that fit", of=lambda one: len(one.fits)),
        Column("lasting", "of these when warmer", of=lambda one: len(one.lasting)),
        Column("cell_nights", "spring nights of a grid cell", Plain.SHARE),
        Column("warnings", "notes on its weather", of=lambda one: " ".join(one.warnings) or None),
    ]
    if planned:
        columns += [
            Column("trees", "trees in the plan", of=lambda one: one.planned and one.planned.trees),
            Column(
                "served",
                "of what the kitchen wants, served in the mean year",
                Plain.SHARE,
                of=lambda one: one.planned and one.planned.served / max(one.planned.wanted, 1e-9),
            ),
            Column(
                "winter", "grafting winter", Plain.YEAR, of=lambda one: one.planned and one.planned.winter
            ),
        ]
    return tuple(columns)


def not_answered(rows: Iterable[NotAnswered]) -> Sheet:
    columns = (
        Column("line", "line"),
        Column("id", "place", of=lambda one: one.id or None),
        Column("reason", "why there is no answer"),
    )
    return sheet_of("many.not_answered", "Places without an answer", columns, rows)


def region(found: RegionList) -> Sheet:
    """The cultivars worth propagating."""
    columns = (
        Column("cultivar", "cultivar", leads=LinkKind.CULTIVAR),
        Column("season", "part of the season", words=PARTS),
        Column("served_by", "places it is good for"),
        Column("needed_by", "places short without it"),
        Column("fits", "places it fits today"),
        Column("fits_warmer", "places it fits when warmer"),
        Column("licensed", "right to propagate", words={False: "free", True: "by licence only"}),
    )
    return sheet_of(
        "many.region",
        "Cultivars worth propagating",
        columns,
        found.lines,
        rests_on(found),
        (_means(found.choices),),
    )


def _means(choices: int) -> str:
    return (
        f"A place is served where each part of the season has {counted(choices, 'cultivar')} of the list to choose "
        "from that fit there today and in the warmer climate asked for, or all that do. Summer: ripe "
        f"{-EARLY:.0f} days or more before Golden Delicious; late: {LATE_HANGING:.0f} days or more after it. What the "
        "plan of a place would not weigh is not counted there: no use it has a need for, against its taste, or nobody "
        "knows who may propagate it. Which tastes best is not asked."
    )


def rests_on(found: RegionList) -> str:
    """How good the list is: what it serves, and how much shorter one could be."""
    if not found.lines:
        return "Nothing fits at any of the places."
    proven = (
        "no shorter list does"
        if len(found.lines) == found.bound
        else f"at least {found.bound} are needed (gap {found.gap:.0%})"
    )
    return (
        f"{counted(len(found.lines), 'cultivar')} serve {found.served:,} of the {counted(found.servable, 'place')} "
        f"where anything fits; {found.asked:.0%} were asked for, and {proven}."
    )


def orders(found: RegionFindings) -> Sheet:
    """Stocks and wood of each winter, for all places together."""
    columns = (
        Column("winter", "grafting winter", Plain.YEAR),
        Column("cultivar", "cultivar", leads=LinkKind.CULTIVAR),
        Column("rootstock", "rootstock"),
        Column("places", "places"),
        Column("trees", "trees wanted"),
        Column("grafts", "grafts, all places together"),
        Column("grafts_apart", "grafts, each place by its own order"),
        Column("chance", "chance its trees are all there", Plain.SHARE, 1),
    )
    notes = tuple(
        f"Winter {one.winter}: {counted(one.trees, 'tree')} for {counted(one.places, 'place')} from "
        f"{counted(one.grafts, 'graft')}; each place for itself would start {one.grafts_apart:,.0f}. All there: "
        f"{np.floor(1000 * one.chance) / 10:.1f} %."
        for one in found.winters
    )
    return sheet_of("many.orders", "Stocks and wood by winter, together", columns, found.orders, notes=notes)
