"""Posts that frost lifts: how deep they stand beside the frost, and what it would take to hold them."""

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from topwire.trellis.asked import TrellisQuestion
from topwire.trellis.end_choice import TOP
from topwire.trellis.materials import Post
from topwire.trellis.search import HEADROOM, Build
from topwire.trellis.soil import depth_held
from topwire.values.notice import Measured, Notice, remark, warning
from topwire.values.units import Kind

BELOW_FROST = 0.15  # [m] of post under the frost, from which it counts as reached: common practice, no source
SKIN = 15e3  # [Pa] cohesion taken for the grip of sand on a post's skin


def frost_notices(asked: TrellisQuestion, builds: Sequence[Build]) -> Iterator[Notice]:
    """Where the shallowest post ends beside the frost, in a line or at its ends, and what its grip would need."""
    frost = asked.frost_depth
    if frost is None or not builds or frost <= 0:
        return
    post, depth, lean, above, which = min(_posts(builds), key=lambda post: post[1])
    soil, below = asked.stock.soil, depth - frost
    friction = 0.5 * (soil.cohesion_wet or SKIN)
    facts: dict[str, Any] = {
        "setting": "place.frost_depth",
        "source": "HEAVE-PRACTICE",
        "depth": Measured(frost, Kind.LENGTH, 1),
        "which": which,
        "stands": Measured(depth, Kind.LENGTH, 2),
        "below": Measured(abs(below), Kind.LENGTH, 2),
        "held": Measured(depth_held(post.diameter, frost, friction=friction), Kind.LENGTH, 0),
        "wet": soil.kind == "clay",
    }
    if below >= BELOW_FROST - 1e-6:
        yield remark("trellis.frost_reached", **facts)
        return
    wanted = frost + BELOW_FROST
    yield warning(
        "trellis.frost_lifts",
        above=below < 0,
        wanted=Measured(wanted, Kind.LENGTH, 2),
        longest=Measured(
            (asked.wire_heights[-1] + above + wanted) / np.cos(np.radians(lean)), Kind.LENGTH, 1
        ),
        driven=wanted <= asked.deepest,
        **facts,
    )


def _posts(builds: Sequence[Build]) -> Iterator[tuple[Post, float, float, float, str]]:
    """Kinds of posts of the rows: post, how deep its foot is [m], lean [deg], what of it stands above the top wire [m],
    and what they are called."""
    for build in builds:
        yield build.post, build.depth, 0.0, HEADROOM, "line posts"
        for end in build.both:
            yield end.post, end.depth * float(np.cos(np.radians(end.lean))), end.lean, TOP, "end posts"
