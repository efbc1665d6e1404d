"""Which end assembly, end post and anchor hold the wires of a row at least cost."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.trellis.anchors import ANCHOR_FACTOR
from topwire.trellis.holding import SOIL_FACTOR, HoldingGround
from topwire.trellis.kinds import EndKind
from topwire.trellis.materials import AnchorRow, Post, Stock, TrellisFittingRow
from topwire.values.braces import CLEAR, RAIL, STRUT_REACHES

Floats = npt.NDArray[np.float64]

ALL_KINDS = tuple(EndKind)
LEANS = (0.0, 10.0, 17.0)  # [deg] end post away from the row; 15-18 is the trade's (GFG-CONSTRUCT)
MOST_ANCHORS = 3  # side by side at one end
CABLE_BREAKS = 31e3  # [N] 1/4 in galvanised cable (MEMORY)
LEAST_END_DEPTH, GREATEST_END_DEPTH = 0.9, 1.8  # [m]
FOOT_WIDTH, FOOT_DEPTH = 0.3, 0.6  # [m] face of one pad under a diagonal, dug in on edge across the row
MOST_FEET = 4  # pads side by side under one strut
STRUT_FACTOR = 2.0  # on the push that buckles a rail or strut (customary)
STRUT_MINUTES = 10.0  # to saw and fit it
BRACE_LEVEL = 0.75  # of the top wire's height: where rail or strut meets the end post
TOP = 0.15  # [m] of end post above the top wire
DRIVER, DIGGER, DELIVERY = "post driver hire", "digger hire", "delivery of a post"
NET_CAP = "post cap for a net"


@dataclass(frozen=True)
class EndChoice:
    """One end of a row."""

    kind: EndKind
    post: Post
    depth: float  # [m]
    lean: float  # [deg]
    anchor: AnchorRow | None
    anchors: int
    anchor_distance: float  # [m] from the end post's foot, or length of rail or reach of strut
    cost: float
    member: float  # [N] in guy, brace wire or strut, design case
    anchor_holds: float  # [N] ultimate of all anchors together; 0 where there is none
    strut: Post | None = None  # that rail or strut is cut from
    feet: int = 0  # pads under a diagonal's strut


@dataclass(frozen=True)
class EndOptions:
    """What every row of one height in one ground may choose from."""

    stock: Stock
    top: float
    ground: HoldingGround
    posts: tuple[tuple[Post, float], ...]  # with depth, cheapest first
    sideways: Floats  # (posts,) [N] push each foot bears, factor in it
    grip: Floats  # (posts,) [N] pull each bears out of the ground, factor in it
    room_costs: Callable[[float], float]  # what the places are worth that a brace of this reach [m] takes

    @staticmethod
    def of(
        stock: Stock,
        top: float,
        ground: HoldingGround,
        deepest: float = GREATEST_END_DEPTH,
        room_costs: Callable[[float], float] = lambda reach: 0.0,
    ) -> "EndOptions":
        lean = float(np.cos(np.radians(LEANS[-1])))
        posts = [
            (post, depth)
            for post in stock.posts
            if (depth := min(post.length - (top + TOP) / lean, deepest)) >= LEAST_END_DEPTH
        ]
        posts.sort(key=lambda item: item[0].price)
        depths = np.array([depth for _, depth in posts])
        widths = np.array([post.diameter for post, _ in posts])
        return EndOptions(
            stock,
            top,
            ground,
            tuple(posts),
            ground.post(depths, 0.0, widths) / SOIL_FACTOR,
            ground.uplift(depths, widths) / SOIL_FACTOR,
            room_costs,
        )

    def hired(self, item: str, minutes: float) -> float:
        """Hire for so many minutes."""
        return minutes / 60 * (self.stock.fittings[item].price or 0.0)

    @property
    def delivery(self) -> float:
        return self.stock.fittings[DELIVERY].price or 0.0


def guy_geometry(top: float, lean: float) -> tuple[float, float]:
    """Slope [rise over run] and anchor distance [m] of a guy: the anchor as far out as the post is high."""
    return top / (top - top * float(np.tan(np.radians(lean)))), top


def guy_length(distance: float) -> float:
    """Cable of one guy [m], from an anchor so far behind the post, with both loops."""
    return 1.5 * distance + 1.0


def brace_wire(rail: float) -> float:
    """Cable of the doubled brace wire [m] of an H-brace with a rail so long."""
    return 2 * (rail + 1.0)


def guy_force(moment: npt.ArrayLike, top: float, lean: float, slope: float | None = None) -> Floats:
    """Guy tension [N] that holds the wires' ground moment; `slope` of the guy where it is not the usual one."""
    slope = guy_geometry(top, lean)[0] if slope is None else slope
    angle, tilt = np.arctan(slope), np.tan(np.radians(lean))
    return np.asarray(np.asarray(moment, dtype=float) / (top * (np.cos(angle) + tilt * np.sin(angle))))


