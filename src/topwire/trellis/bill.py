"""What to buy, how long it takes, and in which order it is built."""

from collections import defaultdict
from collections.abc import Sequence

from topwire.trellis.end_choice import (
    DELIVERY,
    DIGGER,
    DRIVER,
    NET_CAP,
    STRUT_MINUTES,
    EndChoice,
    brace_wire,
    guy_length,
)
from topwire.trellis.kinds import BuildStep, EndKind
from topwire.trellis.materials import Post, PriceOrigin, Stock, Wire
from topwire.trellis.search import WASTE, WRAP, Build
from topwire.values.bill import BillLine, SoldBy

HANGERS_APART = 0.9  # [m] of the drip line's clips on its wire, common practice
TIES_APART = 1.5  # [m] of a net's edges, on both sides of a row, common practice
NET_TIE = "net tie"
CRIMPER, TOOLS = (
    "crimping tool",
    ("wire tension gauge", "spinning jenny"),
)  # one of each, the latter for rows of wires
_SOLD_BY = {"m": SoldBy.LENGTH, "h": SoldBy.HOUR}


class Basket:
    """Items summed by name, with the hours they take."""

    def __init__(self, stock: Stock) -> None:
        self.stock = stock
        self.lines: dict[tuple[str, SoldBy], float] = defaultdict(float)
        self.prices: dict[str, tuple[float | None, PriceOrigin]] = {}
        self.minutes = 0.0

    def add(
        self,
        item: str,
        quantity: float,
        sold_by: SoldBy,
        *,
        price: float | None,
        origin: PriceOrigin,
        minutes: float = 0.0,
    ) -> None:
        self.lines[item, sold_by] += quantity
        self.prices[item] = (price, origin)
        self.minutes += quantity * minutes

    def posts(self, post: Post, number: float, minutes: float) -> None:
        """Posts driven, with the driver's hire and their freight."""
        self.add(post.name, number, SoldBy.PIECE, price=post.price, origin=post.origin, minutes=minutes)
        self.fitting(DRIVER, number * minutes / 60)
        self.fitting(DELIVERY, number)

    def strut(self, post: Post, number: float) -> None:
        """Posts sawn to rails or struts."""
        self.add(post.name, number, SoldBy.PIECE, price=post.price, origin=post.origin, minutes=STRUT_MINUTES)
        self.fitting(DELIVERY, number)

    def wire(self, wire: Wire, metres: float) -> None:
        self.add(wire.name, metres, SoldBy.LENGTH, price=wire.price, origin=wire.origin)

    def fitting(self, item: str, quantity: float) -> None:
        """Small goods; work without goods (its price is zero) counts its minutes alone."""
        row = self.stock.fittings[item]
        if row.price == 0 or quantity == 0:
            self.minutes += quantity * (row.minutes or 0.0)
            return
        sold_by = _SOLD_BY.get(row.unit, SoldBy.PIECE)
        origin = self.stock.origins[item]
        self.add(item, quantity, sold_by, price=row.price, origin=origin, minutes=row.minutes or 0.0)

    def bill(self) -> tuple[BillLine, ...]:
        return tuple(
            BillLine(item, quantity, sold_by, price, origin.source, origin.mark)
            for (item, sold_by), quantity in self.lines.items()
            for price, origin in [self.prices[item]]
        )

    @property
    def hours(self) -> float:
        return self.minutes / 60


def put_tools(basket: Basket, *, rows: bool) -> None:
    """What stringing takes once: a crimping tool and a gauge; for rows of wires a jenny too."""
    for tool in (CRIMPER, *TOOLS) if rows else (CRIMPER, TOOLS[0]):
        basket.fitting(tool, 1)


def put_row(
    basket: Basket,
    build: Build,
    *,
    length: float,
    line_posts: int,
    wires: int,
    low_wire: bool,
    net: bool = False,
    times: int = 1,
) -> None:
    """Everything one row needs, `times` over."""
    strung = wires + (1 if low_wire else 0)
    basket.posts(build.post, line_posts * times, build.post.minutes)
    basket.wire(build.wire, (length * WASTE + 2 * WRAP) * strung * times)
    basket.fitting("wire stringing", length * strung * times)
    basket.fitting("barbed fence staple", line_posts * strung * times)
    basket.fitting("wire strainer", strung * times)
    basket.fitting("crimp sleeve", 2 * strung * times)
    if low_wire:
        basket.fitting("drip line hanger", round(length / HANGERS_APART) * times)
    if net:
        basket.fitting(NET_CAP, (line_posts + 2) * times)
        basket.fitting(NET_TIE, round(2 * length / TIES_APART) * times)
    for end in build.both:
        put_end(basket, end, times)


def put_end(basket: Basket, end: EndChoice, times: int) -> None:
    """One end of a row, `times` over."""
    basket.posts(end.post, (2 if end.kind is EndKind.H_BRACE else 1) * times, end.post.minutes + 2)
    if end.kind is EndKind.TIE_BACK and end.anchor is not None:
        anchor, many = end.anchor, end.anchors * times
        basket.add(
            anchor.name, many, SoldBy.PIECE, price=anchor.price, origin=basket.stock.origins[anchor.name],
            minutes=anchor.minutes or 0.0,
        )  # fmt: skip
        if anchor.kind == "log":
            basket.fitting(DIGGER, many * (anchor.minutes or 0.0) / 60)
        basket.fitting("guy cable 1/4 in", guy_length(end.anchor_distance) * many)
        basket.fitting("cable clamp", 6 * many)
        return
    basket.strut(end.strut or end.post, times)
    basket.fitting("brace pin", 2 * times)
    if end.kind is EndKind.H_BRACE:
        basket.fitting("guy cable 1/4 in", brace_wire(end.anchor_distance) * times)
    else:
        basket.fitting("strut foot", end.feet * times)


def build_order(
    kinds: Sequence[EndKind],
    *,
    frost: bool,
    net: bool = False,
    fence: bool = False,
    wall: bool = False,
    cured: bool = False,
) -> tuple[BuildStep, ...]:
    """The work in its order: of wires on a standing fence, and of the rows' own posts where there are any."""
    on_fence: tuple[BuildStep, ...] = ()
    if fence:
        cure = (BuildStep.FENCE_CURE,) if cured else ()
        looks, eyes = (
            (BuildStep.WALL_JOINTS, BuildStep.WALL_EYES)
            if wall
            else (BuildStep.FENCE_POSTS, BuildStep.FENCE_EYES)
        )
        on_fence = (looks, *cure, eyes, BuildStep.FENCE_WIRES)
    if not kinds:
        return (*on_fence, BuildStep.PLANT, BuildStep.LOOK_AGAIN_FENCE) if fence else ()
    return (
        BuildStep.LOCATE,
        *on_fence,
        BuildStep.MARK_OUT,
        *((BuildStep.TIE_BACKS,) if EndKind.TIE_BACK in kinds else ()),
        *((BuildStep.BRACED_ENDS,) if set(kinds) - {EndKind.TIE_BACK} else ()),
        BuildStep.SETTLE,
        BuildStep.LINE_POSTS_FROST if frost else BuildStep.LINE_POSTS,
        BuildStep.UNREEL,
        BuildStep.TENSION,
        BuildStep.STAPLE,
        *((BuildStep.NET_CAPS,) if net else ()),
        BuildStep.PLANT,
        BuildStep.LOOK_AGAIN_FROST if frost else BuildStep.LOOK_AGAIN,
        *((BuildStep.LOOK_AGAIN_FENCE,) if fence else ()),
    )
