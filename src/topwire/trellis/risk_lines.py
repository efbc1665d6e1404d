"""What storms do to the kits chosen, to the steps beside them, and to builds whose fate is known."""

from dataclasses import replace

import numpy as np

from topwire.trellis.asked import TrellisQuestion
from topwire.trellis.at_risk import StormSite, gust_ranges, kit_under_storms, known_under_storms, under_storms
from topwire.trellis.choices import SizedRows, row_positions
from topwire.trellis.demand import RowDemand
from topwire.trellis.kits import narrow_enough
from topwire.trellis.known_builds import KNOWN, KnownBuild, known_middle
from topwire.trellis.losses import expected_loss
from topwire.trellis.materials import Post
from topwire.trellis.risk_findings import KitRisk, KitStep, KnownFate
from topwire.trellis.row_risk import risk_by_draws, risk_by_integration
from topwire.trellis.search import LEAST_DEPTH, Wishes, posts_cost, spans_weighed, usable_depths

# Rows drawn by the second method: so many that about FALLEN of them go over, its chance then scatters by a twentieth.
FALLEN, DRAWN = 400, (4000, 20_000)


def kit_risk(asked: TrellisQuestion, site: StormSite, item: SizedRows, wishes: Wishes) -> KitRisk:
    """The kit of a group of rows, by both methods."""
    build, demand = item.build, item.like.demand
    row = under_storms(site, demand, build.post, build.depth, build.spacing)
    risk = risk_by_integration(row, site.posts)
    drawn = risk_by_draws(row, rows=int(np.clip(FALLEN / max(float(risk.in_life), 1e-6), *DRAWN)))
    moist, soaked = (
        min(
            (one.middle for one in gust_ranges(
                site, demand, build.post, build.depth, build.spacing, crop=demand.crop, soaked=wet
            )),
        )
        for wet in (False, True)
    )  # fmt: skip
    post_cost = posts_cost(
        asked.stock,
        build.post,
        len(demand.heights) + wishes.low_wire,
        wishes.wage,
        net=demand.net is not None,
    )
    cost, loss = 0.0, 0.0
    for own in item.like.members:
        count = len(row_positions(own, build)) - 2
        each = count * post_cost
        trees = own.length / own.tree_spacing
        cost += each
        loss += float(expected_loss(risk, posts=each, trees=trees, interest=asked.interest))
    bare = None
    if site.net is not None:
        without = under_storms(replace(site, net=None), demand, build.post, build.depth, build.spacing)
        bare = float(risk_by_integration(without, site.posts).in_life)
    return KitRisk(
        outer=item.like.outer,
        rows=item.like.addresses,
        post=build.post.name,
        depth=build.depth,
        spacing=build.spacing,
        posts_cost=cost,
        expected_loss=loss,
        in_year=float(risk.in_a_grown_year),
        in_life=float(risk.in_life),
        tips=float(risk.tips),
        snaps=float(risk.snaps),
        by_draws=float(drawn.in_life),
        moist=moist,
        soaked=soaked,
        without_net=bare,
    )


def kit_steps(asked: TrellisQuestion, site: StormSite, item: SizedRows, wishes: Wishes) -> list[KitStep]:
    """Posts of a group of rows that no other beats both in cost and in chance, cheapest first."""
    demand, stock = item.like.demand, asked.stock
    spans = spans_weighed(demand, wishes.spacing)
    spans = spans[narrow_enough(spans)]
    length = sum(member.row.length for member in item.like.rows)
    found: list[tuple[float, float, float, Post, float, float]] = []
    for post, depth in zip(
        stock.posts, usable_depths(stock, float(demand.heights[-1]), wishes.deepest), strict=True
    ):
        if depth < LEAST_DEPTH - 1e-9:
            continue
        each = posts_cost(
            stock, post, len(demand.heights) + wishes.low_wire, wishes.wage, net=demand.net is not None
        )
        cost = each * np.maximum(length / spans - len(item.like.rows), 0)
        risk = kit_under_storms(site, demand, post, float(depth), spans)
        loss = expected_loss(risk, posts=cost, trees=length / demand.tree_spacing, interest=asked.interest)
        found += [
            (float(c), float(p), float(lost), post, float(depth), float(span))
            for c, p, lost, span in zip(cost, risk.in_life, loss, spans, strict=True)
        ]
    steps: list[KitStep] = []
    for cost_here, chance, lost, post, depth_here, span in sorted(found, key=lambda one: one[:2]):
        if steps and chance >= steps[-1].in_life - 1e-4:
            continue
        less = steps[-1].in_life - chance if steps else None
        per = (cost_here - steps[-1].posts_cost) / (100 * less) if less else None
        build = item.build
        chosen = post.name == build.post.name and abs(span - build.spacing) < 1e-6
        steps.append(
            KitStep(item.like.outer, post.name, depth_here, span, cost_here, lost, chance, per, chosen)
        )
    return steps


def known_fates(site: StormSite, demand: RowDemand) -> tuple[KnownFate, ...]:
    """Builds whose fate is known: gusts in their own ground, chances in the storms and the ground of this place."""
    found = []
    for build in KnownBuild:
        row = KNOWN[build]
        outer, inner = (
            float(risk_by_integration(known_under_storms(site, demand, row, outer=side), site.posts).in_life)
            for side in (True, False)
        )
        found.append(
            KnownFate(
                build,
                known_middle(build, soaked=False),
                known_middle(build, soaked=True),
                known_middle(build, soaked=True, trees=False),
                outer,
                inner,
            )
        )
    return tuple(found)
