"""Why nothing in the catalogue holds a row, even in next to no wind: said in the words of the part that fails."""

import numpy as np
import numpy.typing as npt

from topwire.trellis.anchors import ANCHOR_FACTOR
from topwire.trellis.demand import RowDemand
from topwire.trellis.end_choice import (
    ALL_KINDS,
    BRACE_LEVEL,
    H_BRACE,
    LEANS,
    MOST_ANCHORS,
    RAIL,
    STRUT_REACHES,
    TIE_BACK,
    EndOptions,
    cheapest_ends,
    guy_force,
    guy_geometry,
)
from topwire.trellis.holding import Ground
from topwire.trellis.materials import Stock
from topwire.trellis.search import Wishes, posts_stand, spans_weighed, usable_depths, wire_cases
from topwire.values.units import Kind, UnitSystem, shown

Floats = npt.NDArray[np.float64]


def hindrance(
    demand: RowDemand, stock: Stock, ground: Ground, gust: float, wishes: Wishes, system: UnitSystem
) -> str:
    """The part that fails: line posts, wires, or the ends, and by how much."""
    spans = spans_weighed(demand, wishes.spacing)
    depths = usable_depths(stock, float(demand.heights[-1]))
    if not posts_stand(demand, stock, ground, gust, wishes, depths, spans).any():
        return (
            f"no line post stands, not even {shown(float(spans.min()), Kind.LENGTH, system)} apart: all are too thin, "
            "too short or the soaked ground is too soft"
        )
    lateral = demand.lateral(gust, wishes.drag, cropped=True, wet=True)
    strung = wire_cases(demand, stock.wires, spans, wishes, lateral)
    if not strung.holds.any():
        return "every wire passes its share of the breaking load under crop, cold or wind"
    pulls = strung.tension[strung.holds]
    lightest = pulls[int((pulls @ demand.heights).argmin())][None, :]
    options = EndOptions.of(stock, float(demand.heights[-1]), ground)
    for kinds in (wishes.near_kinds, wishes.far_kinds):
        if cheapest_ends(options, lightest, demand.heights, wishes, kinds)[0] is None:
            asked = kinds or (ALL_KINDS if wishes.assembly is None else (wishes.assembly,))
            return "; ".join(_end(options, kind, lightest, demand.heights, system) for kind in asked)
    return "posts, wires and ends stand each by themselves, but not together"


def _end(options: EndOptions, kind: str, tensions: Floats, heights: Floats, system: UnitSystem) -> str:
    """What the strongest end of a kind lacks under the lightest pull of wires."""
    pull, moment = float(tensions.sum()), float((tensions @ heights)[0])

    def force(value: float) -> str:
        return shown(value, Kind.FORCE, system)

    wires = f"with wires that pull {force(pull)} together"
    if not options.posts:
        return f"{kind}: no post at hand is long enough for an end post"
    if kind == TIE_BACK:
        lean = LEANS[-1]
        slope, _ = guy_geometry(options.top, lean)
        guy = float(guy_force(moment, options.top, lean))
        holds = max(options.ground.anchor(row, slope) for row in options.stock.anchors)
        holds *= MOST_ANCHORS / ANCHOR_FACTOR
        return (
            f"{kind}: {wires} the guy pulls {force(guy)}, and {MOST_ANCHORS} of the strongest anchor hold "
            f"{force(holds)} in the soaked ground with their factor of {ANCHOR_FACTOR:g}"
        )
    reach = RAIL if kind == H_BRACE else max(STRUT_REACHES) * options.top
    lift, grip = moment / reach, float(options.grip.max())
    if lift > grip:
        return (
            f"{kind}: {wires} the end post is lifted with {force(lift)}, and the soaked ground grips no post at hand "
            f"with more than {force(grip)}, factor of safety in it"
        )
    return (
        f"{kind}: {wires} rail or strut is pushed with {force(moment / (BRACE_LEVEL * options.top))}, more than the "
        "end posts, struts or feet at hand bear"
    )
