"""The trellis of the whole orchard, every row sized at least cost for its storm."""

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.growth.findings import CropForecast
from topwire.layout.findings import Ground, Layout
from topwire.notices import Faults, fault
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.plan.trees import EndAssembly
from topwire.trellis import storm, wind
from topwire.trellis.advice import advice, share_allowed
from topwire.trellis.bill import Basket, build_order, put_row, total
from topwire.trellis.budget import within_budget
from topwire.trellis.choices import SizedRows, common_build, next_better, row_positions, storm_choices
from topwire.trellis.demand import RowDemand
from topwire.trellis.end_choice import ALL_KINDS, TIE_BACK, EndChoice
from topwire.trellis.fence_support import support_by_fence
from topwire.trellis.gusts import CROPPED, END_ANCHOR, END_GRIP, WET, end_holds, failure_gusts
from topwire.trellis.hindrance import hindrance
from topwire.trellis.holding import ground_of
from topwire.trellis.loads import CASES
from topwire.trellis.materials import Stock, read_stock
from topwire.trellis.result import (
    CaseLine,
    Creep,
    EndDetail,
    FenceSupport,
    RowTrellis,
    TrellisDesign,
)
from topwire.trellis.row_frame import CaseResult, RowFrame, row_frame, run_cases
from topwire.trellis.rows import SHORTEST_ROW, LikeRows, TrellisRow, demand_of, like_rows, rows_to_wire
from topwire.trellis.search import (
    END_GIVES,
    HEADROOM,
    LEAST_DEPTH,
    Build,
    Wishes,
    search_down,
)
from topwire.trellis.soil import code_force_free
from topwire.trellis.wire import GREATEST_PRETENSION, STORM_SHARE, stringing_tension
from topwire.trellis.yielding import creep_beyond
from topwire.values.progress import Progress, silent

WHERE = "trellis"
STRING_AT = 15.0  # [deg C] at which a wire has its pretension
TABLE_DAYS = (-5.0, 0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0)  # [deg C]
WORTH_TELLING = 2.0  # of the design gust: what gives later than this is not followed further
REPEATS = 3  # searches again after the whole-row solve
LESS_GUST = (
    0.93,
    0.86,
    0.8,
    0.73,
    0.66,
    0.58,
    0.5,
    0.42,
    0.34,
    0.26,
    0.18,
    0.1,
)  # tried where nothing stands


def design_trellis(
    plan: Plan,
    catalogue: Catalogue,
    ground: Ground,
    layout: Layout,
    crop: CropForecast,
    *,
    seasons: PlaceSeasons | None = None,
    progress: Progress = silent,
) -> TrellisDesign:
    """Posts, wires, ends and anchors of every row that holds new trees.

    With `seasons` every cultivar's crop hangs until the harvest foreseen here, else until its catalogue's.

    Raises
    ------
    Faults
        When no trellis can be sized at all: wires above the longest post, nothing usable in the catalogue.
    """
    stock = read_stock(
        catalogue,
        units=plan.units,
        texture=plan.place.soil.texture.value,
        posts_at_hand=plan.trellis.posts,
        wires_at_hand=plan.trellis.wires,
    )
    _tall_enough(plan, stock)
    notices = list(stock.notices)
    gust = storm.gust_of(plan, plan.trellis.return_period)
    wishes = _wishes(plan)
    rows = rows_to_wire(plan, catalogue, ground, layout, crop, seasons)
    wired, fences, staked = _sorted_by_support(plan, ground, rows, stock, gust, wishes)
    sized: list[SizedRows] = []
    for number, like in enumerate(like_rows(plan, ground, wired), start=1):
        progress(f"trellis: row kind {number}, {like.rows[0].address}")
        item = _size(plan, stock, like, gust, wishes)
        sized.append(replace(item, creep=_creep(plan, stock, item, gust, wishes)))
    basket = Basket(stock)
    designs = [design for item in sized for design in _designs(plan, stock, item, basket)]
    for fence in fences:
        length = next(row.row.length for row in rows if row.address == fence.row)
        basket.fitting("screw eye for a wall", fence.fixings)
        wire = stock.wires[0]
        metres = (length + 2) * len(fence.wire_heights)
        basket.add(wire.name, metres, "m", price=wire.price, minutes=0.0, source=wire.source)
        basket.fitting("wire strainer", len(fence.wire_heights))
        basket.fitting("crimp sleeve", 2 * len(fence.wire_heights))
    basket.fitting("tree stake", sum(row.trees for row in staked)) if staked else None
    lines = basket.bill()
    cost = total(lines)
    choices = storm_choices(plan, stock, sized, wishes, cost + basket.hours * wishes.wage)
    usual = common_build(stock, sized)
    trees = sum(row.trees for row in rows)
    bought = within_budget(
        plan, stock, sized, wishes, trees=trees, cost=cost,
        size=lambda like, other, thrifty: _size(plan, stock, like, other, thrifty),
    )  # fmt: skip
    notices += advice(
        plan, stock, sized=[(item.like, item.build, item.stands, item.cases) for item in sized], staked=staked,
        creeps=[(item.like, item.creep) for item in sized if item.creep],
        fences=fences, usual=usual, cost=cost, trees=trees, gust=gust,
        bought=bought,
    )  # fmt: skip
    return TrellisDesign(
        rows=tuple(designs),
        design_gust=gust,
        gust_basis=storm.basis(plan),
        tension_table=_tension_table(sized),
        bill=lines,
        cost=cost,
        labour_hours=basket.hours,
        build_order=build_order(
            sorted({end.assembly for item in sized for end in item.build.both}),
            frost=plan.place.frost_depth is not None,
        ),
        next_better=next_better(choices),
        notices=tuple(notices),
        choices=choices,
        common_build=usual,
        fences=tuple(fences),
        within_budget=bought,
    )


