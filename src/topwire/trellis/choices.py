"""The same orchard built for other storms, and the trade's usual build beside it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from topwire.trellis import wind
from topwire.trellis.asked import TrellisQuestion
from topwire.trellis.at_risk import StormSite, gust_ranges
from topwire.trellis.bill import Basket, put_row
from topwire.trellis.cost_findings import ChoiceLine
from topwire.trellis.demand import RowDemand
from topwire.trellis.gusts import Reserve, failure_gusts
from topwire.trellis.holding import ground_of
from topwire.trellis.kinds import RowLoad, SoilWater, TrellisPart
from topwire.trellis.known_builds import KNOWN, KnownBuild
from topwire.trellis.materials import Post, PriceOrigin, Stock
from topwire.trellis.nets import netted_range
from topwire.trellis.places import brace_room, post_positions
from topwire.trellis.row_findings import Creep, FailureGust
from topwire.trellis.row_frame import CaseResult
from topwire.trellis.rows import LikeRows, TrellisRow, like_rows, own_demands
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
    kept: Wishes | None = None  # with what the whole row had the search keep in reserve
    short: Reserve | None = (
        None  # of the part that lacks most of it, where the build does not stand what was asked
    )


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
    """The orchard built for each return period as posts chosen by the storm are: kinds of rows, each at its own least.

    By the search's closed forms alone, with what the whole row had them keep in reserve where the plan is sized by the
    storm itself. What stands a stronger storm stands a weaker one: the cost never falls as storms get stronger.

    Parameters
    ----------
    chosen : cost of the plan with labour, all that is not in its rows' kits too
    """
    if not sized:
        return ()
    stands = all(item.stands for item in sized)
    beside = chosen - _cost(asked, [(item.like, item.build) for item in sized], wishes)
    groups = _by_storm(asked, sized, wishes)
    lines: list[ChoiceLine] = []
    for years in reversed(RETURN_PERIODS):
        gust, here = gust_of(asked.storm, years), not asked.by_cost and years == asked.return_period
        rarer = not asked.by_cost and years > asked.return_period
        cost = chosen if stands else None
        if not here and (stands or not rarer):
            least = _cost_for(asked, groups, gust, wishes, deeper=rarer)
            cost = None if least is None else max(least + beside, chosen if rarer else 0.0)
        stronger = lines[-1].cost if lines else None
        if stronger is not None and not here:
            cost = stronger if cost is None else min(cost, stronger)
        lines.append(ChoiceLine(years, gust, cost, float(wind.chance_within(years, asked.life)), here))
    return tuple(reversed(lines))


@dataclass(frozen=True)
class _Kind:
    """Rows priced together, with the reserves kept and the depth [m] of the plan's own posts there."""

    like: LikeRows
    wishes: Wishes
    depth: float


def _by_storm(asked: TrellisQuestion, sized: Sequence[SizedRows], wishes: Wishes) -> list[_Kind]:
    """The rows in the kinds that are sized apart by the storm; those of a plan by cost share two kits otherwise."""
    if not asked.by_cost:
        return [_Kind(item.like, item.kept or wishes, item.build.depth) for item in sized]
    rows = [row for item in sized for row in item.like.rows]
    return [_Kind(like, wishes, 0.0) for like in like_rows(replace(asked, by_cost=False), rows)]


def _cost_for(
    asked: TrellisQuestion, groups: Sequence[_Kind], gust: float, wishes: Wishes, *, deeper: bool
) -> float | None:
    """What the rows cost built for this gust, no post shallower than the plan's where it is `deeper`."""
    soaked, builds = ground_of(asked.stock.soil, wet=True).step_down(), []
    for kind in groups:
        like, floor = kind.like, kind.depth if deeper else 0.0
        build = search(like.demand, asked.stock, soaked, gust, kind.wishes, floor=floor, members=like.members)
        if build is None:
            return None
        builds.append((like, build))
    return _cost(asked, builds, wishes)


def _cost(asked: TrellisQuestion, builds: Sequence[tuple[LikeRows, Build]], wishes: Wishes) -> float:
    """Goods and work of the rows, as their bill counts them."""
    basket = Basket(asked.stock)
    for like, build in builds:
        put_rows(basket, like.demand, build, like.rows, low_wire=asked.low_wire is not None)
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
