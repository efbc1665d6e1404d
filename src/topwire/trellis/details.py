"""A sized group of rows set down for building: posts, ends, forces, bill."""

from collections.abc import Sequence

import numpy as np

from topwire.trellis import wind
from topwire.trellis.anchors import apart
from topwire.trellis.asked import TrellisQuestion
from topwire.trellis.bill import Basket
from topwire.trellis.choices import SizedRows, put_rows, row_positions
from topwire.trellis.demand import RowDemand
from topwire.trellis.end_choice import EndChoice, guy_geometry
from topwire.trellis.findings import TensionLine
from topwire.trellis.holding import anchor_depth, ground_of
from topwire.trellis.kinds import CaseName
from topwire.trellis.nets import kind_of, netted_drag
from topwire.trellis.places import brace_room
from topwire.trellis.row_findings import CaseLine, EndDetail, RowTrellis
from topwire.trellis.row_frame import CaseResult
from topwire.trellis.rows import TrellisRow, own_demands
from topwire.trellis.search import Build
from topwire.trellis.soil import code_depth_free, code_force_free
from topwire.trellis.wire import GREATEST_PRETENSION, stringing_tension
from topwire.values.arrays import Floats
from topwire.values.bill import together

STRING_AT = 15.0  # [deg C] at which a wire has its pretension
TABLE_DAYS = (-5.0, 0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0)  # [deg C]
SHORT_WIND = 2.0  # on the code's bearing for short loads that a yard of movement does not harm (IBC-1806)


def designs(asked: TrellisQuestion, sized: SizedRows, gust: float, basket: Basket) -> list[RowTrellis]:
    """One design for all rows of the group with the same length, crop apart; their goods go into `basket`."""
    alike: dict[tuple[float, ...], list[TrellisRow]] = {}
    for row in sized.like.rows:
        key = (row.row.length, row.row.tree_spacing, row.row.first_tree)
        alike.setdefault((*(round(value, 1) for value in key), row.parts), []).append(row)
    return [_design(asked, sized, rows, gust, basket) for rows in alike.values()]


def _design(
    asked: TrellisQuestion, sized: SizedRows, rows: Sequence[TrellisRow], gust: float, basket: Basket
) -> RowTrellis:
    build, first, soil = sized.build, rows[0], asked.stock.soil
    row, demand = rows[0].row, sized.like.demand
    each = [
        wired.start + row_positions(one, build)
        for wired, one in zip(first.lengths, own_demands(demand, first), strict=True)
    ]
    positions = np.concatenate(each)
    trees = np.asarray(row.first_tree + np.arange(row.places) * row.tree_spacing, dtype=float)
    own = Basket(asked.stock)
    for target in (own, basket):
        put_rows(target, demand, build, rows, low_wire=asked.low_wire is not None)
    bill = own.bill()
    cases = [case for case in sized.cases if case.converged]
    force, moment = sized.like.demand.on_posts(
        gust, netted_drag(asked.net, wind.DRAG[1]), cropped=True, wet=True
    )
    arm = float(moment / force)
    span = float(max(np.diff(one).max() for one in each))
    still = next((case for case in cases if case.case.name is CaseName.STILL), None)
    bearing = SHORT_WIND * soil.code_kpa_per_m * 1e3
    return RowTrellis(
        rows=tuple(row.address for row in rows),
        length=row.length,
        outer=sized.like.outer,
        spans=sum(len(one) - 1 for one in each),
        post_spacing=span,
        post=build.post.name,
        post_diameter=build.post.diameter,
        post_length=build.post.length,
        post_depth=build.depth,
        end=end_detail(build.ends, demand),
        far_end=end_detail(build.far, demand) if build.far else None,
        wire=build.wire.name,
        wire_heights=tuple(float(z) for z in demand.heights),
        low_wire=asked.low_wire,
        pretension=build.pretension,
        crop_per_metre=max(row.crop for row in rows),
        loaded_tension=max((case.tension or 0.0 for case in cases), default=0.0),
        share_of_breaking=max((case.share_of_breaking or 0.0 for case in cases), default=0.0),
        sag=(still.sag or 0.0) if still else 0.0,
        gusts=sized.gusts,
        cases=tuple(_line(case) for case in sized.cases),
        positions=tuple(round(float(x), 3) for x in positions),
        trees=tuple(round(float(x), 3) for x in trees),
        lost=_lost(trees, first, build),
        code_force=float(code_force_free(build.depth, arm, width=build.post.diameter, bearing=bearing)),
        code_depth=code_depth_free(float(force) * span, arm, width=build.post.diameter, bearing=bearing),
        ultimate_force=float(ground_of(soil, wet=True).post(build.depth, arm, build.post.diameter)),
        design_force=float(force) * span,
        force_height=arm,
        bill=bill,
        cost=together(bill),
        labour_hours=own.hours,
        stands=sized.stands,
        creep=sized.creep,
        net=kind_of(asked.net),
    )


def _lost(trees: Floats, row: TrellisRow, build: Build) -> tuple[int, ...]:
    """Places, counted from 1, under a brace or between two lengths of wire."""
    near, far = (brace_room(end.kind, end.anchor_distance) for end in build.both)
    free = np.zeros(len(trees), dtype=bool)
    for part in row.lengths:
        low, high = part.start + near, part.start + part.length - far
        free |= (trees >= low - 1e-6) & (trees <= high + 1e-6)
    return tuple((np.flatnonzero(~free) + 1).tolist())


def end_detail(end: EndChoice, demand: RowDemand) -> EndDetail:
    slope, _ = guy_geometry(float(demand.heights[-1]), end.lean)
    return EndDetail(
        kind=end.kind,
        post=end.post.name,
        post_diameter=end.post.diameter,
        post_length=end.post.length,
        post_depth=end.depth,
        lean=end.lean,
        anchor=end.anchor.name if end.anchor else None,
        anchors=end.anchors,
        reach=end.anchor_distance,
        guy_slope=slope if end.anchor else None,
        member=end.member,
        anchor_holds=end.anchor_holds if end.anchor else None,
        anchor_depth=anchor_depth(end.anchor, slope) if end.anchor else None,
        strut=end.strut.name if end.strut else None,
        feet=end.feet,
        anchors_apart=apart(end.anchor.plate_m, end.anchor.length_m)
        if end.anchor and end.anchors > 1
        else None,
    )


def _line(case: CaseResult) -> CaseLine:
    return CaseLine(
        case.case.name, case.case.limit, case.converged, case.residual, case.tension, case.share_of_breaking, case.sag,
        case.sideways, case.post_moment, case.share_of_post, case.end_pull, case.gust,
    )  # fmt: skip


def tension_table(sized: Sequence[SizedRows]) -> tuple[TensionLine, ...]:
    """Tension to set on the day, for the wire most of the orchard is strung with; days too cold to string left out."""
    if not sized:
        return ()
    most = max(sized, key=lambda item: sum(row.row.length for row in item.like.rows))
    build = most.build
    tension = stringing_tension(
        np.array(TABLE_DAYS),
        pretension=build.pretension,
        at_temperature=STRING_AT,
        span=build.spacing,
        stiffness=build.wire.stiffness,
        own_weight=build.wire.weight,
    )
    return tuple(
        TensionLine(day, float(value))
        for day, value in zip(TABLE_DAYS, tension, strict=True)
        if value <= GREATEST_PRETENSION
    )