def _tall_enough(plan: Plan, stock: Stock) -> None:
    longest = max(stock.posts, key=lambda post: post.length)
    top = plan.trellis.wire_heights[-1]
    if longest.length - top - HEADROOM < LEAST_DEPTH:
        raise Faults(
            [
                fault(
                    "plan.yaml, trellis.wire_heights",
                    f"the top wire at {top:.2f} m leaves less than {LEAST_DEPTH:.1f} m of the longest post at hand "
                    f"({longest.name}, {longest.length:.2f} m) for the ground.",
                    f"Lower the top wire to {longest.length - HEADROOM - LEAST_DEPTH:.2f} m, or add posts of at least "
                    f"{top + HEADROOM + LEAST_DEPTH:.2f} m.",
                )
            ]
        )


def _wishes(plan: Plan) -> Wishes:
    spacing, assembly = plan.trellis.post_spacing, plan.trellis.end_assembly
    return Wishes(
        spacing=spacing if isinstance(spacing, float) else None,
        pretension=plan.trellis.pretension,
        assembly=None if assembly is EndAssembly.CHOOSE else assembly.value,
        wage=plan.money.wage,
        drag=wind.DRAG[1],
        near_kinds=_kinds(plan, plan.trellis.near_end, plan.trellis.near_room),
        far_kinds=_kinds(plan, plan.trellis.far_end, plan.trellis.far_room),
    )


def _kinds(plan: Plan, wish: EndAssembly | None, room: float | None) -> tuple[str, ...]:
    """Kinds of end that may stand at one side: the wish, or all that its room leaves."""
    kind = wish or plan.trellis.end_assembly
    if kind is not EndAssembly.CHOOSE:
        return (kind.value,)
    tight = room is not None and room < plan.trellis.wire_heights[-1]  # the anchor stands out as far as that
    return tuple(name for name in ALL_KINDS if not (tight and name == TIE_BACK))


def _sorted_by_support(
    plan: Plan, ground: Ground, rows: Sequence[TrellisRow], stock: Stock, gust: float, wishes: Wishes
) -> tuple[list[TrellisRow], list[FenceSupport], list[TrellisRow]]:
    """Rows for a trellis, rows on a standing fence, and rows too short for either."""
    wired, fences, staked = [], [], []
    for row in rows:
        if row.block.along_fence:
            demand = demand_of(plan, ground, row, length=row.row.length, crop=row.crop)
            fences.append(
                support_by_fence(
                    row.address,
                    demand,
                    stock.wires[0],
                    stock.posts,
                    gust=gust,
                    drag=wishes.drag,
                    thickness=plan.trellis.fence_post,
                    post_spacing=plan.trellis.fence_post_spacing,
                )
            )
        elif row.row.places < 2 or row.row.length < SHORTEST_ROW:
            staked.append(row)
        else:
            wired.append(row)
    return wired, fences, staked


