"""The trellis of the whole orchard, every row sized at least cost for its storm."""

from collections.abc import Sequence
from dataclasses import replace

from topwire.trellis import storm, wind
from topwire.trellis.as_strong import cheapest_as_strong
from topwire.trellis.asked import AskedRow, EndWish, TrellisQuestion
from topwire.trellis.at_risk import StormSite, frame_drag, storm_drag
from topwire.trellis.bill import HANGERS_APART, Basket, build_order, put_tools
from topwire.trellis.budget import within_budget
from topwire.trellis.cases import ACROSS, STILL
from topwire.trellis.choices import (
    SizedRows,
    common_build,
    storm_choices,
    with_posts_in_ground,
)
from topwire.trellis.details import designs, tension_table
from topwire.trellis.end_choice import reaches_in
from topwire.trellis.fence_findings import FenceSupport
from topwire.trellis.fence_support import support_by_fence
from topwire.trellis.findings import TrellisFindings
from topwire.trellis.gusts import Reserve, end_holds, failure_gusts, least_reserve
from topwire.trellis.heave import BELOW_FROST
from topwire.trellis.hindrance import hindrance
from topwire.trellis.holding import ground_of
from topwire.trellis.kinds import EndKind, FenceCure, RowLoad, SoilWater, TrellisPart
from topwire.trellis.kit_choice import builds_by_cost, strongest
from topwire.trellis.kits import FLOOR_YEARS
from topwire.trellis.nets import kind_of, netted_drag, netted_range
from topwire.trellis.published import beside_published, cost_parts, ground_of_rows
from topwire.trellis.risk_findings import StormSeason
from topwire.trellis.risk_lines import kit_risk, kit_steps, known_fates
from topwire.trellis.row_findings import Creep, FailureGust, first_to_give
from topwire.trellis.row_frame import CaseResult
from topwire.trellis.rows import SHORTEST_ROW, LikeRows, TrellisRow, demand_of, like_rows, rows_to_wire
from topwire.trellis.search import HEADROOM, LEAST_DEPTH, WRAP, Build, Wishes, search_down
from topwire.trellis.sized import SizedTrellis
from topwire.trellis.telling import trellis_notices
from topwire.trellis.wall_support import support_by_wall
from topwire.trellis.whole_row import (
    DRAG_RANGE,
    frame_of,
    stands_along,
    whole_row,
    wires_along,
    with_wires_along,
)
from topwire.trellis.wire import STORM_SHARE
from topwire.trellis.yardsticks import yardsticks
from topwire.trellis.yielding import creep_beyond
from topwire.values.bill import together
from topwire.values.notice import CannotAnswer, Measured, refusal
from topwire.values.progress import Progress, silent
from topwire.values.units import Kind

WORTH_TELLING = 2.0  # of the design gust: what gives later than this is not followed further
REPEATS = 3  # searches again after the whole-row solve


