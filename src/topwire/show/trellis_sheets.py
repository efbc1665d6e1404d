"""Sheets of the Trellis department: posts, wires, the gusts that break them, tension, bill and build order."""

import math
from collections.abc import Callable
from dataclasses import replace

from topwire.show import trellis_build_sheets as build
from topwire.show import trellis_cost_sheets as cost
from topwire.show.bill_sheet import bill_sheet
from topwire.show.sheet import Column, Sheet, StandsIn, Value, setting, sheet_of, source, table
from topwire.show.trellis_risk_sheets import POSTS, known, risks, steps, storm_seasons, yardsticks
from topwire.tell.reader import Reader, counted
from topwire.tell.row_names import addresses
from topwire.tell.trellis import (
    CASES,
    END_KINDS,
    SIDES,
    condition_words,
    end_words,
    gust_basis,
    next_better,
    part_words,
)
from topwire.tell.trellis_work import STEPS
from topwire.tell.words import in_system
from topwire.trellis.cost_findings import BudgetRow, ChoiceLine
from topwire.trellis.findings import TrellisFindings
from topwire.trellis.kinds import Side
from topwire.trellis.known_builds import KNOWN, KnownBuild
from topwire.trellis.row_findings import CaseLine, EndDetail, FailureGust, RowTrellis
from topwire.values.quantities import Plain
from topwire.values.units import Kind

USUAL = KNOWN[KnownBuild.USUAL]
_WIRES = setting("trellis.wires") + table("wires")
_WIND = setting("place.gust", "trellis.return_period")
_BROMS, _CODE = source("BROMS64"), source("IBC-1807")
_ENDS = setting("trellis.end_assembly")


def sheets(found: TrellisFindings, reader: Reader) -> list[Sheet]:
    made = []
    if found.fences:
        made.append(build.fences(found, reader))
    if found.rows:
        made += [posts(found, reader), build.stake_out(found, reader), build.every_post(found, reader)]
    if any(row.lost for row in found.rows):
        made.append(build.places_lost(found, reader))
    if found.rows:
        made += [wires(found, reader), gusts(found, reader), all_gusts(found, reader)]
    if found.risks:
        made += [risks(found, reader), storm_seasons(found, reader), known(found, reader)]
    if found.yardsticks:
        made.append(yardsticks(found, reader))
    if found.steps:
        made.append(steps(found, reader))
    if found.common_build:
        made.append(usual_build(found, reader))
    if found.choices:
        made.append(storms(found))
    if found.within_budget is not None:
        made.append(budget(found, reader))
    if found.rows:
        made += [ends(found, reader), build.end_parts(found, reader), build.cut_list(found, reader)]
        made += [cases(found, reader), all_cases(found, reader), two_answers(found), tension(found)]
    if found.parts:
        made.append(cost.parts(found, reader))
    if found.published:
        made.append(cost.published(found, reader))
    return [
        *made,
        bill_sheet("trellis.bill", "Bill of the trellis", found.bill, found.currency, reader),
        build_order(found, reader),
    ]


def posts(found: TrellisFindings, reader: Reader) -> Sheet:
    return sheet_of(
        "trellis.posts",
        "Posts and ends",
        (
            Column("rows", "rows", width=1.1, of=rows_of),
            Column("length", "length", width=0.9, tape=True),
            Column("post", "line post", width=1.3, links=POSTS),
            Column("post_length", "long", width=0.8, tape=True),
            Column("post_depth", "in the ground", width=0.8, links=setting("place.soil.texture"), tape=True),
            Column("code_depth", "the code’s soil asks for", width=0.8, links=_CODE, tape=True),
            Column("post_spacing", "spacing", width=0.9, links=setting("trellis.post_spacing"), tape=True),
            Column("spans", "spans", width=0.5),
            Column(
                "end",
                "end",
                width=0.9,
                links=_ENDS,
                of=lambda row: _both(row, lambda end: END_KINDS[end.kind]),
            ),
            Column(
                "end_post",
                "end post",
                width=1.2,
                links=POSTS,
                of=lambda row: _both(row, lambda end: end.post),
            ),
            Column(
                "anchor", "anchor", width=1.3, links=table("anchors"), of=lambda row: _both(row, _anchors)
            ),
        ),
        found.rows,
        f"Design gust {reader.text(found.design_gust, Kind.SPEED)}: {gust_basis(found, reader)}. "
        "“The code’s soil asks for” is the building code’s own depth for any soil and any building, in that gust with "
        "its own drag: a licensed engineer and the local code decide where guests walk.",
    )


def rows_of(row: RowTrellis | BudgetRow) -> str:
    return addresses(row.rows)


