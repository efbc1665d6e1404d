"""Tables of the Trellis department: posts, wires, the gusts that break them, tension, bill and build order."""

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from topwire.engine.orchard import Orchard
from topwire.show.bill_table import bill
from topwire.show.reader import Reader, percent
from topwire.show.table import UNKNOWN, Cell, Table, figure
from topwire.trellis.result import BudgetTrellis, CaseLine, EndDetail, FailureGust, RowTrellis, TrellisDesign
from topwire.values.units import Kind

# Too long for the book; they stand in the spreadsheet.
EVERY_CONDITION = "Gusts in every condition"
EVERY_CASE = "Every row in each load case"


def trellis_tables(orchard: Orchard) -> list[Table]:
    trellis = orchard.trellis
    if trellis is None:
        return []
    reader = Reader(orchard.origin.units)
    currency = orchard.ledger.currency if orchard.ledger else ""
    found = [
        posts(trellis, reader),
        wires(trellis, reader),
        gusts(trellis, reader),
        all_gusts(trellis, reader),
    ]
    if trellis.common_build:
        found.append(usual_build(trellis, reader))
    if trellis.choices:
        found.append(storms(trellis, reader, currency))
    if trellis.within_budget is not None:
        found.append(budget(trellis, trellis.within_budget, reader, currency))
    if any(row.end for row in trellis.rows):
        found.append(ends(trellis, reader))
    if any(row.cases for row in trellis.rows):
        found += [cases(trellis, reader), all_cases(trellis, reader)]
    if trellis.fences:
        found.append(fences(trellis, reader))
    return [
        *found,
        tension(trellis, reader),
        bill("Bill of the trellis", trellis.bill, currency, reader),
        build_order(trellis),
    ]


def rows_of(row: RowTrellis) -> str:
    return addresses(row.rows)


def addresses(rows: Sequence[str]) -> str:
    """“South 1 to 8, 10” for a list of row addresses."""
    by_block: dict[str, list[int]] = {}
    for address in rows:
        block, _, number = address.rpartition(" ")
        by_block.setdefault(block, []).append(int(number))
    return "; ".join(f"{block} {_ranges(sorted(numbers))}" for block, numbers in by_block.items())


def _ranges(numbers: list[int]) -> str:
    """“1 to 3, 7, 8”: three neighbours or more make a stretch."""
    stretches: list[list[int]] = []
    for number in numbers:
        if stretches and number == stretches[-1][-1] + 1:
            stretches[-1].append(number)
        else:
            stretches.append([number])
    parts = [
        f"{stretch[0]} to {stretch[-1]}" if len(stretch) > 2 else ", ".join(map(str, stretch))
        for stretch in stretches
    ]
    return ", ".join(parts)


def posts(trellis: TrellisDesign, reader: Reader) -> Table:
    return Table(
        "Posts and ends",
        ("rows", "length", "line post", "long", "in the ground", "spacing", "spans", "end", "end post", "anchor"),
        tuple(
            (
                rows_of(row), reader.tape(row.length), row.post, reader.tape(row.post_length),
                reader.tape(row.post_depth), reader.tape(row.post_spacing), row.spans,
                row.end_assembly, row.end_post, row.anchor,
            )
            for row in trellis.rows
        ),
        f"Design gust {reader.text(trellis.design_gust, Kind.SPEED)}: {trellis.gust_basis}.",
        widths=(1.1, 0.9, 1.3, 0.8, 0.8, 0.9, 0.5, 0.9, 1.2, 1.3),
    )  # fmt: skip


