"""A wall of brick, stone or concrete as the support: eyes in it wherever they are wanted, and what each has to bear."""

import numpy as np

from topwire.trellis.demand import RowDemand
from topwire.trellis.fence_findings import FenceSupport
from topwire.trellis.fence_support import (
    EYE_HOLDS,
    GARDEN_PRETENSION,
    SLACK_PRETENSION,
    SPRING,
    wires_strung,
)
from topwire.trellis.kinds import FenceCure
from topwire.trellis.materials import Stock
from topwire.trellis.wire import loaded_tension, yielding_stiffness

WALL_EYES = 1.8  # [m] between the eyes of a wall, 6 ft; common practice, no source
# Sideways, of an eye of 8 mm in an expansion plug in sound brick; what is sold holds 1-2 kN there (MEMORY).
END_EYE_HOLDS = 1200.0  # [N]


def support_by_wall(
    row: str,
    demand: RowDemand,
    stock: Stock,
    *,
    gust: float,
    drag: float,
    wage: float,
    low_wire: float | None = None,
) -> FenceSupport:
    """What wires with trees ask of the eyes in a wall: the last ones hold their wire's pull, all hold the leaves."""
    spans = max(int(np.ceil(demand.length / WALL_EYES - 1e-9)), 1)
    spacing = demand.length / spans
    wire = stock.wires[0]
    lateral = demand.lateral(gust, drag, cropped=True, wet=True)
    heights, load = wires_strung(demand, wire, lateral, low_wire)
    taut = loaded_tension(GARDEN_PRETENSION, load, spacing, wire.stiffness)
    slack = loaded_tension(
        SLACK_PRETENSION, load, spacing, yielding_stiffness(wire.stiffness, demand.length, 2 * SPRING)
    )
    springs = bool(taut.max() > END_EYE_HOLDS)
    tension = slack if springs else taut
    spring = stock.fittings["tension spring"]
    each = (spring.price or 0.0) + (spring.minutes or 0.0) / 60 * wage
    out = float(lateral.max() * spacing)
    return FenceSupport(
        row=row,
        wire_heights=tuple(float(z) for z in demand.heights),
        fixings=(spans + 1) * len(heights),
        fixing_spacing=spacing,
        run=demand.length,
        spacing_known=True,
        pull_on_fixing=out,
        eye_share=out / EYE_HOLDS,
        pull_at_end=float(tension.sum()),
        end_moment=float(tension @ heights),
        moment_per_metre=0.0,
        wall_moment_per_metre=0.0,
        post_needed=None,
        post_every=spacing,
        pretension=SLACK_PRETENSION if springs else GARDEN_PRETENSION,
        cure=FenceCure.SPRINGS if springs else FenceCure.NONE,
        cure_cost=len(heights) * each if springs else 0.0,
        strut=None,
        end_thickness=0.0,
        post_depth=0.0,
        depth_known=True,
        ground_share=0.0,
        end_depth=0.0,
        leaves_share=out / EYE_HOLDS,
        wall_share=0.0,
        end_share=float(taut.max()) / END_EYE_HOLDS,
        cured_share=float(tension.max()) / END_EYE_HOLDS,
        wall=True,
        low_wire=low_wire,
    )
