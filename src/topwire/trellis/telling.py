"""What the sizing found that a person has to decide, doubt or look after."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from topwire.trellis.anchors import ANCHOR_FACTOR
from topwire.trellis.asked import Stamped, TrellisQuestion
from topwire.trellis.choices import SizedRows
from topwire.trellis.cost_telling import budget_notices, prices_notices, published_notices
from topwire.trellis.fence_telling import fence_notice
from topwire.trellis.heave import frost_notices
from topwire.trellis.kinds import EndKind, WindForm
from topwire.trellis.risk_telling import risk_notices
from topwire.trellis.row_findings import first_to_give
from topwire.trellis.rows import LONGEST_ROW, TrellisRow
from topwire.trellis.search import wire_tensions
from topwire.trellis.sized import SizedTrellis
from topwire.trellis.wire import SERVICE_SHARE
from topwire.values.notice import Measured, Notice, assumption, caution, remark, warning
from topwire.values.quantities import Plain
from topwire.values.units import Kind

SLACK = 1e-6  # [m] an anchor on the edge itself counts as inside
PUBLISHED_FULL_CROP = 7.061  # [kg/m2] 63,000 lb/acre, what a trellis must at least hold (CORNELL-TREL)
STEEP = 0.1  # [rise over run] from which the ground itself is a caution
HIGH_WIRE = 3.3  # [m] from which a top wire belongs to an engineer
TURNING = 3.0  # [m] beyond the anchors that a small tractor turns in; common practice, no source


def trellis_notices(asked: TrellisQuestion, found: SizedTrellis) -> Iterator[Notice]:
    """All notices of the department."""
    yield from _left_out(asked)
    yield _wind(asked)
    if asked.stamped is not None:
        yield from _stamped(asked.stamped, found)
    for item in found.rows:
        yield from _row(item, found.gust, stamped=asked.stamped is not None)
    yield from _long_rows(found.rows)
    yield from _short_rows(found.staked)
    for fence in found.fences:
        yield fence_notice(fence)
    yield from _room(asked, found)
    yield from frost_notices(asked, [item.build for item in found.rows])
    yield from prices_notices(asked)
    yield from budget_notices(asked, found)
    yield from published_notices(found)
    yield from _crop(found.rows)
    yield from risk_notices(asked, found)
    yield from _creeping(found.rows)
    yield from _standing_cautions(asked, found.rows)
    yield from _rests_on(asked)


def _left_out(asked: TrellisQuestion) -> Iterator[Notice]:
    for out in asked.left_out:
        yield warning(
            "trellis.row_left_out",
            setting=f"catalogue/{out.table}.csv",
            concerns=[out.name],
            table=out.table,
            lack=out.lack.value,
        )


def _wind(asked: TrellisQuestion) -> Notice:
    if asked.storm.form is WindForm.MEAN:
        return assumption("trellis.wind_by_mean", setting="place.mean_wind", source="EN1991-1-4")
    if asked.storm.form is WindForm.GUST:
        return assumption("trellis.wind_by_gust", setting="place.gust", source="ASCE7-16")
    gust = Measured(asked.storm.gust_50, Kind.SPEED)
    return warning("trellis.no_gust_stated", setting="place.gust", source="ASCE7-16", gust=gust)


def _stamped(design: Stamped, found: SizedTrellis) -> Iterator[Notice]:
    """Whose design it is, and what our own sums say of it beside."""
    for item, risk in zip(found.rows, found.risks, strict=True):
        first = first_to_give(item.gusts)
        yield (remark if first.middle >= found.gust else warning)(
            "trellis.stamped",
            setting="trellis.stamped",
            concerns=item.like.addresses,
            by=design.by,
            post=item.build.post.name,
            depth=Measured(item.build.depth, Kind.LENGTH, 2),
            spacing=Measured(item.build.spacing, Kind.LENGTH, 2),
            chance=risk.in_life,
            part=first.part.value,
            at=Measured(first.middle, Kind.SPEED),
            gust=Measured(found.gust, Kind.SPEED),
            holds=first.middle >= found.gust,
        )


def _row(item: SizedRows, gust: float, *, stamped: bool) -> Iterator[Notice]:
    rows = item.like.addresses
    if not item.stands and not stamped:
        yield _falls_short(item, gust)
    if not item.cases:
        yield warning("trellis.post_buckles", concerns=rows)
    for case in item.cases:
        name = case.case.name.value
        if not case.converged:
            residual = Measured(case.residual, Kind.FORCE)
            yield warning("trellis.no_balance", concerns=rows, case=name, residual=residual)
        elif case.share_of_post is not None and case.share_of_post > 1:
            yield warning("trellis.post_overloaded", concerns=rows, case=name, share=case.share_of_post)
        elif case.share_of_breaking is not None and case.share_of_breaking > case.case.limit:
            wind: dict[str, Any] = {} if case.gust is None else {"gust": Measured(case.gust, Kind.SPEED)}
            share = case.share_of_breaking
            yield warning("trellis.wire_overloaded", concerns=rows, case=name, share=share, **wind)


def _falls_short(item: SizedRows, gust: float) -> Notice:
    """That a build gives before the gust asked for; or that it stands it, and which part of it has too little over."""
    rows, first, short = item.like.addresses, first_to_give(item.gusts), item.short
    if first.middle < gust or short is None:
        return warning("trellis.nothing_stands", concerns=rows, gust=Measured(gust, Kind.SPEED))
    return warning(
        "trellis.little_reserve",
        concerns=rows,
        short=short.part.value,
        reserve=short.reserve,
        wanted=short.wanted,
        first=first.part.value,
        at=Measured(first.middle, Kind.SPEED),
        gust=Measured(gust, Kind.SPEED),
    )


def _long_rows(sized: Sequence[SizedRows]) -> Iterator[Notice]:
    long = [row for item in sized for row in item.like.rows if row.parts > 1]
    if long:
        row = max(long, key=lambda item: item.row.length)
        yield warning(
            "trellis.long_row",
            concerns=[one.address for one in long],
            source="OMAFRA",
            length=Measured(row.row.length, Kind.LENGTH),
            gap=Measured(row.lengths[1].start - row.lengths[0].length, Kind.LENGTH, 1),
            longest=Measured(LONGEST_ROW, Kind.LENGTH),
            parts=row.parts,
        )


def _short_rows(staked: Sequence[TrellisRow]) -> Iterator[Notice]:
    for row in staked:
        yield warning("trellis.short_row", concerns=[row.address], places=row.row.places)


def _room(asked: TrellisQuestion, found: SizedTrellis) -> Iterator[Notice]:
    """Ground that anchors take behind the rows, and places that braces take in them."""
    for item in found.rows:
        tied = [
            side
            for side, (end, wish) in enumerate(zip(item.build.both, (asked.near, asked.far), strict=True))
            if end.kind is EndKind.TIE_BACK and wish.room is None
        ]
        if not tied:
            continue
        reach = max(item.build.both[side].anchor_distance for side in tied)
        behind = {row.address: min(row.row.behind[side] for side in tied) for row in item.like.rows}
        for least, most in ((-np.inf, 0.0), (0.0, TURNING), (TURNING, np.inf)):
            rows = [row for row, room in behind.items() if least <= room - reach + SLACK < most]
            if not rows:
                continue
            room = min(behind[row] for row in rows)
            facts: dict[str, Any] = {
                "setting": "ground.headland",
                "concerns": rows,
                "reach": Measured(reach, Kind.LENGTH),
                "room": Measured(room, Kind.LENGTH),
            }
            if least < 0:
                yield warning("trellis.anchors_outside", **facts)
            else:
                left = Measured(max(room - reach, 0.0), Kind.LENGTH)
                yield remark("trellis.anchors_in_headland", left=left, turns=least > 0, **facts)
    lost = [row for row in found.built if row.lost]
    if lost:
        yield warning(
            "trellis.places_lost",
            setting="trellis.end_assembly",
            concerns=[address for row in lost for address in row.rows],
            places=sum(len(row.lost) * len(row.rows) for row in lost),
        )


def _crop(sized: Sequence[SizedRows]) -> Iterator[Notice]:
    if not sized:
        return
    on_wires = sized[0].like.demand.crop_on_wires
    yield assumption("trellis.crop_on_wires", setting="trellis.crop_on_wires", share=on_wires)

    def missing(item: SizedRows) -> float:
        return PUBLISHED_FULL_CROP * item.like.demand.row_spacing - item.like.demand.crop

    light = [
        item
        for item in sized
        if item.like.demand.crop < 0.8 * PUBLISHED_FULL_CROP * item.like.demand.row_spacing
    ]
    if not light:
        return
    item = max(light, key=missing)
    demand, build = item.like.demand, item.build
    record = PUBLISHED_FULL_CROP * demand.row_spacing
    heavy = replace(demand, crop=record)
    tension = wire_tensions(
        demand, build.wire, build.spacing, build.pretension, vertical=heavy.vertical, lateral=[0.0]
    )
    yield remark(
        "trellis.record_crop",
        concerns=item.like.addresses,
        source="CORNELL-TREL",
        crop=Measured(demand.crop, Kind.LOAD_ON_LENGTH, 0),
        record=Measured(record, Kind.LOAD_ON_LENGTH, 0),
        share=float(tension.max()) / build.wire.breaking,
        allowed=SERVICE_SHARE,
    )


def _creeping(sized: Sequence[SizedRows]) -> Iterator[Notice]:
    """What an anchor that is overcome leaves behind, in the row where it costs most tension."""
    there = [(item.like.addresses, item.creep) for item in sized if item.creep is not None]
    if there:
        rows, creep = max(there, key=lambda item: item[1].tension_before - item[1].tension_after)
        yield remark(
            "trellis.end_creeps",
            concerns=rows,
            gust=Measured(creep.gust, Kind.SPEED),
            moved=Measured(creep.moved, Kind.LENGTH, 1),
            before=Measured(creep.tension_before, Kind.FORCE),
            after=Measured(creep.tension_after, Kind.FORCE),
        )


def _standing_cautions(asked: TrellisQuestion, sized: Sequence[SizedRows]) -> Iterator[Notice]:
    """What a person who builds a trellis has to be told, and what the site calls for."""
    yield caution("trellis.no_engineering")
    yield caution("trellis.digging")
    yield caution("trellis.wire_whips", source="TENSION-PRACTICE")
    yield caution("trellis.drivers")
    yield caution("trellis.ladders")
    yield caution("trellis.treated_wood")
    yield caution("trellis.knots", source="KNOTS")
    yield caution("trellis.leaning_row", source="GFG-101")
    yield caution("trellis.storm_coming", source="GFG-2016")
    slope = max((row.row.slope for item in sized for row in item.like.rows), default=0.0)
    if slope >= STEEP:
        yield caution(
            "trellis.steep", setting="trellis.hill", source="ASCE7-16", slope=Measured(slope, Plain.SHARE)
        )
    if asked.wire_heights[-1] > HIGH_WIRE:
        yield caution("trellis.high_wire", setting="trellis.wire_heights")


def _rests_on(asked: TrellisQuestion) -> Iterator[Notice]:
    yield assumption("trellis.drag_unmeasured", source="VOLLSINGER05")
    yield assumption("trellis.inner_shelter", source="DIERICKX03")
    yield assumption("trellis.soil_estimated", setting="place.soil", source="BROMS64")
    yield assumption("trellis.posts_as_sold", source="AKL-RADIATA")
    yield remark(
        "trellis.factors",
        factor=ANCHOR_FACTOR,
        by_cost=asked.by_cost,
        stamped=asked.stamped is not None,
    )