def cheapest_ends(
    options: EndOptions,
    tensions: Floats,
    heights: Floats,
    wage: float,
    kinds: tuple[EndKind, ...],
    kept: float | None = None,
) -> Sequence[EndChoice | None]:
    """For every line of `tensions` (cases, wires) the cheapest end of these `kinds` that holds, or None.

    A brace is weighed where it stands within the row [m] `kept` free of trees; None: wherever it is.
    """
    best: list[EndChoice | None] = [None] * len(tensions)
    for kind in kinds:
        for index, found in enumerate(_of_kind(options, kind, tensions, heights, wage, kept)):
            held = best[index]
            if found is not None and (held is None or found.cost < held.cost - 1e-9):
                best[index] = found
    return best


def _of_kind(
    options: EndOptions, kind: EndKind, tensions: Floats, heights: Floats, wage: float, kept: float | None
) -> list[EndChoice | None]:
    if kind is EndKind.TIE_BACK:
        return _tie_backs(options, tensions, heights, wage)
    return _braces(options, kind, tensions, heights, wage, kept)


def _tie_backs(options: EndOptions, tensions: Floats, heights: Floats, wage: float) -> list[EndChoice | None]:
    total, moment = tensions.sum(axis=1), tensions @ heights
    best: list[EndChoice | None] = [None] * len(tensions)
    fittings = options.stock.fittings
    for lean in LEANS:
        slope, distance = guy_geometry(options.top, lean)
        guy = guy_force(moment, options.top, lean)
        cable = guy_length(distance)
        fixing = (fittings["guy cable 1/4 in"].price or 0) * cable + 6 * _with_time(
            fittings["cable clamp"], wage
        )
        anchored = _anchors(options, guy, slope, wage)
        foot = total - guy * np.cos(np.arctan(slope))
        bend = beam_moment(tensions, heights, options.top) / np.cos(np.radians(lean))
        posts = _end_posts(options, bend, np.abs(foot), np.zeros_like(foot), wage)
        for i in range(len(tensions)):
            anchor, post = anchored[i], posts[i]
            if anchor is None or post is None or guy[i] > CABLE_BREAKS / 2 * anchor[1]:
                continue
            row, count, holds, price = anchor
            cost = price + post[2] + fixing * count
            held = best[i]
            if held is None or cost < held.cost - 1e-9:
                best[i] = EndChoice(
                    EndKind.TIE_BACK, post[0], post[1], lean, row, count, distance, cost, float(guy[i]), holds
                )
    return best


def _braces(
    options: EndOptions, kind: EndKind, tensions: Floats, heights: Floats, wage: float, kept: float | None
) -> list[EndChoice | None]:
    """H-brace (two posts and a rail) or a diagonal strut; the rail is at 0.75 of the top wire's height."""
    best: list[EndChoice | None] = [None] * len(tensions)
    for reach in reaches_in(kind, options.top, kept):
        taken = options.room_costs(reach) if kept is None else 0.0
        for i, found in enumerate(_braces_of(options, kind, reach, tensions, heights, wage, taken)):
            held = best[i]
            if found is not None and (held is None or found.cost < held.cost - 1e-9):
                best[i] = found
    return best


def reaches_in(kind: EndKind, top: float, kept: float | None) -> tuple[float, ...]:
    """Reaches [m] of a brace that stand, with what is kept clear of them, in so much row without trees."""
    every = (RAIL,) if kind is EndKind.H_BRACE else tuple(share * top for share in STRUT_REACHES)
    return tuple(reach for reach in every if kept is None or reach + CLEAR <= kept + 1e-6)


def _braces_of(
    options: EndOptions,
    kind: EndKind,
    reach: float,
    tensions: Floats,
    heights: Floats,
    wage: float,
    taken: float,
) -> list[EndChoice | None]:
    """Braces of one rail, or of one distance from the end post to the strut's foot; `taken` in trees' worth."""
    total, moment = tensions.sum(axis=1), tensions @ heights
    level = BRACE_LEVEL * options.top
    slant = float(np.hypot(level, reach))
    push, member, lift = brace_forces(moment, level, reach)
    hip = kind is EndKind.H_BRACE
    posts = _end_posts(
        options,
        beam_moment(tensions, heights, level),
        total if hip else np.abs(total - push),
        lift,
        wage,
    )
    struts = _struts(options, push if hip else member, reach if hip else slant)
    fittings = options.stock.fittings
    pins = 2 * _with_time(fittings["brace pin"], wage)
    cable = (fittings["guy cable 1/4 in"].price or 0) * brace_wire(reach)
    foot, one = _with_time(fittings["strut foot"], wage), options.ground.face(FOOT_DEPTH, FOOT_WIDTH)
    best: list[EndChoice | None] = []
    for i, (post, strut) in enumerate(zip(posts, struts, strict=True)):
        feet = 0 if hip else int(np.ceil(push[i] * SOIL_FACTOR / one - 1e-9))
        if post is None or strut is None or feet > MOST_FEET or (hip and member[i] > CABLE_BREAKS):
            best.append(None)  # a brace cable has two strands, factor two
            continue
        sawn = strut.price + STRUT_MINUTES / 60 * wage + options.delivery + taken
        cost = post[2] + sawn + pins + (post[2] + cable if hip else feet * foot)
        best.append(
            EndChoice(
                kind, post[0], post[1], 0.0, None, 0, reach, cost, float(member[i]), 0.0,
                strut=strut, feet=feet,
            )
        )  # fmt: skip
    return best