def answer(asked: TrellisQuestion, progress: Progress = silent) -> TrellisFindings:
    """Posts, wires, ends and anchors of every row that holds new trees.

    Raises
    ------
    CannotAnswer
        When no trellis can be sized at all: wires above the longest post, nothing that holds a row.
    """
    _tall_enough(asked)
    gust = storm.gust_of(asked.storm, asked.return_period)
    wishes = wishes_of(asked)
    site = StormSite(asked.storm, asked.stock.soil, asked.ages, asked.pull_test, asked.net, asked.year)
    rows = rows_to_wire(asked)
    wired, fences, staked = _sorted_by_support(asked, site, rows, gust, wishes)
    groups = like_rows(asked, wired)
    if asked.by_cost:
        progress("trellis: posts by what they cost and what falls with them")
        sized = _by_cost(asked, site, groups, gust, wishes)
    else:
        sized = []
        for number, like in enumerate(groups, start=1):
            progress(f"trellis: row kind {number}, {like.rows[0].address}")
            sized.append(_no_dearer(asked, site, _size(asked, like, gust, wishes), gust))
    sized = [
        replace(
            item,
            gusts=with_posts_in_ground(item.gusts, site, item.like.demand, item.build),
            creep=_creep(asked, item, gust, wishes),
            short=None if item.stands else _short(asked, site, item, gust, wishes),
        )
        for item in sized
    ]
    basket = Basket(asked.stock)
    built = [design for item in sized for design in designs(asked, item, gust, basket)]
    _put_fences(asked, basket, rows, fences)
    if built or fences:
        put_tools(basket, rows=bool(built))
    if staked:
        basket.fitting("tree stake", sum(row.row.new_trees for row in staked))
    lines = basket.bill()
    cost = together(lines)
    parts = cost_parts(asked, sized) if sized else ()
    choices = storm_choices(asked, sized, wishes, cost + basket.hours * wishes.wage)
    usual = common_build(asked.stock, site, sized)
    risks = tuple(kit_risk(asked, site, item, wishes) for item in sized)
    trees = sum(row.row.new_trees for row in rows)
    beside = beside_published(asked, sized, parts, sum(row.row.new_trees for row in wired))
    bought = within_budget(
        asked, sized, wishes, trees=trees, cost=cost,
        size=lambda like, other, thrifty: _size(asked, like, other, thrifty),
    )  # fmt: skip
    return TrellisFindings(
        rows=tuple(built),
        design_gust=gust,
        gust_50=asked.storm.gust_50,
        mean_50=asked.storm.mean_50,
        wind_form=asked.storm.form,
        exposure=asked.storm.exposure,
        return_period=asked.return_period,
        tension_table=tension_table(sized),
        bill=lines,
        cost=cost,
        currency=asked.currency,
        labour_hours=basket.hours,
        build_order=build_order(
            sorted({end.kind for item in sized for end in item.build.both}),
            frost=asked.frost_depth is not None,
            net=asked.net is not None,
            fence=bool(fences),
            wall=bool(fences) and all(fence.wall for fence in fences),
            cured=any(fence.cure is not FenceCure.NONE for fence in fences),
        ),
        notices=tuple(
            trellis_notices(
                asked,
                SizedTrellis(
                    tuple(sized),
                    tuple(built),
                    tuple(staked),
                    fences,
                    bought,
                    cost,
                    trees,
                    gust,
                    risks,
                    parts,
                    beside,
                ),
            )
        ),
        choices=choices,
        common_build=usual,
        fences=fences,
        within_budget=bought,
        by_cost=asked.by_cost,
        net=kind_of(asked.net),
        stamped="" if asked.stamped is None else asked.stamped.by,
        floor_gust=storm.gust_of(asked.storm, FLOOR_YEARS),
        risks=risks,
        steps=tuple(step for item in sized if asked.by_cost for step in kit_steps(asked, site, item, wishes)),
        known=known_fates(site, sized[0].like.demand) if sized else (),
        parts=parts,
        published=beside,
        ground=ground_of_rows([row for item in sized for row in item.like.rows]),
        storms=tuple(
            StormSeason(
                state.storms,
                state.crop,
                state.leaf,
                state.downbursts,
                state.soaked,
                state.soaked if state.soaked_before is None else state.soaked_before,
                state.soaked_before is not None,
            )
            for state in asked.year
        )
        if sized
        else (),
        yardsticks=tuple(one for item in sized for one in yardsticks(asked, site, item, wishes)),
    )


def _tall_enough(asked: TrellisQuestion) -> None:
    longest = max(asked.stock.posts, key=lambda post: post.length)
    top = asked.wire_heights[-1]
    left = longest.length - top - HEADROOM
    if left < LEAST_DEPTH:
        raise CannotAnswer(
            [
                refusal(
                    "trellis.too_tall",
                    setting="trellis.wire_heights",
                    concerns=[longest.name],
                    top=Measured(top, Kind.LENGTH, 2),
                    least=Measured(LEAST_DEPTH, Kind.LENGTH),
                    longest=Measured(longest.length, Kind.LENGTH, 2),
                    lower=Measured(longest.length - HEADROOM - LEAST_DEPTH, Kind.LENGTH, 2),
                    longer=Measured(top + HEADROOM + LEAST_DEPTH, Kind.LENGTH, 2),
                )
            ]
        )


def wishes_of(asked: TrellisQuestion) -> Wishes:
    """What the search has to keep to."""
    wired = [row for row in asked.rows if not row.along_fence and not _staked(row)]
    return Wishes(
        spacing=asked.post_spacing,
        pretension=asked.pretension,
        wage=asked.wage,
        drag=netted_drag(asked.net, wind.DRAG[1]),
        near_kinds=asked.near.kinds,
        far_kinds=asked.far.kinds,
        near_kept=_kept(asked, asked.near, [row.first_tree for row in wired]),
        far_kept=_kept(asked, asked.far, [row.beyond_last for row in wired]),
        deepest=asked.deepest,
        low_wire=asked.low_wire is not None,
        end_depth=asked.frost_depth + BELOW_FROST if asked.frost_depth else 0.0,
    )


def _staked(row: AskedRow) -> bool:
    """Too short for wires."""
    return row.places < 2 or row.length < SHORTEST_ROW