def _both(row: RowTrellis, says: Callable[[EndDetail], str]) -> str:
    """What both ends have, or the one where counting starts and the far one."""
    near, far = (says(end) for end in row.ends)
    return near if near == far else f"{near}; far end {far}"


def _anchors(end: EndDetail) -> str:
    return f"{end.anchors} x {end.anchor}" if end.anchor else "none: braced"


def wires(found: TrellisFindings, reader: Reader) -> Sheet:
    return sheet_of(
        "trellis.wires",
        "Wires",
        (
            Column("rows", "rows", width=1, of=rows_of),
            Column("wire", "wire", width=1.2, links=_WIRES),
            Column("wire_heights", "heights", width=1.6, links=setting("trellis.wire_heights"), tape=True),
            Column("low_wire", "low wire", width=0.8, links=setting("trellis.low_wire"), tape=True),
            Column("pretension", "strung to", Kind.FORCE, width=0.7),
            Column("tension", "greatest tension", Kind.FORCE, width=0.8, of="loaded_tension"),
            Column("share", "share of breaking load", Plain.SHARE, width=0.8, of="share_of_breaking"),
            Column("sag", "sag", width=0.8, tape=True),
            Column("crop", "crop built for", Kind.LOAD_ON_LENGTH, width=0.8, of="crop_per_metre"),
        ),
        found.rows,
        "The greatest of all load cases: crop, wind, ice, wet snow, cold.",
    )


def weakest(found: TrellisFindings) -> list[tuple[RowTrellis, FailureGust]]:
    """Each part in the row and condition that lets it go first, outer and inner rows apart; the first to go first."""
    first: dict[tuple[object, ...], tuple[RowTrellis, FailureGust]] = {}
    for row in found.rows:
        for gust in row.gusts:
            key = (row.outer, gust.part, gust.side)
            if key not in first or gust.middle < first[key][1].middle:
                first[key] = (row, gust)
    return sorted(first.values(), key=lambda pair: pair[1].middle)


def gusts(found: TrellisFindings, reader: Reader) -> Sheet:
    """What goes first, part by part."""
    better = next_better(found, reader)
    return Sheet(
        "trellis.gusts",
        "At which gust what gives first",
        (Column("rows", "rows", width=1.2), *_gust_columns()),
        tuple((rows_of(row), *_gust(gust)) for row, gust in weakest(found)),
        f"Set these beside the design gust of {reader.text(found.design_gust, Kind.SPEED)} "
        f"({gust_basis(found, reader)}). Each part in the row and condition that is worst for it, outer and inner rows "
        "apart.",
        (better,) if better else (),
        ("gives",),
    )


def all_gusts(found: TrellisFindings, reader: Reader) -> Sheet:
    """Each part in every condition: wet and dry soil, outer and inner row, before and after harvest."""
    return Sheet(
        "trellis.gusts_in_every_condition",
        "Gusts in every condition",
        (Column("rows", "rows", width=1.2), *_gust_columns()),
        tuple(
            (rows_of(row), *_gust(gust))
            for row in _merged(found, lambda row: (row.gusts, row.cases))
            for gust in sorted(row.gusts, key=lambda gust: gust.middle)
        ),
        f"Design gust {reader.text(found.design_gust, Kind.SPEED)} ({gust_basis(found, reader)}).",
        stands_in=StandsIn.SPREADSHEET,
    )


def _merged(found: TrellisFindings, alike: Callable[[RowTrellis], object]) -> list[RowTrellis]:
    """Rows that are the same in what a sheet tells of them, as one."""
    made: dict[object, RowTrellis] = {}
    for row in found.rows:
        key = alike(row)
        made[key] = replace(made[key], rows=made[key].rows + row.rows) if key in made else row
    return list(made.values())


def _gust_columns() -> tuple[Column, ...]:
    return (
        Column("part", "part", width=1.4),
        Column("when", "when", width=2),
        Column("high_drag", "gust at high drag", Kind.SPEED, width=0.9, links=_WIND),
        Column("middle", "middle", Kind.SPEED, width=0.7, links=_WIND),
        Column("low_drag", "low drag", Kind.SPEED, width=0.7, links=_WIND),
    )


def _gust(gust: FailureGust) -> tuple[Value, ...]:
    return (part_words(gust), condition_words(gust), gust.low, gust.middle, gust.high)


def usual_build(found: TrellisFindings, reader: Reader) -> Sheet:
    return Sheet(
        "trellis.usual_build",
        "What the usual build would stand here",
        _gust_columns(),
        tuple(_gust(gust) for gust in sorted(found.common_build, key=lambda gust: gust.middle)),
        f"Posts of {reader.tape(USUAL.diameter)}, {reader.tape(USUAL.spacing)} apart, {reader.tape(USUAL.depth)} "
        "deep, set beside the build above.",
    )


