"""A design that an engineer has stamped, used as it stands: what it leaves open is chosen, nothing of it is weighed."""

from dataclasses import replace

import numpy as np

from topwire.trellis.asked import Stamped
from topwire.trellis.end_choice import EndChoice, guy_geometry
from topwire.trellis.holding import HoldingGround
from topwire.trellis.kinds import EndKind
from topwire.trellis.kits import PostsWeighed
from topwire.trellis.materials import Stock
from topwire.trellis.search import GREATEST_DEPTH, Build, Wishes


def as_stamped(wishes: Wishes, design: Stamped | None) -> Wishes:
    """The wishes with the design's spacing and tension."""
    if design is None:
        return wishes
    return replace(
        wishes,
        spacing=design.spacing,
        pretension=wishes.pretension if design.pretension is None else design.pretension,
        deepest=max(wishes.deepest, design.depth, GREATEST_DEPTH),
    )


def only_stamped(weighed: PostsWeighed, stock: Stock, design: Stamped) -> PostsWeighed:
    """No other post stands; the stamped one stands whatever blows, since that is not ours to say."""
    its = np.array([post.name == design.post.name for post in stock.posts])[:, None]
    return replace(
        weighed,
        stands=np.where(its, np.inf, np.zeros_like(weighed.stands)),
        loss=np.where(its, 0.0, weighed.loss),
    )


def put_stamped(build: Build, design: Stamped, top: float, ground: HoldingGround) -> Build:
    """The build with the design's depth and the parts of its ends."""
    near = _end(build.ends, design, top, ground)
    far = None if build.far is None else _end(build.far, design, top, ground)
    return replace(build, depth=design.depth, ends=near, far=far)


def _end(end: EndChoice, design: Stamped, top: float, ground: HoldingGround) -> EndChoice:
    if design.end_post is not None and design.end_depth is not None:
        end = replace(end, post=design.end_post, depth=design.end_depth)
    if design.anchor is not None and end.kind is EndKind.TIE_BACK:
        slope, _ = guy_geometry(top, end.lean)
        holds = ground.anchor(design.anchor, slope) * design.anchors
        end = replace(end, anchor=design.anchor, anchors=design.anchors, anchor_holds=holds)
    return end