def _kept(asked: TrellisQuestion, wish: EndWish, free: Sequence[float]) -> float | None:
    """Row [m] without trees that every brace at this end has to stand in.

    Where braces are asked for, a row whose standing trees or shortness left them no room is built as the others are,
    and its lost places are named; None where no row has the room.
    """
    if EndKind.TIE_BACK in wish.kinds:
        return min(free, default=None)
    top = asked.wire_heights[-1]
    return min(
        (room for room in free if any(reaches_in(kind, top, room) for kind in wish.kinds)), default=None
    )


def _sorted_by_support(
    asked: TrellisQuestion, site: StormSite, rows: Sequence[TrellisRow], gust: float, wishes: Wishes
) -> tuple[list[TrellisRow], tuple[FenceSupport, ...], list[TrellisRow]]:
    """Rows for a trellis, rows on a standing fence, and rows too short for either."""
    wired, fences, staked = [], [], []
    for row in rows:
        if row.row.along_fence:
            demand = demand_of(asked, row, length=row.row.length, crop=row.crop)
            felt = storm_drag(site, demand, gust) if asked.by_cost else wishes.drag
            if row.address.rsplit(" ", 1)[0] in asked.fence.walls:
                fences.append(
                    support_by_wall(
                        row.address,
                        demand,
                        asked.stock,
                        gust=gust,
                        drag=felt,
                        wage=wishes.wage,
                        low_wire=asked.low_wire,
                    )
                )
                continue
            fences.append(
                support_by_fence(
                    row.address, demand, asked.stock, ground_of(asked.stock.soil, wet=True),
                    gust=gust, drag=felt, wage=wishes.wage, fence=asked.fence, low_wire=asked.low_wire,
                )
            )  # fmt: skip
        elif _staked(row.row):
            staked.append(row)
        else:
            wired.append(row)
    return wired, tuple(fences), staked


def _put_fences(
    asked: TrellisQuestion, basket: Basket, rows: Sequence[TrellisRow], fences: Sequence[FenceSupport]
) -> None:
    trees = {row.address: row.row.new_trees for row in rows}
    for fence in fences:
        wires = len(fence.strung)
        basket.fitting("screw eye for a wall", fence.fixings)
        basket.wire(asked.stock.wires[0], (fence.run + WRAP) * wires)
        basket.fitting("wire strainer", wires)
        basket.fitting("crimp sleeve", 2 * wires)
        basket.fitting("tree clip", trees[fence.row] * len(fence.wire_heights))
        if fence.low_wire is not None:
            basket.fitting("drip line hanger", round(fence.run / HANGERS_APART))
        if fence.cure in (FenceCure.SPRINGS, FenceCure.SPRINGS_AND_STRUTS):
            basket.fitting("tension spring", wires)
        strut = next((post for post in asked.stock.posts if post.name == fence.strut), None)
        if strut is not None:
            basket.strut(strut, 2)
            basket.fitting("strut foot", 2)
            basket.fitting("brace pin", 4)


def _by_cost(
    asked: TrellisQuestion, site: StormSite, groups: list[LikeRows], gust: float, wishes: Wishes
) -> list[SizedRows]:
    """Posts of every group by least cost of building and falling, with the whole row solved in the floor's gust.

    Wires stand the design gust: along the row they are solved in that.
    """
    floor = storm.gust_of(asked.storm, FLOOR_YEARS)
    sized = []
    for like, build, stands in builds_by_cost(asked, site, groups, gust=gust, floor=floor, wishes=wishes):
        felt = frame_drag(site, like.demand, build.post, build.depth, build.spacing, floor)
        cases = whole_row(asked, like, build, floor, felt) + wires_along(asked, like, build, gust)
        drag = storm_drag(site, like.demand, gust)
        drags = drag / DRAG_RANGE, drag, drag * DRAG_RANGE
        sized.append(SizedRows(like, build, stands, _gusts(asked, like, build, gust, drags), cases))
    return sized


def _gusts(
    asked: TrellisQuestion,
    like: LikeRows,
    build: Build,
    gust: float,
    drags: tuple[float, float, float] | None = None,
) -> tuple[FailureGust, ...]:
    grounds = {soil: ground_of(asked.stock.soil, wet=soil is SoilWater.SOAKED) for soil in SoilWater}
    found = failure_gusts(
        like.demand, build, grounds, outer=like.outer, drags=drags or netted_range(asked.net)
    )
    return with_wires_along(asked, like, build, found, gust)