def wires(trellis: TrellisDesign, reader: Reader) -> Table:
    force = reader.unit(Kind.FORCE)
    return Table(
        "Wires",
        (
            "rows", "wire", "heights", "low wire", f"strung to, {force}", f"greatest tension, {force}",
            "share of breaking load, %", "sag", f"heaviest crop, {reader.per_length}",
        ),
        tuple(
            (
                rows_of(row), row.wire, ", ".join(reader.tape(height) for height in row.wire_heights),
                reader.tape(row.low_wire) if row.low_wire else UNKNOWN, reader.figure(row.pretension, Kind.FORCE),
                reader.figure(row.loaded_tension, Kind.FORCE), percent(row.share_of_breaking),
                reader.tape(row.sag), figure(reader.mass_per_length(row.crop_per_metre), 1),
            )
            for row in trellis.rows
        ),
        "The greatest of all load cases: crop, wind, ice, wet snow, cold.",
        widths=(1, 1.2, 1.6, 0.8, 0.7, 0.8, 0.8, 0.8, 0.8),
    )  # fmt: skip


def gusts(trellis: TrellisDesign, reader: Reader) -> Table:
    """Each part in the row and condition that lets it go first, outer and inner rows apart."""
    weakest: dict[tuple[bool, str], tuple[RowTrellis, FailureGust]] = {}
    for row in trellis.rows:
        for gust in row.gusts:
            key = (row.outer, gust.part)
            if key not in weakest or gust.middle < weakest[key][1].middle:
                weakest[key] = (row, gust)
    ordered = sorted(weakest.values(), key=lambda pair: pair[1].middle)
    return Table(
        "At which gust what gives first",
        _gust_captions(reader),
        tuple(_gust(row, gust, reader) for row, gust in ordered),
        f"Set these beside the design gust of {reader.text(trellis.design_gust, Kind.SPEED)} ({trellis.gust_basis}). "
        "Each part in the row and condition that is worst for it, outer and inner rows apart.",
        (trellis.next_better,) if trellis.next_better else (),
        (1.2, 1.4, 2, 0.9, 0.7, 0.7),
    )


def all_gusts(trellis: TrellisDesign, reader: Reader) -> Table:
    """Each part in every condition: wet and dry soil, outer and inner row, before and after harvest."""
    return Table(
        EVERY_CONDITION,
        _gust_captions(reader),
        tuple(
            _gust(row, gust, reader)
            for row in _built_alike(trellis)
            for gust in sorted(row.gusts, key=lambda gust: gust.middle)
        ),
        f"Design gust {reader.text(trellis.design_gust, Kind.SPEED)} ({trellis.gust_basis}).",
        widths=(1.2, 1.4, 2, 0.9, 0.7, 0.7),
    )


def _built_alike(trellis: TrellisDesign) -> list[RowTrellis]:
    """Rows that were sized together and differ in length alone, as one."""
    return _merged(trellis, lambda row: (row.gusts, row.cases))


def _merged(trellis: TrellisDesign, alike: Callable[[RowTrellis], object]) -> list[RowTrellis]:
    """Rows that are the same in what a table tells of them, as one."""
    found: dict[object, RowTrellis] = {}
    for row in trellis.rows:
        key = alike(row)
        found[key] = replace(found[key], rows=found[key].rows + row.rows) if key in found else row
    return list(found.values())


def _gust_captions(reader: Reader) -> tuple[str, ...]:
    speed = reader.unit(Kind.SPEED)
    return ("rows", "part", "when", f"gust at high drag, {speed}", "middle", "low drag")


def _gust(row: RowTrellis, gust: FailureGust, reader: Reader) -> tuple[Cell, ...]:
    speeds = (reader.figure(value, Kind.SPEED) for value in (gust.low, gust.middle, gust.high))
    return (rows_of(row), gust.part, gust.condition, *speeds)


def usual_build(trellis: TrellisDesign, reader: Reader) -> Table:
    gusts_ = sorted(trellis.common_build, key=lambda gust: gust.middle)
    speed = reader.unit(Kind.SPEED)
    return Table(
        "What the usual build would stand here",
        ("part", "when", f"gust at high drag, {speed}", "middle", "low drag"),
        tuple(
            (
                gust.part,
                gust.condition,
                *(reader.figure(value, Kind.SPEED) for value in (gust.low, gust.middle, gust.high)),
            )
            for gust in gusts_
        ),
        f"Posts of {reader.text(0.1016, Kind.LENGTH, 2)} {reader.text(9.144, Kind.LENGTH)} apart, "
        f"{reader.text(0.9144, Kind.LENGTH, 1)} deep, set beside the build above.",
        widths=(1.6, 2, 0.9, 0.7, 0.7),
    )