def _size(plan: Plan, stock: Stock, like: LikeRows, gust: float, wishes: Wishes) -> SizedRows:
    """The cheapest build that stands, or the strongest there is."""
    build, stands = _best(plan, stock, like, gust, wishes)
    cases = _whole_row(plan, stock, like, build, gust, wishes)
    for _ in range(REPEATS):
        over = _overload(cases)
        if max(over) <= 1 or not stands:
            break
        # the whole row found more than the search's closed forms: keep that much in reserve and search again
        wishes = replace(
            wishes,
            wire_reserve=max(wishes.wire_reserve, 1.02 * over[0] * STORM_SHARE / build.storm_share)
            if over[0] > 1
            else wishes.wire_reserve,
            post_reserve=wishes.post_reserve * max(over[1] * 1.02, 1.0),
        )
        build, stands = _best(plan, stock, like, gust, wishes)
        cases = _whole_row(plan, stock, like, build, gust, wishes)
    soaked = ground_of(stock.soil, wet=True)
    grounds = {WET: soaked, "dry soil": ground_of(stock.soil, wet=False)}
    place = "outer row" if like.outer else "inner row"
    return SizedRows(
        like,
        build,
        stands,
        failure_gusts(like.demand, build, grounds, place=place),
        cases,
    )


def _overload(cases: Sequence[CaseResult]) -> tuple[float, float]:
    """Greatest load over what is allowed, of wires and of line posts."""
    wires = [(case.share_of_breaking or 0.0) / share_allowed(case.case) for case in cases]
    posts = [case.share_of_post or 0.0 for case in cases]
    return max(wires, default=0.0), max(posts, default=0.0)


def _best(plan: Plan, stock: Stock, like: LikeRows, gust: float, wishes: Wishes) -> tuple[Build, bool]:
    """The cheapest build that stands in `gust`, or failing that in the strongest gust that one stands in."""
    soaked = ground_of(stock.soil, wet=True)
    for share in (1.0, *LESS_GUST):
        build = search_down(like.demand, stock, soaked, gust * share, wishes)
        if build is not None:
            return build, share == 1.0
    reason = hindrance(like.demand, stock, soaked, gust * LESS_GUST[-1], wishes, plan.unit_system)
    raise Faults(
        [
            fault(
                "plan.yaml, trellis",
                f"nothing in the catalogue holds {like.rows[0].address}, even in a tenth of the design gust. "
                f"{reason[0].upper()}{reason[1:]}.",
                "Allow closer posts, other wires or ends, or less pretension, or add stronger rows to your catalogue.",
            )
        ]
    )


def _row_frame(plan: Plan, stock: Stock, like: LikeRows, build: Build) -> RowFrame | None:
    """The whole row as a frame; None where a post buckles under the crop."""
    try:
        return row_frame(
            like.demand,
            positions=row_positions(like.demand, build),
            low_wire=plan.trellis.low_wire,
            wire=build.wire,
            pretension=build.pretension,
            post=build.post,
            depth=build.depth,
            end_post=build.ends.post,
            end_depth=build.ends.depth,
            end_gives=END_GIVES,
            soil=stock.soil,
            far_post=build.both[1].post,
            far_depth=build.both[1].depth,
        )
    except ValueError:
        return None


def _whole_row(
    plan: Plan, stock: Stock, like: LikeRows, build: Build, gust: float, wishes: Wishes
) -> tuple[CaseResult, ...]:
    row = _row_frame(plan, stock, like, build)
    return () if row is None else run_cases(row, like.demand, build.post, gust=gust, drag=wishes.drag)


def _creep(plan: Plan, stock: Stock, item: SizedRows, gust: float, wishes: Wishes) -> Creep | None:
    """What the row keeps of a gust a little above the one at which an anchor begins to give in soaked ground."""
    row = _row_frame(plan, stock, item.like, item.build)
    begins = [
        g.middle
        for g in item.gusts
        if g.part.startswith((END_ANCHOR, END_GRIP)) and g.condition.startswith(f"{CROPPED}, {WET}")
    ]
    if row is None or not begins or not 0 < min(begins) <= WORTH_TELLING * gust:
        return None
    ground, top = ground_of(stock.soil, wet=True), float(item.like.demand.heights[-1])
    near, far = (end_holds(end, top, ground) for end in item.build.both)
    still, storm_across = CASES[0], CASES[1]
    return creep_beyond(
        row, item.like.demand, storm_across, still, holds=(near, far), gust=min(begins), drag=wishes.drag
    )  # fmt: skip


def _designs(plan: Plan, stock: Stock, sized: SizedRows, basket: Basket) -> list[RowTrellis]:
    """One design for all rows of the group with the same length, crop apart."""
    alike: dict[tuple[float, int], list[TrellisRow]] = {}
    for row in sized.like.rows:
        alike.setdefault((round(row.row.length, 1), row.parts), []).append(row)
    return [_design(plan, stock, sized, rows, basket) for rows in alike.values()]


