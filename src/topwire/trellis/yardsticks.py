"""Two kits to hold the plan's against: the trade's usual one, and one whose posts stand by the building code's soil."""

import numpy as np

from topwire.trellis import wind
from topwire.trellis.asked import TrellisQuestion
from topwire.trellis.at_risk import StormSite, under_storms
from topwire.trellis.choices import SizedRows
from topwire.trellis.demand import RowDemand
from topwire.trellis.details import SHORT_WIND
from topwire.trellis.kinds import YardstickKit
from topwire.trellis.known_builds import KNOWN, KnownBuild
from topwire.trellis.losses import expected_loss
from topwire.trellis.materials import Post
from topwire.trellis.nets import netted_drag
from topwire.trellis.risk_findings import Yardstick
from topwire.trellis.row_risk import risk_by_integration
from topwire.trellis.search import HEADROOM, Wishes, line_posts, posts_cost
from topwire.trellis.soil import code_depth_free
from topwire.trellis.storm import gust_of

MOST_TREES = 12  # to a span, of the code's kit


def yardsticks(asked: TrellisQuestion, site: StormSite, item: SizedRows, wishes: Wishes) -> list[Yardstick]:
    """Both for the rows of one kit; what the yard has no post for is left out."""
    demand = item.like.demand
    found = [(YardstickKit.USUAL, _usual(asked, demand)), (YardstickKit.CODE, _by_code(asked, item, wishes))]
    return [_weighed(asked, site, item, wishes, kit, *posts) for kit, posts in found if posts is not None]


def _usual(asked: TrellisQuestion, demand: RowDemand) -> tuple[Post, float, float] | None:
    """The yard's wooden post nearest to the usual thickness that is long enough, else the longest of them."""
    like = KNOWN[KnownBuild.USUAL]
    needed = float(demand.heights[-1]) + HEADROOM + like.depth
    wood = [post for post in asked.stock.posts if post.kind == "round wood"]
    if not wood:
        return None
    post = min(
        wood,
        key=lambda one: (
            round(abs(one.diameter - like.diameter), 3), max(needed - one.length, 0.0), one.length,
        ),
    )  # fmt: skip
    return post, like.depth, like.spacing


def _by_code(asked: TrellisQuestion, item: SizedRows, wishes: Wishes) -> tuple[Post, float, float] | None:
    """The cheapest posts that bear the design storm by the code's presumptive soil and 19 of 20 posts' strength.

    However deep that is: whether a driver sets them so is not asked.
    """
    demand, soil = item.like.demand, asked.stock.soil
    gust = gust_of(asked.storm, asked.return_period)
    force, moment = demand.on_posts(gust, netted_drag(asked.net, wind.DRAG[1]), cropped=True, wet=True)
    arm = float(moment / force)
    bearing = SHORT_WIND * soil.code_kpa_per_m * 1e3
    strung = len(demand.heights) + wishes.low_wire
    best: tuple[float, Post, float, float] | None = None
    for post in asked.stock.posts:
        most = post.length - float(demand.heights[-1]) - HEADROOM
        each = posts_cost(asked.stock, post, strung, wishes.wage, net=demand.net is not None)
        for trees in range(MOST_TREES, 0, -1):
            span = trees * demand.tree_spacing
            if float(moment) * span > post.moment:
                continue
            depth = code_depth_free(float(force) * span, arm, width=post.diameter, bearing=bearing)
            if depth > most:
                continue
            cost = each * sum(line_posts(own, span) for own in item.like.members)
            if best is None or cost < best[0] - 1e-9:
                best = cost, post, depth, span
            break  # a narrower span of the same post costs more
    return best and best[1:]


def _weighed(
    asked: TrellisQuestion,
    site: StormSite,
    item: SizedRows,
    wishes: Wishes,
    kit: YardstickKit,
    post: Post,
    depth: float,
    spacing: float,
) -> Yardstick:
    demand = item.like.demand
    risk = risk_by_integration(under_storms(site, demand, post, depth, np.array(spacing)), site.posts)
    each = posts_cost(
        asked.stock, post, len(demand.heights) + wishes.low_wire, wishes.wage, net=demand.net is not None
    )
    cost, loss = 0.0, 0.0
    for own in item.like.members:
        posts = line_posts(own, spacing) * each
        cost += posts
        trees = own.length / own.tree_spacing
        loss += float(expected_loss(risk, posts=posts, trees=trees, interest=asked.interest))
    return Yardstick(kit, item.like.outer, post.name, depth, spacing, cost, loss, float(risk.in_life))
