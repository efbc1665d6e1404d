"""A fence or wall that stands already as the support: eyes on its posts, air behind the tree, and what it has to bear.

The wires' pull on the end posts counts as well as the wind; where the posts bear it not, the cheapest cure is named.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from topwire.trellis import wind
from topwire.trellis.asked import StandingFence
from topwire.trellis.demand import RowDemand
from topwire.trellis.end_choice import (
    BRACE_LEVEL,
    FOOT_DEPTH,
    FOOT_WIDTH,
    STRUT_MINUTES,
    beam_moment,
    buckling_load,
)
from topwire.trellis.fence_findings import FenceSupport
from topwire.trellis.holding import SOIL_FACTOR, HoldingGround
from topwire.trellis.kinds import FenceCure
from topwire.trellis.materials import Post, Stock, Wire
from topwire.trellis.row_frame import LINE_WEIGHT
from topwire.trellis.wire import loaded_tension, yielding_stiffness
from topwire.values.arrays import Floats
from topwire.values.braces import CLEAR, STRUT_REACHES

WALL_DRAG = 1.3  # long solid wall, 1.3-1.4 (ASCE 7, MEMORY)
WIDEST_FIXING = 2.4  # [m] usual spacing of fence posts, 8 ft; common practice
GARDEN_PRETENSION = 450.0  # [N] 100 lbf: a fence is no anchor; common practice
SLACK_PRETENSION = 200.0  # [N] with a spring: taut by hand
SPRING = 2.0e4  # [N/m] of a tension spring in line with a wire (proposal, as sold for fences)
# Withdrawal of a 3/8 in screw eye, 2 in of thread in softwood, half of the textbook value for weathered wood (MEMORY).
EYE_HOLDS = 1200.0  # [N]
USUAL_DEPTH = 0.9  # [m] that posts of a high garden fence stand in the ground; common practice, no source
LEAST_DEPTH, GREATEST_DEPTH = 0.3, 3.0  # [m] of an end post searched
REACH_STEP = 0.05  # [m] a pad is moved out of a trunk's way by


@dataclass(frozen=True)
class _Strung:
    """The wires of the fence one way, and what their ends ask of an end post."""

    cure: FenceCure
    pretension: float
    tension: Floats  # (wires,) [N] in the storm
    bends: float  # [N m] greatest moment in an end post
    ground: float  # share of what soaked ground holds, factor in it
    cost: float
    strut: Post | None = None
    reaches: tuple[float, float] | None = None  # [m] of the struts' pads from the end posts


def support_by_fence(
    row: str,
    demand: RowDemand,
    stock: Stock,
    ground: HoldingGround,
    *,
    gust: float,
    drag: float,
    wage: float,
    fence: StandingFence,
    low_wire: float | None = None,
) -> FenceSupport:
    """What wires with trees ask of a fence, what its posts bear of it, and the cheapest cure where they do not.

    The leaves do not add to the wind on a solid wall behind them, but on an open fence they are new. A fence open to
    the wind is the worse case and is the one sized for. Eyes stand on the fence's own posts, the first of them at the
    row's start; where their spacing is not known the usual one is taken. Where the thickness of the posts is known,
    they are held against the loads: wood of the weakest post in stock, bending with its thickness cubed.
    """
    spacing = fence.post_spacing or WIDEST_FIXING
    spans = max(int(np.ceil(demand.length / spacing - 1e-9)), 1)
    run = spans * spacing
    wire = stock.wires[0]
    lateral = demand.lateral(gust, drag, cropped=True, wet=True)
    heights, load = wires_strung(demand, wire, lateral, low_wire)
    pressure = demand.pressure_at_1 * gust**2
    _, moment = demand.on_posts(gust, drag, cropped=True, wet=True)
    _, wall = wind.band_force(0.0, float(demand.heights[-1]), inner=False)
    leaves_moment, wall_moment = float(moment), float(WALL_DRAG * pressure * wall)
    depth = fence.depth or USUAL_DEPTH
    weakest = min(post.moment / post.diameter**3 for post in stock.posts)
    bears = None if fence.thickness is None else weakest * fence.thickness**3
    taut = loaded_tension(GARDEN_PRETENSION, load, spacing, wire.stiffness)
    need = float(np.cbrt(float(taut @ heights) / weakest))
    post = _EndPost(ground, fence.thickness or need, depth)
    reaches = clear_reaches(demand, float(heights[-1]), run, spacing)
    ways = list(_ways(heights, stock, wire, load, spacing, run, post, wage, reaches))
    plain = ways[0]
    cured = [way for way in ways if (bears is None or way.bends <= bears) and way.ground <= 1]
    chosen = min(cured, key=lambda way: way.cost) if cured else ways[-1]
    needed = [post for post in stock.posts if post.moment >= max(leaves_moment * spacing, 1e-9)]
    smallest = min(needed, key=lambda post: (post.diameter, post.price), default=None)
    pull = float(chosen.tension.sum())
    ends = float(chosen.tension @ heights)
    return FenceSupport(
        row=row,
        wire_heights=tuple(float(z) for z in demand.heights),
        fixings=(spans + 1) * len(heights),
        fixing_spacing=spacing,
        run=run,
        spacing_known=fence.post_spacing is not None,
        pull_on_fixing=float(lateral.max() * spacing),
        eye_share=float(lateral.max() * spacing) / EYE_HOLDS,
        pull_at_end=pull,
        end_moment=ends,
        moment_per_metre=leaves_moment,
        wall_moment_per_metre=wall_moment,
        post_needed=smallest.name if smallest else None,
        post_every=spacing,
        pretension=chosen.pretension,
        cure=chosen.cure,
        cure_cost=chosen.cost,
        strut=chosen.strut.name if chosen.strut else None,
        strut_reaches=chosen.reaches,
        end_thickness=need,
        post_depth=depth,
        depth_known=fence.depth is not None,
        ground_share=plain.ground,
        end_depth=post.needed_depth(pull, ends / pull),
        leaves_share=None if bears is None else leaves_moment * spacing / bears,
        wall_share=None if bears is None else wall_moment * spacing / bears,
        end_share=None if bears is None else plain.bends / bears,
        cured_share=None if bears is None else chosen.bends / bears,
        low_wire=low_wire,
    )


def clear_reaches(demand: RowDemand, top: float, run: float, spacing: float) -> tuple[float, float] | None:
    """How far [m] from the first and the last eye's post a strut's pad stands, the shortest that is clear.

    Of trunks, of the fence's own posts, which stand `spacing` apart, and of each other. None where there is no such
    place at one of the ends.
    """
    trees = np.arange(demand.first_tree, demand.length + 1e-9, demand.tree_spacing)
    standing = np.concatenate([trees, np.arange(0.0, run + 1e-9, spacing)])
    tried = np.arange(STRUT_REACHES[0] * top, STRUT_REACHES[-1] * top + 1e-9, REACH_STEP)

    def clear(pads: Floats) -> Floats:
        free = np.abs(pads[:, None] - standing).min(axis=1)
        return np.asarray(tried[free >= CLEAR - 1e-6])

    near, far = clear(tried), clear(run - tried)
    if not (near.size and far.size) or near[0] + far[0] + CLEAR > run:
        return None
    return float(near[0]), float(far[0])


def wires_strung(
    demand: RowDemand, wire: Wire, lateral: Floats, low_wire: float | None
) -> tuple[Floats, Floats]:
    """Height [m] and load [N/m] of every wire, lowest first; the low one carries a filled drip line and no leaves."""
    load = np.hypot(lateral, demand.vertical + wire.weight)
    if low_wire is None:
        return demand.heights, load
    return np.append(low_wire, demand.heights), np.append(wire.weight + LINE_WEIGHT, load)


@dataclass(frozen=True)
class _EndPost:
    """An end post of the fence in soaked ground."""

    soil: HoldingGround
    width: float  # [m]
    depth: float  # [m]

    def free(self, pull: float, height: float) -> float:
        """Share of what the ground holds, factor in it, of a pull [N] at `height` [m]."""
        return SOIL_FACTOR * pull / float(self.soil.post(self.depth, height, self.width))

    def propped(self, pull: float, moment: float, level: float, reach: float) -> float:
        """The same of a post propped at `level` by a strut that stands `reach` away: its foot, its grip, the pad."""
        push = moment / level
        foot = SOIL_FACTOR * abs(pull - push) / float(self.soil.post(self.depth, 0.0, self.width))
        grip = SOIL_FACTOR * moment / reach / float(self.soil.uplift(self.depth, self.width))
        return max(foot, grip, SOIL_FACTOR * push / self.soil.face(FOOT_DEPTH, FOOT_WIDTH))

    def needed_depth(self, pull: float, height: float) -> float:
        """Depth [m] at which the ground holds the post without struts."""
        depths = np.arange(LEAST_DEPTH, GREATEST_DEPTH + 1e-9, 0.01)
        holds = self.soil.post(depths, height, self.width) >= SOIL_FACTOR * pull
        return float(depths[int(holds.argmax())]) if holds.any() else GREATEST_DEPTH


def _ways(
    heights: Floats,
    stock: Stock,
    wire: Wire,
    load: Floats,
    spacing: float,
    run: float,
    post: _EndPost,
    wage: float,
    reaches: tuple[float, float] | None,
) -> Iterator[_Strung]:
    """As it is strung without more; then slack on springs, propped by struts, both; last posts of its own."""
    level = BRACE_LEVEL * float(heights[-1])
    spring = stock.fittings["tension spring"]
    springs = len(heights) * ((spring.price or 0.0) + (spring.minutes or 0.0) / 60 * wage)
    taut = loaded_tension(GARDEN_PRETENSION, load, spacing, wire.stiffness)
    slack = loaded_tension(
        SLACK_PRETENSION, load, spacing, yielding_stiffness(wire.stiffness, run, 2 * SPRING)
    )

    def free(cure: FenceCure, start: float, tension: Floats, cost: float) -> _Strung:
        pull, moment = float(tension.sum()), float(tension @ heights)
        return _Strung(cure, start, tension, moment, post.free(pull, moment / pull), cost)

    yield free(FenceCure.NONE, GARDEN_PRETENSION, taut, 0.0)
    yield free(FenceCure.SPRINGS, SLACK_PRETENSION, slack, springs)
    for cure, start, tension, more in (
        (FenceCure.STRUTS, GARDEN_PRETENSION, taut, 0.0),
        (FenceCure.SPRINGS_AND_STRUTS, SLACK_PRETENSION, slack, springs),
    ):
        found = _struts(stock, tension, heights, level, wage, reaches) if reaches else None
        if found is not None and reaches is not None:
            strut, cost = found
            bends = float(beam_moment(tension[None, :], heights, level)[0])
            holds = post.propped(float(tension.sum()), float(tension @ heights), level, min(reaches))
            yield _Strung(cure, start, tension, bends, holds, more + cost, strut, reaches)
    own = min(stock.posts, key=lambda one: (one.length < float(heights[-1]) + USUAL_DEPTH, one.price))
    yield free(FenceCure.OWN_POSTS, GARDEN_PRETENSION, taut, 4 * own.price)


def _struts(
    stock: Stock,
    tension: Floats,
    heights: Floats,
    level: float,
    wage: float,
    reaches: tuple[float, float],
) -> tuple[Post, float] | None:
    """A strut for each end and its pad: post, cost of both; None where no post is long and stout enough."""
    pushed = [
        (slant, float(tension @ heights) / level * slant / reach)
        for reach in reaches
        for slant in (float(np.hypot(level, reach)),)
    ]
    fit = [
        post
        for post in stock.posts
        if all(post.length >= slant and buckling_load(post, slant) >= 2 * push for slant, push in pushed)
    ]
    if not fit:
        return None
    strut = min(fit, key=lambda post: post.price)
    pieces = (("strut foot", 1), ("brace pin", 2))
    fittings = sum(
        many * ((stock.fittings[item].price or 0.0) + (stock.fittings[item].minutes or 0.0) / 60 * wage)
        for item, many in pieces
    )
    return strut, 2 * (strut.price + STRUT_MINUTES / 60 * wage + fittings)
