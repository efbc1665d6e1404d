"""The same orchard built for other storms, and the trade's usual build beside it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from topwire.trellis import wind
from topwire.trellis.asked import TrellisQuestion
from topwire.trellis.at_risk import StormSite, gust_ranges
from topwire.trellis.bill import Basket, put_row
from topwire.trellis.demand import RowDemand
from topwire.trellis.findings import ChoiceLine, Creep, FailureGust
from topwire.trellis.gusts import failure_gusts
from topwire.trellis.holding import HoldingGround, ground_of
from topwire.trellis.kinds import RowLoad, SoilWater, TrellisPart
from topwire.trellis.known_builds import KNOWN, KnownBuild
from topwire.trellis.materials import Post, PriceOrigin, Stock
from topwire.trellis.nets import netted_range
from topwire.trellis.places import brace_room, post_positions
from topwire.trellis.row_frame import CaseResult
from topwire.trellis.rows import LikeRows, TrellisRow, own_demands
from topwire.trellis.search import Build, Wishes, search
from topwire.trellis.storm import gust_of
from topwire.values.bill import together

RETURN_PERIODS = (10, 25, 50, 100, 300)


@dataclass(frozen=True)
class SizedRows:
    """A group of rows with its build and what the whole-row solve says."""

    like: LikeRows
    build: Build
    stands: bool
    gusts: tuple[FailureGust, ...]
    cases: tuple[CaseResult, ...]
    creep: Creep | None = None


def row_positions(demand: RowDemand, build: Build) -> npt.NDArray[np.float64]:
    """Places of all posts of a length of wire [m], those of braces left out."""
    near, far = (brace_room(end.kind, end.anchor_distance) for end in build.both)
    return post_positions(
        demand.length,
        first_tree=demand.first_tree,
        tree_spacing=demand.tree_spacing,
        widest=build.spacing,
        near=near,
        far=far,
    )


def put_rows(
    basket: Basket, demand: RowDemand, build: Build, rows: Sequence[TrellisRow], *, low_wire: bool
) -> None:
    """All that these rows of a group need."""
    for row in rows:
        for own in own_demands(demand, row):
            put_row(
                basket,
                build,
                length=own.length,
                line_posts=len(row_positions(own, build)) - 2,
                wires=len(own.heights),
                low_wire=low_wire,
                net=demand.net is not None,
            )
        basket.fitting("tree clip", row.row.new_trees * len(demand.heights))


def storm_choices(
    asked: TrellisQuestion, sized: Sequence[SizedRows], wishes: Wishes, chosen: float
) -> tuple[ChoiceLine, ...]:
    """The orchard built for each return period."""
    if not sized:
        return ()
    soaked = ground_of(asked.stock.soil, wet=True).step_down()
    lines = []
    for years in RETURN_PERIODS:
        gust = gust_of(asked.storm, years)
        this = years == asked.return_period and not asked.by_cost
        cost: float | None = chosen if all(item.stands for item in sized) else None
        if not this:
            cost = _cost_for(
                asked.stock, sized, soaked, gust, wishes,
                deeper=years > asked.return_period, low_wire=asked.low_wire is not None,
            )  # fmt: skip
        lines.append(ChoiceLine(years, gust, cost, float(wind.chance_within(years, asked.life)), this))
    return tuple(lines)


def _cost_for(
    stock: Stock,
    sized: Sequence[SizedRows],
    ground: HoldingGround,
    gust: float,
    wishes: Wishes,
    *,
    deeper: bool,
    low_wire: bool,
) -> float | None:
    basket = Basket(stock)
    for item in sized:
        floor = item.build.depth if deeper else 0.0
        build = search(item.like.demand, stock, ground, gust, wishes, floor=floor)
        if build is None:
            return None
        put_rows(basket, item.like.demand, build, item.like.rows, low_wire=low_wire)
    return together(basket.bill()) + basket.hours * wishes.wage


def with_posts_in_ground(
    gusts: Sequence[FailureGust], site: StormSite, demand: RowDemand, build: Build
) -> tuple[FailureGust, ...]:
    """Failure gusts with those of the posts by the best estimate: post and roots together, drag falling with speed."""
    found = []
    for gust in gusts:
        if gust.part in (TrellisPart.POSTS_BREAK, TrellisPart.POSTS_TIP):
            tips, snaps = gust_ranges(
                site, demand, build.post, build.depth, build.spacing,
                crop=demand.crop if gust.canopy is RowLoad.CROPPED else 0.0, soaked=gust.soil is SoilWater.SOAKED,
            )  # fmt: skip
            way = tips if gust.part is TrellisPart.POSTS_TIP else snaps
            gust = replace(gust, low=way.low, middle=way.middle, high=way.high)
        found.append(gust)
    return tuple(sorted(found, key=lambda gust: (gust.middle, gust.part, gust.canopy, gust.soil or "")))


def common_build(stock: Stock, site: StormSite, sized: Sequence[SizedRows]) -> tuple[FailureGust, ...]:
    """When the trade's usual line post would give in the heaviest outer row here; ends as designed."""
    rows = [item for item in sized if item.like.outer] or list(sized)
    wood = [post for post in stock.posts if post.kind == "round wood"]
    if not rows or not wood:
        return ()
    heaviest = max(rows, key=lambda item: item.like.demand.crop)
    usual, like = KNOWN[KnownBuild.USUAL], wood[0]
    scale = (usual.diameter / like.diameter) ** 3
    post = Post(
        "usual post", like.kind, usual.diameter, heaviest.like.demand.heights[-1] + usual.depth,
        like.moment * scale, like.mean_moment * scale, like.bending * scale * usual.diameter / like.diameter, 0.0, 0.0,
        PriceOrigin(),
    )  # fmt: skip
    build = replace(heaviest.build, post=post, depth=usual.depth, spacing=usual.spacing)
    soaked = {SoilWater.SOAKED: ground_of(stock.soil, wet=True)}
    drags = netted_range(heaviest.like.demand.net)
    found = failure_gusts(heaviest.like.demand, build, soaked, outer=True, drags=drags)
    of_line = (TrellisPart.POSTS_BREAK, TrellisPart.POSTS_TIP, TrellisPart.WIRE_HALF, TrellisPart.WIRE_BREAKS)
    cropped = [gust for gust in found if gust.canopy is RowLoad.CROPPED and gust.part in of_line]
    return with_posts_in_ground(cropped, site, heaviest.like.demand, build)
