"""What to buy, how long it takes, and in which order it is built."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from topwire.trellis.end_choice import H_BRACE, RAIL, STRUT_MINUTES, TIE_BACK, EndChoice
from topwire.trellis.materials import Stock
from topwire.trellis.result import BillLine
from topwire.trellis.search import WASTE, Build

WRAP = 2.0  # [m] of wire at each end, round the post and through the strainer


class Basket:
    """Items summed by name, with the hours they take."""

    def __init__(self, stock: Stock) -> None:
        self.stock = stock
        self.lines: dict[tuple[str, str], float] = defaultdict(float)
        self.prices: dict[str, tuple[float | None, str]] = {}
        self.minutes = 0.0

    def add(
        self, item: str, quantity: float, unit: str, *, price: float | None, minutes: float, source: str
    ) -> None:
        self.lines[item, unit] += quantity
        self.prices[item] = (price, source)
        self.minutes += quantity * minutes

    def fitting(self, item: str, quantity: float) -> None:
        row = self.stock.fittings[item]
        self.add(
            item,
            quantity,
            row.unit,
            price=row.price,
            minutes=row.minutes or 0.0,
            source=row.source or "proposal",
        )

    def bill(self) -> tuple[BillLine, ...]:
        return tuple(
            BillLine(item, quantity, unit, *self.prices[item])
            for (item, unit), quantity in self.lines.items()
        )

    @property
    def hours(self) -> float:
        return self.minutes / 60


def put_row(
    basket: Basket,
    build: Build,
    *,
    length: float,
    line_posts: int,
    wires: int,
    low_wire: bool,
    times: int = 1,
) -> None:
    """Everything one row needs, `times` over."""
    post, wire = build.post, build.wire
    strung = wires + (1 if low_wire else 0)
    basket.add(
        post.name, line_posts * times, "each", price=post.price, minutes=post.minutes, source=post.source
    )
    bought = (length * WASTE + 2 * WRAP) * strung * times
    basket.add(wire.name, bought, "m", price=wire.price, minutes=0.0, source=wire.source)
    basket.fitting("wire stringing", length * strung * times)
    basket.fitting("barbed fence staple", line_posts * strung * times)
    basket.fitting("wire strainer", strung * times)
    basket.fitting("crimp sleeve", 2 * strung * times)
    for end in build.both:
        _put_end(basket, end, times)


def _put_end(basket: Basket, ends: EndChoice, times: int) -> None:
    """One end of a row, `times` over."""
    posts_each = 2 if ends.assembly == H_BRACE else 1
    basket.add(
        ends.post.name,
        posts_each * times,
        "each",
        price=ends.post.price,
        minutes=ends.post.minutes + 2,
        source=ends.post.source,
    )
    top = ends.anchor_distance
    if ends.assembly == TIE_BACK and ends.anchor is not None:
        anchor = ends.anchor
        basket.add(
            anchor.name,
            ends.anchors * times,
            "each",
            price=anchor.price,
            minutes=anchor.minutes or 0.0,
            source=anchor.source or "proposal",
        )
        basket.fitting("guy cable 1/4 in", ends.anchors * (1.5 * top + 1.0) * times)
        basket.fitting("cable clamp", 6 * ends.anchors * times)
        return
    brace = ends.strut or ends.post
    basket.add(
        f"{brace.name} (as rail or strut)", times, "each", price=brace.price, minutes=STRUT_MINUTES,
        source=brace.source,
    )  # fmt: skip
    basket.fitting("brace pin", 2 * times)
    if ends.assembly == H_BRACE:
        basket.fitting("guy cable 1/4 in", 2 * (RAIL + 1.0) * times)
    else:
        basket.fitting("strut foot", ends.feet * times)


def total(lines: Iterable[BillLine]) -> float:
    """Sum of the lines that have a price."""
    return sum(line.quantity * line.price for line in lines if line.price is not None)


def build_order(assemblies: Sequence[str], *, frost: bool) -> tuple[str, ...]:
    """The work in its order."""
    tie_back = TIE_BACK in assemblies
    return (
        "Have buried utilities, tile drains and mains located and marked; check overhead lines.",
        "Stretch a line for every row; mark end posts, anchors and line posts midway between trees.",
        "Drive or set the end posts"
        + (
            ", leaning away from the row as drawn; turn in or bury the anchors in line with the guys."
            if tie_back
            else "; fit rails, struts and brace wires."
        ),
        "Let backfill settle and tamp it in layers; pull-test one anchor in ten before it carries wire.",
        "Drive the line posts, small end down, to the depth stated"
        + (", below the frost where that can be reached." if frost else "."),
        "Unreel the low wire and the training wires from a spinning jenny, lowest first, strainers at one end.",
        "Tension every wire to the table for the day's temperature, both ends braced, then go round once more.",
        "Staple the wires at every line post: held, not pinched.",
        "Plant; tie each leader loosely to every wire it passes.",
        "Check tension, staples and anchors after the first month, before the first crop, and after every storm.",
    )