def _design(
    plan: Plan, stock: Stock, sized: SizedRows, rows: Sequence[TrellisRow], basket: Basket
) -> RowTrellis:
    build, first = sized.build, rows[0]
    part = first.row.length / first.parts
    demand = replace(sized.like.demand, length=part)
    inside = row_positions(demand, build)
    positions = np.concatenate([inside[:-1] + part * i for i in range(first.parts)] + [[first.row.length]])
    low = plan.trellis.low_wire
    own = Basket(stock)
    for target in (own, basket):
        put_row(
            target,
            build,
            length=part,
            line_posts=len(inside) - 2,
            wires=len(demand.heights),
            low_wire=low is not None,
            times=first.parts * len(rows),
        )
    bill = own.bill()
    cases = [case for case in sized.cases if case.converged]
    storm_force, storm_moment = sized.like.demand.on_posts(
        storm.gust_of(plan, plan.trellis.return_period), wind.DRAG[1], cropped=True, wet=True
    )
    arm = float(storm_moment / storm_force)
    span = float(np.diff(positions).max())
    soaked = ground_of(stock.soil, wet=True)
    crop_case = next((case for case in cases if case.case == "full crop, still air"), None)
    return RowTrellis(
        rows=tuple(row.address for row in rows),
        length=first.row.length,
        spans=len(positions) - 1,
        post_spacing=span,
        post=build.post.name,
        post_length=build.post.length,
        post_depth=build.depth,
        end_assembly=_both(build, lambda end: end.assembly),
        end_post=_both(build, lambda end: end.post.name),
        anchor=_both(
            build, lambda end: f"{end.anchors} x {end.anchor.name}" if end.anchor else "none: braced"
        ),
        wire=build.wire.name,
        wire_heights=tuple(float(z) for z in demand.heights),
        low_wire=low,
        pretension=build.pretension,
        crop_per_metre=max(row.crop for row in rows),
        loaded_tension=max((case.tension or 0.0 for case in cases), default=0.0),
        share_of_breaking=max((case.share_of_breaking or 0.0 for case in cases), default=0.0),
        sag=(crop_case.sag or 0.0) if crop_case else 0.0,
        gusts=sized.gusts,
        cost=total(bill),
        outer=sized.like.outer,
        positions=tuple(round(float(x), 3) for x in positions),
        trees=tuple(
            round(first.row.first_tree + i * first.row.tree_spacing, 3) for i in range(first.row.places)
        ),
        end=_end_detail(build.ends, demand),
        far_end=_end_detail(build.far, demand) if build.far else None,
        creep=sized.creep,
        cases=tuple(_line(case) for case in sized.cases),
        post_diameter=build.post.diameter,
        code_force=float(
            code_force_free(
                build.depth, arm, width=build.post.diameter, bearing=2 * stock.soil.code_kpa_per_m * 1e3
            )
        ),
        ultimate_force=float(soaked.post(build.depth, arm, build.post.diameter)),
        design_force=float(storm_force) * span,
        force_height=arm,
        bill=bill,
        labour_hours=own.hours,
        stands=sized.stands,
    )


def _both(build: Build, says: Callable[[EndChoice], str]) -> str:
    """What both ends have, or the one where counting starts and the far one."""
    near, far = (says(end) for end in build.both)
    return near if near == far else f"{near}; far end {far}"


def _end_detail(ends: EndChoice, demand: RowDemand) -> EndDetail:
    top = float(demand.heights[-1])
    return EndDetail(
        assembly=ends.assembly,
        post=ends.post.name,
        post_diameter=ends.post.diameter,
        post_length=ends.post.length,
        post_depth=ends.depth,
        lean=ends.lean,
        anchor=ends.anchor.name if ends.anchor else None,
        anchors=ends.anchors,
        reach=ends.anchor_distance,
        guy_slope=top / (top - top * float(np.tan(np.radians(ends.lean)))) if ends.anchor else None,
        member=ends.member,
        anchor_holds=ends.anchor_holds if ends.anchor else None,
        anchor_depth=ends.anchor.depth_m if ends.anchor else None,
        strut=ends.strut.name if ends.strut else None,
        feet=ends.feet,
    )


def _line(case: CaseResult) -> CaseLine:
    return CaseLine(
        case.case, case.converged, case.residual, case.tension, case.share_of_breaking, case.sag, case.sideways,
        case.post_moment, case.share_of_post, case.end_pull,
    )  # fmt: skip


def _tension_table(sized: Sequence[SizedRows]) -> tuple[tuple[float, float], ...]:
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
        (day, float(value))
        for day, value in zip(TABLE_DAYS, tension, strict=True)
        if value <= GREATEST_PRETENSION * 1.01
    )