def _cost(line: ChoiceLine) -> Value:
    return "nothing in the catalogue stands" if line.cost is None else line.cost


def storms(found: TrellisFindings) -> Sheet:
    return sheet_of(
        "trellis.storms",
        "Built for another storm",
        (
            Column("return_period", "storm once in, years", width=1, links=_WIND[1:]),
            Column("gust", "gust", Kind.SPEED, width=0.8, links=_WIND),
            Column("cost", "cost with labour", Plain.MONEY, width=1.2, unit=found.currency, of=_cost),
            Column("chance", "chance it comes within the plan", Plain.SHARE, width=1.2, of="chance_in_life"),
            Column("chosen", "this plan", width=0.6),
        ),
        found.choices,
        "The same orchard, every kind of row sized anew to stand that storm at full crop on soaked ground, as with "
        "trellis.choose_by: storm, but span by span; solved as whole rows it comes out some percent dearer.",
    )


def budget(found: TrellisFindings, reader: Reader) -> Sheet:
    """The budget's own trellis; the bill and the drawings are those of the design."""
    bought = found.within_budget
    assert bought is not None
    money = found.currency
    if bought.gust is None or bought.cost is None or bought.first is None:
        least = "cannot be built" if bought.least is None else f"costs {bought.least:,.0f} {money}"
        says = f"Nothing: the least trellis offered, for the gust of ten years, {least}."
    else:
        says = (
            f"It stands in {reader.text(bought.gust, Kind.SPEED)} where the design stands in "
            f"{reader.text(found.design_gust, Kind.SPEED)}; materials {bought.cost:,.0f} of {bought.budget:,.0f} "
            f"{money} allowed. First {part_words(bought.first)}, at {reader.text(bought.first.middle, Kind.SPEED)}. "
            "The bill and the drawings are the design’s."
        )
    return Sheet(
        "trellis.budget",
        "What the budget buys",
        (
            Column("rows", "rows", width=1.1),
            Column("post", "line post", width=1.3),
            Column("depth", "in the ground", width=0.8),
            Column("spacing", "spacing", width=0.8),
            Column("wire", "wire", width=1.2),
            Column("ends", "ends", width=2),
        ),
        tuple(
            (rows_of(row), row.post, reader.tape(row.depth), reader.tape(row.spacing), row.wire, _ends(row))
            for row in bought.rows
        )
        or (("none", None, None, None, None, None),),
        says,
    )


def _ends(row: BudgetRow) -> str:
    near = end_words(row.end)
    return near if row.far_end is None else f"{near}; far end {end_words(row.far_end)}"


def ends(found: TrellisFindings, reader: Reader) -> Sheet:
    return Sheet(
        "trellis.ends",
        "The ends, to build from",
        (
            Column("rows", "rows", width=1),
            Column("which", "which end", width=0.7),
            Column("kind", "kind", width=0.8),
            Column("post", "post", width=1.2),
            Column("depth", "of it in the ground", width=0.9),
            Column("lean", "leans", Plain.ANGLE, width=0.7),
            Column("held_by", "anchor, rail or strut", width=1.5),
            Column("reach", "foot to anchor, brace post or strut foot", width=0.9),
            Column("member", "pull in guy or brace", Kind.FORCE, width=0.9),
            Column("anchors_hold", "anchors hold", Kind.FORCE, width=0.9),
        ),
        tuple(
            (
                rows_of(row),
                which,
                END_KINDS[end.kind],
                end.post,
                reader.tape(end.post_depth),
                end.lean,
                _held_by(end),
                reader.tape(end.reach),
                end.member,
                end.anchor_holds,
            )
            for row in _merged(found, lambda row: row.ends)
            for which, end in _ends_of(row)
        ),
        "Pull (push in a strut) in the design case; what the anchors hold is an estimate for soaked ground. Rail or "
        "strut meets the end post at three quarters of the top wire’s height; "
        + in_system(
            "a strut’s pads are [0.3 m wide and dug in on edge, 0.6 m|1 ft wide and dug in on edge, 2 ft] deep, ",
            reader,
        )
        + "side by side across the row. No tree and no line post stands in the room of a brace.",
    )


def _held_by(end: EndDetail) -> str | None:
    if end.anchor:
        return f"{end.anchors} of {end.anchor}"
    if end.feet:
        return f"strut of {end.strut}, {end.feet} {'pads' if end.feet > 1 else 'pad'}"
    return f"rail of {end.strut}" if end.strut else None


