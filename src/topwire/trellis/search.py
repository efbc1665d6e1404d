"""The cheapest trellis for a row that stands in its storm: posts, wire, spacing and ends searched together.

Every check is a threshold on the load, so a stronger gust only takes choices away; costs do not depend on the load.
Hence a stronger gust never makes a cheaper trellis, nor one that a weaker gust would not also have borne.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from heapq import heapify, heappop, heappush

import numpy as np
import numpy.typing as npt

from topwire.trellis import loads
from topwire.trellis.cases import HAILED, ICED
from topwire.trellis.demand import RowDemand
from topwire.trellis.end_choice import (
    ALL_KINDS,
    DELIVERY,
    DRIVER,
    NET_CAP,
    TOP,
    EndChoice,
    EndOptions,
    cheapest_ends,
)
from topwire.trellis.holding import SOIL_FACTOR, HoldingGround
from topwire.trellis.kinds import EndKind
from topwire.trellis.kits import PostsWeighed
from topwire.trellis.losses import TREE
from topwire.trellis.materials import Post, Stock, Wire
from topwire.trellis.places import brace_room, post_positions
from topwire.trellis.wire import (
    SERVICE_SHARE,
    STEEL_EXPANSION,
    STORM_SHARE,
    loaded_tension,
    yielding_stiffness,
)
from topwire.values.braces import places_in

Floats = npt.NDArray[np.float64]
Weigh = Callable[[Floats, Floats, Floats], PostsWeighed]  # by depths, spans, cost of posts
Along = Callable[
    ["Build"], tuple[bool, float]
]  # in a storm along the row: wires hold; pull on ends over closed form

HEADROOM = 0.10  # [m] of post above the top wire
LEAST_DEPTH = 0.60  # [m]
# A tractor's driver sets a post this deep in one go; a longer one is cut off above. Common practice, no source.
GREATEST_DEPTH = 1.40  # [m]
SPANS = (1.8, 12.2)  # [m] narrowest and widest span weighed
END_GIVES = (
    1.0e5  # [N/m] for each wire: an end assembly moves 10 mm under 1 kN a wire (assumption, 50-200 weighed)
)
PRETENSION = (
    1000.0  # [N] 225 lbf at 15 deg C: a day below some 5 deg C would ask for more than is ever strung
)
PRETENSION_SHARE = 0.18  # of the breaking load on the stringing day, 17-19 % (TENSION-PRACTICE)
WASTE = 1.05  # wire bought over wire strung
WRAP = 2.0  # [m] of wire at each end, round the post and through the strainer


@dataclass(frozen=True)
class Build:
    """One trellis for one row."""

    post: Post
    depth: float  # [m]
    wire: Wire
    spacing: float  # [m] widest span allowed
    pretension: float  # [N]
    ends: EndChoice
    cost: float  # materials and labour of the row
    storm_share: float  # of the wire's breaking load in the storm across the row, closed form
    far: EndChoice | None = None  # the other end of the row, where it is built otherwise
    end_moment: float = 0.0  # [N m] of the wires about an end post's foot, closed form

    @property
    def both(self) -> tuple[EndChoice, EndChoice]:
        """The end where counting starts, and the far one."""
        return self.ends, self.far or self.ends


@dataclass(frozen=True)
class Wishes:
    """What the grower fixed, and what an hour costs."""

    spacing: float | None
    pretension: float | None
    wage: float
    drag: float
    wire_reserve: float = 1.0  # kept on the wires' share of their breaking load in the storm
    post_reserve: float = 1.0  # kept on the posts' bending
    end_reserve: float = 1.0  # kept on the wires' pull on the ends
    near_kinds: tuple[EndKind, ...] = ALL_KINDS  # of ends where counting starts
    far_kinds: tuple[EndKind, ...] = ALL_KINDS
    near_kept: float | None = (
        None  # [m] of row the ground keeps free of trees at that end; None: a brace takes places
    )
    far_kept: float | None = None
    deepest: float = GREATEST_DEPTH  # [m] that a post can be driven
    low_wire: bool = False  # strung too, for the drip line
    end_depth: float = 0.0  # [m] that end posts are driven to for the frost, where their length allows

    @property
    def ends(self) -> tuple[tuple[tuple[EndKind, ...], float | None], ...]:
        """Kinds of the end where counting starts, with the room kept for it, and of the far one."""
        return (self.near_kinds, self.near_kept), (self.far_kinds, self.far_kept)


def pretension_of(wire: Wire, wish: float | None) -> float:
    """Tension at 15 deg C: the wish, else 18 % of the breaking load and at most 1,000 N."""
    if wish is not None:
        return wish
    return min(PRETENSION, PRETENSION_SHARE * wire.breaking)


def wire_tensions(
    demand: RowDemand,
    wire: Wire,
    span: npt.ArrayLike,
    pretension: float,
    *,
    vertical: npt.ArrayLike,
    lateral: npt.ArrayLike,
    warmer: float = 0.0,
    end_gives: float = END_GIVES,
) -> Floats:
    """Tension H of each wire [N], ends that give a little; `lateral` (..., wires) [N/m]."""
    stiff = yielding_stiffness(wire.stiffness, demand.length, end_gives)
    load = np.hypot(np.asarray(vertical, dtype=float) + wire.weight, np.asarray(lateral, dtype=float))
    # stretch of the anchors relieves heat and cold in the same proportion
    return loaded_tension(
        pretension, load, np.asarray(span, dtype=float), stiff, warmer=warmer, expansion=STEEL_EXPANSION
    )


def spans_weighed(demand: RowDemand, wish: float | None) -> Floats:
    """Post spacings to weigh, widest first: whole numbers of trees between 1.8 and 12.2 m, or the one wished."""
    if wish is not None:
        return np.array([wish])
    step = demand.tree_spacing
    first, last = int(np.ceil(SPANS[0] / step)), max(int(SPANS[1] / step), 1)
    counts = np.arange(last, min(first, last) - 1, -1)
    return np.asarray(counts * step, dtype=float)


def search(
    demand: RowDemand,
    stock: Stock,
    ground: HoldingGround,
    gust: float,
    wishes: Wishes,
    *,
    floor: float = 0.0,
    weigh: Weigh | None = None,
    least: float = 0.0,
    members: Sequence[RowDemand] = (),
    along: Along | None = None,
) -> Build | None:
    """The cheapest build that stands, posts at least `floor` deep; None where none does.

    `members` are the lengths of wire that get the build and whose cost is counted, where there are more than that of
    `demand`, which is what each of them has to bear.

    With `weigh` posts stand where by it they stand the gust `least`, and what falls with them over the years counts
    with their cost; wires and ends stand in `gust` all the same. With `along` they have to hold that storm too, each
    wire at each span with ends of its own for it. Ties go to the earlier row of the catalogue, then to the wider
    spacing.
    """
    spans = spans_weighed(demand, wishes.spacing)
    top = float(demand.heights[-1])
    depths = usable_depths(stock, top, wishes.deepest)
    lateral = demand.lateral(gust, wishes.drag, cropped=True, wet=True)
    members = members or (demand,)
    counts = np.array([sum(line_posts(one, s) for one in members) for s in spans])
    wires_strung = len(demand.heights) + wishes.low_wire
    net = demand.net is not None
    each = np.array([posts_cost(stock, post, wires_strung, wishes.wage, net=net) for post in stock.posts])
    post_cost = each[:, None] * counts
    if weigh is None:
        fits = posts_stand(demand, stock, ground, gust, wishes, depths, spans)
    else:
        weighed = weigh(depths, spans, post_cost)
        fits, post_cost = weighed.stands >= max(least, 1e-9), post_cost + weighed.loss
    fits = fits & (depths >= max(floor, LEAST_DEPTH) - 1e-9)[:, None]
    if not fits.any():
        return None
    post_cost = np.where(fits, post_cost, np.inf)
    best_post = post_cost.argmin(axis=0)
    per_span = post_cost.min(axis=0)
    stringing = _fitting(stock, "wire stringing", wishes.wage)
    strung = wire_cases(demand, stock.wires, spans, wishes, lateral)
    wires, places = np.nonzero(strung.holds & np.isfinite(per_span))
    options = EndOptions.of(stock, top, ground, wishes.deepest, lambda reach: room_cost(demand, reach))
    pulls = strung.tension[wires, places]
    metres = sum(one.length for one in members) * wires_strung
    bought = sum(one.length * WASTE + 2 * WRAP for one in members) * wires_strung

    def built(which: npt.NDArray[np.int64], reserve: float) -> list[tuple[int, Build]]:
        """Those of the wires and spans that find ends which hold `reserve` times the wires' pull."""
        near, far = (
            cheapest_ends(options, pulls[which] * reserve, demand.heights, wishes.wage, kinds, kept)
            for kinds, kept in wishes.ends
        )
        found = []
        for at, end, other in zip(which.tolist(), near, far, strict=True):
            index, s = int(wires[at]), int(places[at])
            if end is None or other is None or not braces_fit(members, (end, other), float(spans[s])):
                continue
            wire, post = stock.wires[index], int(best_post[s])
            run = bought * wire.price + metres * stringing
            end, other = (driven_down(one, top, wishes) for one in (end, other))
            build = Build(
                stock.posts[post],
                float(depths[post]),
                wire,
                float(spans[s]),
                pretension_of(wire, wishes.pretension),
                end,
                float(per_span[s] + run + (end.cost + other.cost) * len(members)),
                float(strung.storm[index, s]) / wire.breaking,
                other if other != end else None,
                float(pulls[at] @ demand.heights),
            )
            found.append((at, build))
        return found

    # the cheapest first; what costs more once it is seen along the row waits for its turn again
    waiting = [
        (round(build.cost, 6), at, False, build)
        for at, build in built(np.arange(len(wires)), wishes.end_reserve)
    ]
    heapify(waiting)
    while waiting:
        _, at, seen, build = heappop(waiting)
        if seen or along is None:
            return build
        holds, pull = along(build)
        if not holds:
            continue
        stronger = [one for _, one in built(np.array([at]), 1.01 * pull)] if pull > 1 else [build]
        for one in stronger:
            heappush(waiting, (round(one.cost, 6), at, True, one))
    return None


