"""What the sizing found that a person has to decide, doubt or look after."""

from collections.abc import Sequence
from dataclasses import replace

from topwire.notices import Notice, assumption, remark, warning
from topwire.plan.model import Plan
from topwire.trellis.cautions import cautions
from topwire.trellis.gusts import working_factor_note
from topwire.trellis.materials import Stock
from topwire.trellis.result import BudgetTrellis, Creep, FailureGust, FenceSupport
from topwire.trellis.row_frame import CaseResult
from topwire.trellis.rows import LONGEST_ROW, LikeRows, TrellisRow
from topwire.trellis.search import Build, wire_tensions
from topwire.trellis.soil import frost_heave, skin_holding
from topwire.trellis.wire import SERVICE_SHARE, STORM_SHARE
from topwire.values.units import Kind, shown

WHERE = "trellis"
PUBLISHED_FULL_CROP = 7.061  # [kg/m2] 63,000 lb/acre, what a trellis must at least hold (CORNELL-TREL)

Sized = tuple[LikeRows, Build, bool, tuple[CaseResult, ...]]


def advice(
    plan: Plan,
    stock: Stock,
    *,
    sized: Sequence[Sized],
    staked: Sequence[TrellisRow],
    fences: Sequence[FenceSupport],
    usual: Sequence[FailureGust],
    cost: float,
    trees: int,
    gust: float,
    bought: BudgetTrellis | None,
    creeps: Sequence[tuple[LikeRows, Creep | None]] = (),
) -> list[Notice]:
    """All notices of the department, warnings first."""
    found: list[Notice] = []
    if plan.place.mean_wind is not None:
        found.append(
            assumption(
                "plan.yaml, place.mean_wind",
                "Wind loads are taken by EN 1991-1-4 from the stated ten-minute mean of 50 years, rising ground by its "
                "Annex A.3.",
                "The national annex of your country may ask for other figures.",
                "EN1991-1-4",
            )
        )
    elif plan.place.gust is None:
        found.append(
            warning(
                "plan.yaml, place.gust",
                "no design gust is stated; 90 mph (40 m/s) in 50 years is assumed, and not checked.",
                "Take the three-second gust of 50 years from the local wind map.",
                "ASCE7-16",
            )
        )
    else:
        found.append(
            assumption(
                "plan.yaml, place.gust",
                "The stated gust is taken as that of 50 years.",
                "Newer wind maps show 300 or 700 years: divide such a figure by 1.18 or 1.26 before stating it.",
                "ASCE7-16",
            )
        )
    for like, build, stands, cases in sized:
        found += _row_notices(plan, like, build, stands, cases, gust)
    found += _long_rows(plan, sized)
    found += _short_rows(staked)
    found += [_fence_notice(fence, plan) for fence in fences]
    found += _frost(plan, stock, sized)
    found += _money(plan, stock)
    found += _budget(plan, sized, bought, cost, trees, gust)
    found += _crop(sized)
    found += _usual(plan, usual)
    found += _creeping(plan, creeps)
    slope = max((row.block.slope for like, *_ in sized for row in like.rows), default=0.0)
    found += cautions(slope=slope, top=plan.trellis.wire_heights[-1], elevation_of_gust=working_factor_note())
    return found


def _row_notices(
    plan: Plan,
    like: LikeRows,
    build: Build,
    stands: bool,
    cases: Sequence[CaseResult],
    gust: float,
) -> list[Notice]:
    found = []
    where = f"{WHERE}, {_names(like)}"
    if not stands:
        found.append(
            warning(
                where,
                f"nothing in the catalogue stands in {shown(gust, Kind.SPEED, plan.unit_system)} at full crop; "
                "the strongest choice is shown.",
                "Read the gusts at which it gives; add stronger posts, stays across the row, a windbreak, or have it "
                "engineered.",
            )
        )
    if not cases:
        found.append(
            warning(
                where,
                "the row could not be solved as a whole: a post buckles under the crop.",
                "Thicker posts.",
            )
        )
    for case in cases:
        if not case.converged:
            found.append(
                warning(
                    where,
                    f"no equilibrium was found for “{case.case}” (left out of balance: {case.residual:.0f} N), so no "
                    "figure is shown for it.",
                    "Closer posts, a thicker post or more pretension make the row stiffer.",
                )
            )
        elif case.share_of_post is not None and case.share_of_post > 1:
            found.append(
                warning(
                    where,
                    f"in “{case.case}” the whole-row solve loads the heaviest line post to "
                    f"{case.share_of_post * 100:.0f} % of what 19 of 20 posts bear.",
                    "A thicker post or closer spacing in this row.",
                )
            )
        elif case.share_of_breaking is not None and case.share_of_breaking > share_allowed(case.case):
            found.append(
                warning(
                    where,
                    f"in “{case.case}” a wire reaches {case.share_of_breaking * 100:.0f} % of its breaking load.",
                    "A thicker wire or closer posts in this row.",
                )
            )
    return found