def storms(trellis: TrellisDesign, reader: Reader, currency: str) -> Table:
    return Table(
        "Built for another storm",
        (
            "storm once in, years", f"gust, {reader.unit(Kind.SPEED)}", f"cost with labour, {currency}".rstrip(", "),
            "chance it comes within the plan, %", "this plan",
        ),
        tuple(
            (
                line.return_period,
                reader.figure(line.gust, Kind.SPEED),
                figure(line.cost) if line.cost is not None else "nothing in the catalogue stands",
                percent(line.chance_in_life),
                "yes" if line.chosen else "",
            )
            for line in trellis.choices
        ),
        "The same orchard, every row sized anew.",
    )  # fmt: skip


def budget(trellis: TrellisDesign, bought: BudgetTrellis, reader: Reader, currency: str) -> Table:
    """The budget's own trellis; the bill and the drawings are those of the design."""
    if bought.gust is None or bought.cost is None:
        least = (
            "cannot be built" if bought.least is None else f"costs {figure(bought.least)} {currency}".rstrip()
        )
        says = f"Nothing: the least trellis offered, for the gust of ten years, {least}."
    else:
        says = (
            f"It stands in {reader.text(bought.gust, Kind.SPEED)} where the design stands in "
            f"{reader.text(trellis.design_gust, Kind.SPEED)}; materials {figure(bought.cost)} of "
            f"{figure(bought.budget)} {currency} allowed. {bought.first_part} first, at "
            f"{reader.text(bought.first_gust or 0.0, Kind.SPEED)}. The bill and the drawings are the design's."
        )
    return Table(
        "What the budget buys",
        ("rows", "line post", "in the ground", "spacing", "wire", "ends"),
        tuple(
            (
                addresses(row.rows),
                row.post,
                reader.tape(row.depth),
                reader.tape(row.spacing),
                row.wire,
                row.ends,
            )
            for row in bought.rows
        )
        or (("none", *[UNKNOWN] * 5),),
        says,
        widths=(1.1, 1.3, 0.8, 0.8, 1.2, 2),
    )


def ends(trellis: TrellisDesign, reader: Reader) -> Table:
    return Table(
        "The ends, to build from",
        (
            "rows", "which end", "kind", "post", "in the ground", "leans, degrees", "anchor, rail or strut",
            "foot to anchor, brace post or strut foot",
            f"pull in guy or brace, {reader.unit(Kind.FORCE)}", f"anchors hold, {reader.unit(Kind.FORCE)}",
        ),
        tuple(
            (
                rows_of(row),
                which,
                end.assembly,
                end.post,
                reader.tape(end.post_depth),
                figure(end.lean),
                _held_by(end),
                reader.tape(end.reach),
                reader.figure(end.member, Kind.FORCE),
                reader.figure(end.anchor_holds, Kind.FORCE),
            )
            for row in _merged(trellis, lambda row: (row.end, row.far_end))
            for which, end in _ends_of(row)
        ),
        "Pull (push in a strut) in the design case; what the anchors hold is an estimate for soaked ground. Rail or "
        "strut meets the end post at three quarters of the top wire's height; a strut's pads are 0.3 m wide and dug in "
        "on edge, 0.6 m deep, side by side across the row. A strut stands in the row: plant beside it.",
        widths=(1, 0.7, 0.8, 1.2, 0.9, 0.7, 1.5, 0.9, 0.9, 0.9),
    )  # fmt: skip


def _held_by(end: EndDetail) -> str:
    if end.anchor:
        return f"{end.anchors} of {end.anchor}"
    if end.feet:
        return f"strut of {end.strut}, {end.feet} {'pads' if end.feet > 1 else 'pad'}"
    return f"rail of {end.strut}" if end.strut else UNKNOWN