def brace_forces(moment: Floats, level: float, reach: float) -> tuple[Floats, Floats, Floats]:
    """Sideways push at `level`, force in the brace wire or strut, pull of the end post out of the ground. [N]"""
    push = moment / level
    return push, push * np.hypot(level, reach) / reach, moment / reach


def brace_holds(end: EndChoice, top: float, ground: HoldingGround) -> float:
    """Ultimate moment [N m] of the wires about a braced end post's foot: its grip, its rail or strut, cable or feet."""
    level, reach = BRACE_LEVEL * top, end.anchor_distance
    slant = float(np.hypot(level, reach))
    grip = reach * float(ground.uplift(end.depth, end.post.diameter))
    wood = end.strut or end.post
    if end.kind is EndKind.H_BRACE:
        return min(grip, level * buckling_load(wood, reach), level * 2 * CABLE_BREAKS * reach / slant)
    feet = end.feet * ground.face(FOOT_DEPTH, FOOT_WIDTH)
    return min(grip, level * feet, level * buckling_load(wood, slant) * reach / slant)


def buckling_load(strut: Post, length: float) -> float:
    """Push [N] at which a straight pinned strut buckles: pi^2 EI / L^2 (Euler)."""
    return float(np.pi**2 * strut.bending / length**2)


def _struts(options: EndOptions, push: Floats, length: float) -> list[Post | None]:
    """Cheapest post long enough for a rail or strut of `length` [m] that bears each push twice over."""
    long = sorted((post for post in options.stock.posts if post.length >= length), key=lambda p: p.price)
    bears = np.array([buckling_load(post, length) / STRUT_FACTOR for post in long])
    return [next((long[k] for k in np.flatnonzero(bears >= p)), None) for p in push]


def _end_posts(
    options: EndOptions, bend: Floats, foot: Floats, uplift: Floats, wage: float
) -> list[tuple[Post, float, float] | None]:
    """Cheapest post for each case: bending, sideways push of the foot, pull out of the ground."""
    best: list[tuple[Post, float, float] | None] = [None] * len(bend)
    for (post, depth), sideways, grip in zip(options.posts, options.sideways, options.grip, strict=True):
        # an end post takes six minutes where a line post takes four (LAB-FRASER99)
        minutes = post.minutes + 2
        cost = post.price + minutes / 60 * wage + options.hired(DRIVER, minutes) + options.delivery
        for i in np.flatnonzero((bend <= post.moment) & (foot <= sideways) & (uplift <= grip)):
            held = best[i]
            if held is None or cost < held[2] - 1e-9:
                best[i] = (post, depth, cost)
    return best


def _anchors(
    options: EndOptions, guy: Floats, slope: float, wage: float
) -> list[tuple[AnchorRow, int, float, float] | None]:
    """Cheapest anchor and number for each guy force: row, number, ultimate together, cost."""
    best: list[tuple[AnchorRow, int, float, float] | None] = [None] * len(guy)
    for row in options.stock.anchors:
        one = options.ground.anchor(row, slope)
        price = (row.price or 0.0) + (row.minutes or 0.0) / 60 * wage
        if row.kind == "log":
            price += options.hired(DIGGER, row.minutes or 0.0)
        for count in range(1, MOST_ANCHORS + 1):
            for i in np.flatnonzero(guy <= one * count / ANCHOR_FACTOR):
                held = best[i]
                if held is None or price * count < held[3] - 1e-9:
                    best[i] = (row, count, one * count, price * count)
    return best


def beam_moment(tensions: Floats, heights: Floats, support: float) -> Floats:
    """Greatest moment in a post held at foot and `support` (cases,), wires along it."""
    t, z = np.asarray(tensions, dtype=float), np.asarray(heights, dtype=float)
    places = np.append(z, support)
    held = (t @ z / support)[:, None] * np.maximum(support - places, 0)
    pulled = t @ np.maximum(z[:, None] - places[None, :], 0)
    return np.asarray(np.abs(held - pulled).max(axis=1))


def _with_time(row: TrellisFittingRow, wage: float) -> float:
    return (row.price or 0.0) + (row.minutes or 0.0) / 60 * wage
