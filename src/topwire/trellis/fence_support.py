"""A fence or wall that stands already as the support: wires on eyes, air behind the tree, and what the fence gets."""

from collections.abc import Sequence

import numpy as np

from topwire.trellis import wind
from topwire.trellis.demand import RowDemand
from topwire.trellis.findings import FenceSupport
from topwire.trellis.materials import Post, Wire
from topwire.trellis.wire import loaded_tension

WALL_DRAG = 1.3  # long solid wall, 1.3-1.4 (ASCE 7, MEMORY)
WIDEST_FIXING = 2.4  # [m] usual spacing of fence posts, 8 ft; common practice
GARDEN_PRETENSION = 450.0  # [N] 100 lbf: a fence is no anchor; common practice


def support_by_fence(
    row: str,
    demand: RowDemand,
    wire: Wire,
    posts: Sequence[Post],
    *,
    gust: float,
    drag: float,
    thickness: float | None = None,
    post_spacing: float | None = None,
) -> FenceSupport:
    """Loads that wires with trees hand to a fence, and the post that would carry them.

    The leaves do not add to the wind on a solid wall behind them, but on an open fence they are new. A fence open to
    the wind is the worse case and is the one sized for. Where `thickness` [m] and `post_spacing` [m] of the fence's
    posts are known, they are held against it: wood of the weakest post in stock, bending with its thickness cubed.
    """
    spans = max(int(np.ceil(demand.length / WIDEST_FIXING)), 1)
    spacing = demand.length / spans
    lateral = demand.lateral(gust, drag, cropped=True, wet=True)
    load = np.hypot(lateral, demand.vertical + wire.weight)
    tension = loaded_tension(GARDEN_PRETENSION, load, spacing, wire.stiffness)
    pressure = demand.pressure_at_1 * gust**2
    _, moment = demand.on_posts(gust, drag, cropped=True, wet=True)
    _, wall = wind.band_force(0.0, float(demand.heights[-1]), inner=False)
    wall_moment = float(WALL_DRAG * pressure * wall)
    leaves_share = wall_share = None
    if thickness is not None and post_spacing is not None:
        bears = min(post.moment / post.diameter**3 for post in posts) * thickness**3
        leaves_share, wall_share = (load * post_spacing / bears for load in (float(moment), wall_moment))
    ends = float(tension @ demand.heights)
    needed = [post for post in posts if post.moment >= max(float(moment) * WIDEST_FIXING, 1e-9)]
    smallest = min(needed, key=lambda post: (post.diameter, post.price), default=None)
    return FenceSupport(
        row=row,
        wire_heights=tuple(float(z) for z in demand.heights),
        fixings=(spans + 1) * len(demand.heights),
        fixing_spacing=spacing,
        pull_on_fixing=float(lateral.max() * spacing),
        pull_at_end=float(tension.sum()),
        end_moment=ends,
        moment_per_metre=float(moment),
        wall_moment_per_metre=wall_moment,
        post_needed=smallest.name if smallest else None,
        post_every=WIDEST_FIXING,
        leaves_share=leaves_share,
        wall_share=wall_share,
    )