def _size(asked: TrellisQuestion, like: LikeRows, gust: float, wishes: Wishes) -> SizedRows:
    """The cheapest build that stands, or the strongest there is."""
    build, stands = _best(asked, like, gust, wishes)
    cases = whole_row(asked, like, build, gust, wishes.drag)
    for _ in range(REPEATS):
        over, pulled = _overload(cases), stands_along(asked, like, build, gust)[1]
        if (max(over) <= 1 and pulled <= wishes.end_reserve) or not stands:
            break
        # the whole row found more than the search's closed forms: keep that much in reserve and search again
        wishes = replace(
            wishes,
            wire_reserve=max(wishes.wire_reserve, 1.02 * over[0] * STORM_SHARE / build.storm_share)
            if over[0] > 1
            else wishes.wire_reserve,
            post_reserve=wishes.post_reserve * max(over[1] * 1.02, 1.0),
            end_reserve=max(wishes.end_reserve, 1.01 * pulled),
        )
        build, stands = _best(asked, like, gust, wishes)
        cases = whole_row(asked, like, build, gust, wishes.drag)
    else:  # wires and posts that are over still are told by their cases, an end is not
        stands = stands and stands_along(asked, like, build, gust)[1] <= wishes.end_reserve
    return SizedRows(like, build, stands, _gusts(asked, like, build, gust), cases, kept=wishes)


def _no_dearer(asked: TrellisQuestion, site: StormSite, item: SizedRows, gust: float) -> SizedRows:
    """Rows that stand; else of the builds as strong as the strongest the cheapest: as much of the reserve asked for in
    the part that lacks most, nothing that gives sooner (nor by high drag and weak posts), nothing more overloaded in
    the whole row."""
    if item.stands or item.kept is None:
        return item
    wishes, like = item.kept, item.like

    def sized(build: Build) -> SizedRows:
        return replace(
            item,
            build=build,
            cases=whole_row(asked, like, build, gust, wishes.drag),
            gusts=_gusts(asked, like, build, gust),
        )

    def strength(build: Build) -> tuple[float, ...]:
        one = sized(build)
        short = _short(asked, site, one, gust, wishes)
        gusts = with_posts_in_ground(one.gusts, site, like.demand, build)
        return (
            1.0 if short is None else short.reserve / short.wanted,
            first_to_give(gusts).middle,
            min(gust.low for gust in gusts if gust.part is not TrellisPart.WIRE_HALF),
            *(-max(load, 1.0) for load in _overload(one.cases)),
        )

    build = cheapest_as_strong(
        item.build, like.demand, asked.stock, ground_of(asked.stock.soil, wet=True), gust, wishes, strength
    )
    return item if build is item.build else sized(build)


def _overload(cases: Sequence[CaseResult]) -> tuple[float, float]:
    """Greatest load over what is allowed, of wires and of line posts."""
    wires = [(case.share_of_breaking or 0.0) / case.case.limit for case in cases]
    posts = [case.share_of_post or 0.0 for case in cases]
    return max(wires, default=0.0), max(posts, default=0.0)


def _best(asked: TrellisQuestion, like: LikeRows, gust: float, wishes: Wishes) -> tuple[Build, bool]:
    """The cheapest build that stands in `gust`, or failing that in the strongest gust that one stands in."""
    soaked = ground_of(asked.stock.soil, wet=True)
    found = strongest(lambda kept: search_down(like.demand, asked.stock, soaked, kept, wishes), gust)
    if found is None:
        raise CannotAnswer(hindrance(like.rows[0].address, like.demand, asked.stock, soaked, 0.0, wishes))
    return found


def _short(
    asked: TrellisQuestion, site: StormSite, item: SizedRows, gust: float, wishes: Wishes
) -> Reserve | None:
    """The part of a row that lacks most of the reserve it is asked to keep in the design gust."""
    drag = storm_drag(site, item.like.demand, gust) if asked.by_cost else wishes.drag
    return least_reserve(
        item.like.demand, item.build, ground_of(asked.stock.soil, wet=True), gust, drag,
        posts=not asked.by_cost, pull=max(stands_along(asked, item.like, item.build, gust)[1], 1.0),
    )  # fmt: skip


def _creep(asked: TrellisQuestion, item: SizedRows, gust: float, wishes: Wishes) -> Creep | None:
    """What the row keeps of a gust a little above the one at which an anchor begins to give in soaked ground."""
    row = frame_of(asked, item.like, item.build)
    begins = [
        found.middle
        for found in item.gusts
        if found.part in (TrellisPart.END_ANCHOR, TrellisPart.END_GRIP)
        and found.canopy is RowLoad.CROPPED
        and found.soil is SoilWater.SOAKED
    ]
    if row is None or not begins or not 0 < min(begins) <= WORTH_TELLING * gust:
        return None
    ground, top = ground_of(asked.stock.soil, wet=True), float(item.like.demand.heights[-1])
    near, far = (end_holds(end, top, ground) for end in item.build.both)
    return creep_beyond(
        row, item.like.demand, ACROSS, STILL, holds=(near, far), gust=min(begins), drag=wishes.drag
    )  # fmt: skip