def posts_cost(stock: Stock, post: Post, wires: int, wage: float, *, net: bool = False) -> float:
    """One line post, set, with its staples, and its cap where a net runs over it."""
    driven = post.minutes / 60 * (wage + (stock.fittings[DRIVER].price or 0.0))
    staples = wires * _fitting(stock, "barbed fence staple", wage)
    cap = _fitting(stock, NET_CAP, wage) if net else 0.0
    return post.price + driven + staples + cap + _fitting(stock, DELIVERY, wage)


def line_posts(member: RowDemand, widest: float) -> int:
    """Line posts of one length of wire."""
    posts = post_positions(
        member.length, first_tree=member.first_tree, tree_spacing=member.tree_spacing, widest=widest
    )
    return len(posts) - 2


def driven_down(end: EndChoice, top: float, wishes: Wishes) -> EndChoice:
    """An end with its post driven as deep as frost asks, as far as its length and the driver reach.

    It was chosen for standing less deep, as a leaning one does: deeper it only holds more. Its depth is along the post,
    the frost's straight down.
    """
    upright = float(np.cos(np.radians(end.lean)))
    reached = min(end.post.length - (top + TOP) / upright, wishes.deepest)
    return replace(end, depth=max(end.depth, min(wishes.end_depth / upright, reached)))