def share_allowed(case: str) -> float:
    """Share of the breaking load a wire may reach: more in a storm or when a part is lost than in service."""
    return STORM_SHARE if "storm" in case or "lost" in case else SERVICE_SHARE


def _names(like: LikeRows) -> str:
    first = like.rows[0].address
    return first if len(like.rows) == 1 else f"{first} and {len(like.rows) - 1} more"


def _long_rows(plan: Plan, sized: Sequence[Sized]) -> list[Notice]:
    long = [row for like, *_ in sized for row in like.rows if row.parts > 1]
    if not long:
        return []
    row = max(long, key=lambda item: item.row.length)
    system = plan.unit_system
    return [
        warning(
            f"{WHERE}, {row.address}",
            f"a row of {shown(row.row.length, Kind.LENGTH, system)} is longer than wires should run between ends "
            f"({shown(LONGEST_ROW, Kind.LENGTH, system)}); it is built in {row.parts} lengths, each with its own ends.",
            "Leave a cross alley where two lengths meet: their anchors need the room of one tree on each side.",
            "OMAFRA",
        )
    ]


def _short_rows(staked: Sequence[TrellisRow]) -> list[Notice]:
    return [
        warning(
            f"{WHERE}, {row.address}",
            f"a row with {row.row.places} place{'s' if row.row.places != 1 else ''} is too short for wires between two "
            "braced ends.",
            "Give each tree a stake of its own (they are in the bill), or lengthen the row.",
        )
        for row in staked
    ]


def _fence_notice(fence: FenceSupport, plan: Plan) -> Notice:
    system = plan.unit_system
    bears = (
        f"the standing fence has to bear {shown(fence.pull_on_fixing, Kind.FORCE, system)} on each eye, "
        f"{shown(fence.pull_at_end, Kind.FORCE, system)} along it at both ends, and "
        f"{fence.moment_per_metre:.0f} N m at its foot for every metre where the wind blows through it; "
    )
    remedy = (
        f"Post that would carry it: {fence.post_needed}. Ask whoever built the fence; ask the neighbour if it is "
        "shared. Keep 4 in (100 mm) of air between wall and wire."
    )
    where = f"{WHERE}, {fence.row}"
    if fence.leaves_share is None or fence.wall_share is None:
        says = "its strength is not known to the plan (trellis.fence_post), so this is not checked."
        return warning(where, bears + says, remedy)
    taken = (
        f"that is {fence.leaves_share:.0%} of what its posts bear in bending, if they are sound; a solid fence takes "
        f"{fence.wall_share:.0%} from the wind anyway. How deep they stand is not checked."
    )
    worst = max(fence.leaves_share, fence.wall_share)
    return (warning if worst > 1 else assumption)(where, bears + taken, remedy)


def _frost(plan: Plan, stock: Stock, sized: Sequence[Sized]) -> list[Notice]:
    depth = plan.place.frost_depth
    if depth is None or not sized or depth <= 0:
        return []
    build = min((item[1] for item in sized), key=lambda b: b.depth)
    lift = frost_heave(build.post.diameter, depth)
    grip = skin_holding(
        build.post.diameter, build.depth, depth, friction=0.5 * (stock.soil.cohesion_wet or 15e3)
    )
    system = plan.unit_system
    return [
        warning(
            WHERE,
            f"ground frozen to {shown(depth, Kind.LENGTH, system, digits=1)} can lift a post with up "
            f"to {shown(lift, Kind.FORCE, system)} (upper bound) where {shown(grip, Kind.FORCE, system)} of grip lies "
            "below it; posts creep up over the winters.",
            "Set posts below the frost, butt down or with a collar; keep water off; drive back what has risen.",
            "HEAVE-PRACTICE",
        )
    ]


def _money(plan: Plan, stock: Stock) -> list[Notice]:
    found = []
    prices = {row.currency for row in stock.fittings.values() if row.currency}
    if prices - {plan.money.currency}:
        found.append(
            warning(
                WHERE,
                f"prices are in {', '.join(sorted(prices))} and the plan counts in {plan.money.currency}: they are "
                "added as they stand, never converted.",
                "Put your own prices in catalogue/posts.csv, wires.csv, anchors.csv and trellis_fittings.csv.",
            )
        )
    found.append(
        assumption(
            WHERE,
            "Prices of posts, wire, anchors and fittings are planning figures that nobody has quoted.",
            "Replace them with quotations in your own catalogue before comparing choices.",
        )
    )
    return found


