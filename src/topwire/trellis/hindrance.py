"""Why nothing in the catalogue holds a row, even in next to no wind: the part that fails, and by how much."""

import numpy as np
import numpy.typing as npt

from topwire.trellis.anchors import ANCHOR_FACTOR
from topwire.trellis.demand import RowDemand
from topwire.trellis.end_choice import (
    BRACE_LEVEL,
    LEANS,
    MOST_ANCHORS,
    EndOptions,
    cheapest_ends,
    guy_force,
    guy_geometry,
    reaches_in,
)
from topwire.trellis.holding import HoldingGround
from topwire.trellis.kinds import EndKind
from topwire.trellis.materials import Stock
from topwire.trellis.search import Wishes, posts_stand, spans_weighed, usable_depths, wire_cases
from topwire.values.notice import Measured, Notice, refusal
from topwire.values.units import Kind

Floats = npt.NDArray[np.float64]


def hindrance(
    row: str, demand: RowDemand, stock: Stock, ground: HoldingGround, gust: float, wishes: Wishes
) -> tuple[Notice, ...]:
    """The part that fails: line posts, wires, or the ends, and by how much."""
    spans = spans_weighed(demand, wishes.spacing)
    depths = usable_depths(stock, float(demand.heights[-1]), wishes.deepest)
    if not posts_stand(demand, stock, ground, gust, wishes, depths, spans).any():
        nearest = Measured(float(spans.min()), Kind.LENGTH)
        return (refusal("trellis.no_post_stands", setting="trellis.posts", concerns=[row], nearest=nearest),)
    lateral = demand.lateral(gust, wishes.drag, cropped=True, wet=True)
    strung = wire_cases(demand, stock.wires, spans, wishes, lateral)
    if not strung.holds.any():
        return (refusal("trellis.no_wire_holds", setting="trellis.wires", concerns=[row]),)
    pulls = strung.tension[strung.holds]
    lightest = pulls[int((pulls @ demand.heights).argmin())][None, :]
    options = EndOptions.of(stock, float(demand.heights[-1]), ground, wishes.deepest)
    for kinds, kept in wishes.ends:
        if cheapest_ends(options, lightest, demand.heights, wishes.wage, kinds, kept)[0] is None:
            return tuple(_end(row, options, kind, lightest, demand.heights, kept) for kind in kinds)
    return (refusal("trellis.not_together", setting="trellis", concerns=[row]),)


def _end(
    row: str, options: EndOptions, kind: EndKind, tensions: Floats, heights: Floats, kept: float | None
) -> Notice:
    """What the strongest end of a kind lacks under the lightest pull of wires."""
    pull, moment = float(tensions.sum()), float((tensions @ heights)[0])

    def force(value: float) -> Measured:
        return Measured(value, Kind.FORCE)

    setting = "trellis.end_assembly"
    if not options.posts:
        return refusal("trellis.no_end_post", setting=setting, concerns=[row], kind=kind.value)
    if kind is EndKind.TIE_BACK:
        lean = LEANS[-1]
        slope, _ = guy_geometry(options.top, lean)
        guy = float(guy_force(moment, options.top, lean))
        holds = max(options.ground.anchor(anchor, slope) for anchor in options.stock.anchors)
        return refusal(
            "trellis.guy_too_strong",
            setting=setting,
            concerns=[row],
            wires=force(pull),
            guy=force(guy),
            anchors=MOST_ANCHORS,
            holds=force(holds * MOST_ANCHORS / ANCHOR_FACTOR),
            factor=ANCHOR_FACTOR,
        )
    reach = max(reaches_in(kind, options.top, kept), default=0.0)
    if not reach:
        return refusal("trellis.brace_among_trees", setting=setting, concerns=[row], kind=kind.value)
    lift, grip = moment / reach, float(options.grip.max())
    if lift > grip:
        return refusal(
            "trellis.end_lifted",
            setting=setting,
            concerns=[row],
            kind=kind.value,
            wires=force(pull),
            lift=force(lift),
            grip=force(grip),
        )
    return refusal(
        "trellis.brace_pushed",
        setting=setting,
        concerns=[row],
        kind=kind.value,
        wires=force(pull),
        push=force(moment / (BRACE_LEVEL * options.top)),
    )