def _ends_of(row: RowTrellis) -> list[tuple[str, EndDetail]]:
    if row.end is None:
        return []
    if row.far_end is None:
        return [("both", row.end)]
    return [("where counting starts", row.end), ("far", row.far_end)]


def cases(trellis: TrellisDesign, reader: Reader) -> Table:
    """Each load case in the row it strains most; a row that found no balance comes first."""
    strained: dict[str, tuple[RowTrellis, CaseLine]] = {}
    for row in trellis.rows:
        for case in row.cases:
            if case.case not in strained or _strain(case) > _strain(strained[case.case][1]):
                strained[case.case] = (row, case)
    return Table(
        "The whole row in each load case",
        _case_captions(reader),
        tuple(_case(row, case, reader) for row, case in strained.values()),
        "Posts, wires and soil solved together, shape changes counted; each case in the row it strains most.",
        widths=_CASE_WIDTHS,
    )


def all_cases(trellis: TrellisDesign, reader: Reader) -> Table:
    return Table(
        EVERY_CASE,
        _case_captions(reader),
        tuple(_case(row, case, reader) for row in _built_alike(trellis) for case in row.cases),
        "Posts, wires and soil solved together, shape changes counted.",
        widths=_CASE_WIDTHS,
    )


_CASE_WIDTHS = (1.1, 2, 0.8, 0.8, 1, 1, 0.9, 0.9)


def _strain(case: CaseLine) -> float:
    shares = (case.share_of_breaking, case.share_of_post)
    return max((share for share in shares if share is not None), default=math.inf)


def _case_captions(reader: Reader) -> tuple[str, ...]:
    force = reader.unit(Kind.FORCE)
    return (
        "rows", "case", f"greatest tension, {force}", "of breaking load, %", "sag", "sideways",
        "of what a line post bears, %", f"all wires at one end, {force}",
    )  # fmt: skip


def _case(row: RowTrellis, case: CaseLine, reader: Reader) -> tuple[Cell, ...]:
    moves = (reader.tape(value) if value is not None else UNKNOWN for value in (case.sag, case.sideways))
    return (
        rows_of(row),
        case.case if case.converged else f"{case.case}: no balance found",
        reader.figure(case.tension, Kind.FORCE),
        percent(case.share_of_breaking),
        *moves,
        percent(case.share_of_post),
        reader.figure(case.end_pull, Kind.FORCE),
    )


def fences(trellis: TrellisDesign, reader: Reader) -> Table:
    force = reader.unit(Kind.FORCE)
    return Table(
        "Along a fence or wall that stands",
        (
            "row", "wires at", "fixings", "every", f"pull on a fixing, {force}",
            f"pull along the fence at its end, {force}",
            "post that carries it",
        ),
        tuple(
            (
                line.row,
                ", ".join(reader.tape(height) for height in line.wire_heights),
                line.fixings,
                reader.tape(line.fixing_spacing),
                reader.figure(line.pull_on_fixing, Kind.FORCE),
                reader.figure(line.pull_at_end, Kind.FORCE),
                line.post_needed,
            )
            for line in trellis.fences
        ),
        "Design gust from behind.",
        widths=(0.8, 1.4, 0.6, 0.8, 0.8, 0.9, 1.8),
    )  # fmt: skip


def tension(trellis: TrellisDesign, reader: Reader) -> Table:
    return Table(
        "Tension to set on the day",
        (f"air, {reader.unit(Kind.TEMPERATURE)}", f"tension, {reader.unit(Kind.FORCE)}"),
        tuple(
            (reader.figure(celsius, Kind.TEMPERATURE), reader.figure(newton, Kind.FORCE))
            for celsius, newton in trellis.tension_table
        ),
        "A cold wire is tighter: set what the day's temperature asks for, read it with a gauge.",
    )


def build_order(trellis: TrellisDesign) -> Table:
    return Table(
        "Build in this order",
        ("step", "what"),
        tuple(enumerate(trellis.build_order, start=1)),
        f"About {trellis.labour_hours:,.0f} hours of work.",
        widths=(0.3, 4),
    )