def _budget(
    plan: Plan, sized: Sequence[Sized], bought: BudgetTrellis | None, cost: float, trees: int, gust: float
) -> list[Notice]:
    """What the stated budget buys, and what of the design gust it gives up."""
    budget, where = plan.trellis.budget_per_tree, "plan.yaml, trellis.budget_per_tree"
    if budget is None or not trees:
        return []

    def speed(value: float) -> str:
        return shown(value, Kind.SPEED, plan.unit_system)

    stands = all(item[2] for item in sized)
    kept = (
        f"The trellis for the design gust of {speed(gust)} comes to {cost / trees:,.2f} a tree in materials and the "
        f"budget is {budget:,.2f}; it is shown, billed and drawn all the same. "
    )
    if bought is None:
        if cost / trees <= budget:
            return []
        return [
            warning(where, f"materials come to {cost / trees:,.2f} a tree, above the {budget:,.2f} allowed.")
        ]
    if cost / trees <= budget and stands:
        if bought.gust is None or bought.gust <= gust:
            return []
        return [
            remark(
                where,
                f"The money allowed would also buy a trellis that stands in {speed(bought.gust)} instead of "
                f"{speed(gust)}.",
                "State a longer trellis.return_period to have it.",
            )
        ]
    if bought.gust is None:
        least = (
            "even that cannot be built from the catalogue"
            if bought.least is None
            else f"the least that can be offered, for the gust of ten years, costs {bought.least / trees:,.2f} a tree"
        )
        return [
            warning(
                where,
                f"{kept}No trellis can be bought for the budget: {least}.",
                "Raise the budget, plant fewer and shorter rows, or plant where the wind is broken.",
            )
        ]
    return [
        warning(
            where,
            f"{kept}The safest that the budget buys stands in {speed(bought.gust)} instead, "
            f"{(bought.gust / gust) ** 2:.0%} of the wind's force ({bought.first_part} first, at "
            f"{speed(bought.first_gust or 0.0)}); it is set beside the design under “What the budget buys”.",
            "Building it gives up that much of the storm you asked for: harvest before storms, or raise the budget.",
        )
    ]


def _crop(sized: Sequence[Sized]) -> list[Notice]:
    light = [
        (like, build)
        for like, build, *_ in sized
        if like.demand.crop < 0.8 * PUBLISHED_FULL_CROP * like.demand.row_spacing
    ]
    found: list[Notice] = [
        assumption(
            WHERE,
            f"The wires carry {like.demand.crop_on_wires * 100:.0f} % of the crop's weight; the trunks the rest.",
            "State trellis.crop_on_wires; 1.0 is the cautious end, 0.3-0.5 usual for trees on their own trunk.",
        )
        for like, *_ in sized[:1]
    ]
    if light:
        like, build = max(
            light, key=lambda item: PUBLISHED_FULL_CROP * item[0].demand.row_spacing - item[0].demand.crop
        )
        demand = like.demand
        record = PUBLISHED_FULL_CROP * demand.row_spacing
        heavy = replace(demand, crop=record)
        tension = wire_tensions(
            demand, build.wire, build.spacing, build.pretension, vertical=heavy.vertical, lateral=[0.0]
        )
        share = float(tension.max()) / build.wire.breaking
        found.append(
            remark(
                WHERE,
                f"The heaviest crop foreseen is {demand.crop:.0f} kg on a metre of row in {_names(like)}; published "
                f"advice is to hold {record:.0f} kg (63,000 lb an acre), which in still air would bring these wires to "
                f"{share * 100:.0f} % of their breaking load.",
                "Up to 50 % is usual in service."
                if share <= SERVICE_SHARE
                else "Thicker wire for a record crop.",
                "CORNELL-TREL",
            )
        )
    return found


def _usual(plan: Plan, usual: Sequence[FailureGust]) -> list[Notice]:
    """How the trade's usual line of posts would fare in this place, so that the difference can be seen."""
    if not usual:
        return []
    first = min(usual, key=lambda gust: gust.middle)
    low, middle, high = (
        shown(v, Kind.SPEED, plan.unit_system) for v in (first.low, first.middle, first.high)
    )
    return [
        remark(
            WHERE,
            f"Posts of 4 in, 3 ft deep and 30 ft apart, a usual build, would give first in the outer row at about "
            f"{middle} ({low} to {high}): {first.part}.",
            "Many stand for years all the same: trunks and roots help, and few storms meet a full crop on wet ground.",
            "GFG-2016",
        )
    ]


def _creeping(plan: Plan, creeps: Sequence[tuple[LikeRows, Creep | None]]) -> list[Notice]:
    """What an anchor that is overcome leaves behind, in the row where it costs most tension."""
    there = [(like, creep) for like, creep in creeps if creep is not None]
    if not there:
        return []
    like, creep = max(there, key=lambda item: item[1].tension_before - item[1].tension_after)
    system = plan.unit_system
    force = [shown(value, Kind.FORCE, system) for value in (creep.tension_before, creep.tension_after)]
    return [
        remark(
            f"{WHERE}, {_names(like)}",
            f"In a gust of {shown(creep.gust, Kind.SPEED, system)}, a tenth above the one at which an anchor begins to "
            "give, the end (were all else to hold) creeps by "
            f"{shown(creep.moved, Kind.LENGTH, system, digits=2)} at the top wire and stays: "
            f"at full crop the top wire then hangs with {force[1]} instead of {force[0]}.",
            "After such a storm look at every anchor; set it anew before tensioning the wires again.",
        )
    ]