def room_cost(demand: RowDemand, reach: float) -> float:
    """Worth of the tree places that a brace of this reach takes from a row."""
    room = brace_room(EndKind.DIAGONAL, reach)
    return TREE * places_in(room, first_tree=demand.first_tree, tree_spacing=demand.tree_spacing)


def braces_fit(members: Sequence[RowDemand], ends: tuple[EndChoice, EndChoice], span: float) -> bool:
    """Whether the first line post stands beyond each brace and no farther than the span, and both braces find room."""
    rooms = [brace_room(end.kind, end.anchor_distance) for end in ends]
    if not any(rooms):
        return True
    return all(
        sum(rooms) <= one.length and (line_posts(one, span) == 0 or max(rooms) + one.tree_spacing <= span)
        for one in members
    )


def usable_depths(stock: Stock, top: float, deepest: float = GREATEST_DEPTH) -> Floats:
    """How deep each post of the stock can stand under a top wire [m]."""
    return np.minimum(np.array([post.length for post in stock.posts]) - top - HEADROOM, deepest)


def posts_stand(
    demand: RowDemand,
    stock: Stock,
    ground: HoldingGround,
    gust: float,
    wishes: Wishes,
    depths: Floats,
    spans: Floats,
) -> npt.NDArray[np.bool_]:
    """(posts, spans) deep enough, and bending and soil both hold in the storm at full crop."""
    force, moment = demand.on_posts(gust, wishes.drag, cropped=True, wet=True)
    bears = np.array([post.moment for post in stock.posts])
    widths = np.array([post.diameter for post in stock.posts])
    arm = float(moment / force)
    holds = np.where(depths > 0, ground.post(np.maximum(depths, 1e-3), arm, widths), 0.0) / SOIL_FACTOR
    # the greatest moment sits below the ground, where the soil has pushed back half the shear: see ground_moment
    bend = moment * spans[None, :] * ground_moment(ground, float(force), arm, widths[:, None], spans[None, :])
    return np.asarray(
        (depths >= LEAST_DEPTH - 1e-9)[:, None]
        & (bend * wishes.post_reserve <= bears[:, None])
        & (float(force) * spans[None, :] <= holds[:, None])
    )