def _ends_of(row: RowTrellis) -> list[tuple[str, EndDetail]]:
    if row.far_end is None:
        return [("both", row.end)]
    return [(SIDES[Side.NEAR], row.end), (SIDES[Side.FAR], row.far_end)]


def cases(found: TrellisFindings, reader: Reader) -> Sheet:
    """Each load case in the row it strains most; a row that found no balance comes first."""
    strained: dict[object, tuple[RowTrellis, CaseLine]] = {}
    for row in found.rows:
        for case in row.cases:
            if case.case not in strained or _strain(case) > _strain(strained[case.case][1]):
                strained[case.case] = (row, case)
    return Sheet(
        "trellis.cases",
        "The whole row in each load case",
        _case_columns(),
        tuple(_case(row, case, reader) for row, case in strained.values()),
        "Posts, wires and soil solved together, shape changes counted; each case in the row it strains most.",
    )


def all_cases(found: TrellisFindings, reader: Reader) -> Sheet:
    return Sheet(
        "trellis.every_row_in_each_case",
        "Every row in each load case",
        _case_columns(),
        tuple(
            _case(row, case, reader)
            for row in _merged(found, lambda row: (row.gusts, row.cases))
            for case in row.cases
        ),
        "Posts, wires and soil solved together, shape changes counted.",
        stands_in=StandsIn.SPREADSHEET,
    )


def _strain(case: CaseLine) -> float:
    shares = (case.share_of_breaking, case.share_of_post)
    return max((share for share in shares if share is not None), default=math.inf)


def _case_columns() -> tuple[Column, ...]:
    return (
        Column("rows", "rows", width=1.1),
        Column("case", "case", width=2),
        Column("gust", "in a gust of", Kind.SPEED, width=0.7, links=_WIND),
        Column("tension", "greatest tension", Kind.FORCE, width=0.8),
        Column("share_of_breaking", "of breaking load", Plain.SHARE, width=0.8),
        Column("limit", "allowed", Plain.SHARE, width=0.7),
        Column("sag", "sag", width=0.9),
        Column("sideways", "sideways", width=0.9),
        Column("share_of_post", "of what a line post bears", Plain.SHARE, width=0.9),
        Column("end_pull", "all wires at one end", Kind.FORCE, width=0.9),
    )


def _case(row: RowTrellis, case: CaseLine, reader: Reader) -> tuple[Value, ...]:
    words = in_system(CASES[case.case], reader)
    moves = (None if value is None else reader.tape(value) for value in (case.sag, case.sideways))
    return (
        rows_of(row),
        words if case.converged else f"{words}: no balance found",
        case.gust,
        case.tension,
        case.share_of_breaking,
        case.limit,
        *moves,
        case.share_of_post,
        case.end_pull,
    )


def two_answers(found: TrellisFindings) -> Sheet:
    """The code's answer beside the estimate, for one line post."""
    return sheet_of(
        "trellis.two_answers",
        "What one line post bears sideways: two answers",
        (
            Column("rows", "rows", width=1.2, of=rows_of),
            Column("post", "line post", width=1.3),
            Column("height", "load acts at", Kind.LENGTH, width=0.8, of="force_height"),
            Column("design_force", "load in the design storm", Kind.FORCE, width=1),
            Column(
                "ultimate_force", "estimated ultimate, soaked ground", Kind.FORCE, width=1.1, links=_BROMS
            ),
            Column("code_force", "the code’s presumptive soil allows", Kind.FORCE, width=1.1, links=_CODE),
        ),
        _merged(found, lambda row: (row.post, row.post_depth, row.design_force, row.code_force)),
        "The code’s figure is allowable, for any soil and building, doubled for short loads; the other is an estimate "
        "of what pushes the post over. Where people gather the code and its engineer decide.",
    )


def tension(found: TrellisFindings) -> Sheet:
    return sheet_of(
        "trellis.tension",
        "Tension to set on the day",
        (Column("air", "air", Kind.TEMPERATURE), Column("tension", "tension", Kind.FORCE)),
        found.tension_table,
        "A cold wire is tighter: set what the day asks for, read it with a gauge. On colder days do not string.",
    )


def build_order(found: TrellisFindings, reader: Reader) -> Sheet:
    return Sheet(
        "trellis.build_order",
        "Build in this order",
        (Column("step", "step", width=0.3), Column("what", "what", width=4)),
        tuple(
            (number, in_system(STEPS[step], reader)) for number, step in enumerate(found.build_order, start=1)
        ),
        f"About {counted(found.labour_hours, 'hour')} of work.",
    )