def ground_moment(
    ground: HoldingGround, force: npt.ArrayLike, arm: npt.ArrayLike, width: npt.ArrayLike, span: npt.ArrayLike
) -> Floats:
    """Greatest moment of a post over its moment at grade, soil at its ultimate pressure above the turning point.

    Clay: the shear is used up over 1.5 b + f, f = H / (9 cu b), adding H (1.5 b + f/2). Sand: over
    f = sqrt(2 H / (3 gamma b Kp)), adding 2/3 H f. [BROMS64, MEMORY]
    """
    h, width, arm = np.asarray(force) * np.asarray(span), np.asarray(width), np.asarray(arm)
    if ground.sand:
        kp = np.tan(np.radians(45 + ground.strength / 2)) ** 2
        below = 2 / 3 * np.sqrt(2 * h / (3 * ground.unit_weight * width * kp))
    else:
        below = 1.5 * width + h / (9 * ground.strength * width) / 2
    return np.asarray(1 + below / arm)


@dataclass(frozen=True)
class WireCases:
    """Every wire of the catalogue at every span."""

    tension: Floats  # (catalogue, spans, wires) [N] greatest of the cases
    storm: Floats  # (catalogue, spans) [N] the heaviest wire in the storm
    holds: npt.NDArray[np.bool_]  # (catalogue, spans)


def wire_cases(
    demand: RowDemand, stock: tuple[Wire, ...], spans: Floats, wishes: Wishes, lateral: Floats
) -> WireCases:
    """Greatest tension in storm, still air and ice, and whether the wire keeps its shares of the breaking load."""

    def column(values: list[float]) -> Floats:
        return np.asarray(values, dtype=float)[:, None, None]

    stiff = column([float(yielding_stiffness(w.stiffness, demand.length, END_GIVES)) for w in stock])
    start = column([pretension_of(w, wishes.pretension) for w in stock])
    own = column([w.weight for w in stock])
    breaking = column([w.breaking for w in stock])[..., 0]
    span = spans[None, :, None]
    still_load = demand.vertical + own
    storm = loaded_tension(start, np.hypot(still_load, lateral), span, stiff)
    still = loaded_tension(start, still_load, span, stiff)
    ice = column([float(loads.ice_weight(w.diameter, ICED.ice)) for w in stock])
    cold = loaded_tension(start, own + ice, span, stiff, warmer=ICED.warmer)
    tension = np.maximum(np.maximum(storm, still), cold)
    in_net = np.zeros(len(demand.heights))
    in_net[-1] = demand.on_net(HAILED)
    hailed = loaded_tension(start, still_load + in_net, span, stiff)
    tension = np.maximum(tension, hailed)
    holds = (
        (hailed.max(axis=2) <= STORM_SHARE * breaking)
        & (storm.max(axis=2) <= STORM_SHARE * breaking / wishes.wire_reserve)
        & (still.max(axis=2) <= SERVICE_SHARE * breaking)
        & (cold.max(axis=2) <= SERVICE_SHARE * breaking)
    )
    return WireCases(tension, storm.max(axis=2), holds)


def _fitting(stock: Stock, item: str, wage: float) -> float:
    row = stock.fittings[item]
    return (row.price or 0.0) + (row.minutes or 0.0) / 60 * wage


def search_down(
    demand: RowDemand, stock: Stock, ground: HoldingGround, gust: float, wishes: Wishes
) -> Build | None:
    """As `search`, from the stiffest step of ground down to this one, no post shallower than on the step before.

    Without it a soft ground could get many shallow posts close together; they would hold on paper.
    """
    floor, found = 0.0, None
    for step in ground.stiffer_steps():
        found = search(demand, stock, step, gust, wishes, floor=floor)
        if found is not None:
            floor = max(floor, found.depth)
    return found
