"""The kits of posts, wire and ends: outer and inner rows each by least cost, one kind of wire for all of them.

Wires that look alike and bear differently would be mixed up on the reel, so the orchard is strung with one: for every
wire of the catalogue the best kits are found, and the wire whose kits cost least together is taken. The candidates are
the same whatever is asked, each one's cost only rises with gust, crop and span, and what does not stand only grows: so
the least cost never falls when more is asked.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TypeVar

import numpy as np

from topwire.trellis.asked import TrellisQuestion
from topwire.trellis.at_risk import StormSite, storm_drag
from topwire.trellis.hindrance import hindrance
from topwire.trellis.holding import ground_of
from topwire.trellis.kits import PostsWeighed, weigh_posts
from topwire.trellis.materials import Stock
from topwire.trellis.rows import LikeRows
from topwire.trellis.search import Build, Weigh, Wishes, search
from topwire.trellis.stamped import as_stamped, only_stamped, put_stamped
from topwire.trellis.whole_row import stands_along
from topwire.values.arrays import Floats
from topwire.values.notice import CannotAnswer

STEP = 0.25  # [m/s] between gusts tried where nothing stands in the one asked for
Found = TypeVar("Found")


def builds_by_cost(
    asked: TrellisQuestion,
    site: StormSite,
    groups: Sequence[LikeRows],
    *,
    gust: float,
    floor: float,
    wishes: Wishes,
) -> list[tuple[LikeRows, Build, bool]]:
    """A build for every group, and whether it stands what was asked.

    Parameters
    ----------
    gust : [m/s] that wires and ends stand
    floor : [m/s] that posts stand at least

    Raises
    ------
    CannotAnswer
        When nothing holds a group even in next to no wind.
    """
    wishes = as_stamped(wishes, asked.stamped)
    weighs = [_weigher(asked, site, like) for like in groups]
    ratio = floor / gust

    def find(kept: float, least: float) -> list[Build] | None:
        felt = [_felt(site, like, wishes, kept) for like in groups]
        both = kept, least
        return _one_wire(asked, groups, weighs, both, felt) or _each(
            asked, asked.stock, groups, weighs, both, felt
        )

    # where wires or ends are what does not stand, posts stand their own gust all the same
    found = strongest(lambda kept: find(kept, floor), gust) or strongest(
        lambda kept: find(kept, kept * ratio), gust
    )
    if found is not None:
        builds, stands = found
        if asked.stamped is not None:
            top, soaked = asked.wire_heights[-1], ground_of(asked.stock.soil, wet=True)
            builds = [put_stamped(build, asked.stamped, top, soaked) for build in builds]
        return [(like, build, stands) for like, build in zip(groups, builds, strict=True)]
    calm, soaked = STEP, ground_of(asked.stock.soil, wet=True)
    failing = next(
        like
        for like, weigh in zip(groups, weighs, strict=True)
        if _best(asked, asked.stock, like, weigh, (calm, calm * ratio), _felt(site, like, wishes, calm))
        is None
    )
    raise CannotAnswer(
        hindrance(
            failing.rows[0].address,
            failing.demand,
            asked.stock,
            soaked,
            calm,
            _felt(site, failing, wishes, calm),
        )
    )


def strongest(find: Callable[[float], Found | None], gust: float) -> tuple[Found, bool] | None:
    """What stands in `gust` [m/s], and True; else what stands in the strongest gust that anything stands in, and False.

    Gusts below are tried in steps counted from zero, so that a stronger gust asked for ends at the same step.
    """
    found = find(gust)
    if found is not None:
        return found, True
    low, high = 0, int(np.ceil(gust / STEP))
    held: Found | None = None
    while high - low > 1:
        middle = (low + high) // 2
        found = find(middle * STEP)
        if found is None:
            high = middle
        else:
            low, held = middle, found
    return None if held is None else (held, False)


def _felt(site: StormSite, like: LikeRows, wishes: Wishes, gust: float) -> Wishes:
    """The wishes with the drag that wires and ends of a group feel in a gust."""
    return replace(wishes, drag=storm_drag(site, like.demand, gust))


def _one_wire(
    asked: TrellisQuestion,
    groups: Sequence[LikeRows],
    weighs: Sequence[Weigh],
    kept: tuple[float, float],
    wishes: Sequence[Wishes],
) -> list[Build] | None:
    """The kits strung with one kind of wire that cost least together."""
    best: list[Build] | None = None
    for wire in asked.stock.wires:
        builds = _each(asked, replace(asked.stock, wires=(wire,)), groups, weighs, kept, wishes)
        if builds is None:
            continue
        if best is None or sum(one.cost for one in builds) < sum(one.cost for one in best) - 1e-9:
            best = builds
    return best


def _each(
    asked: TrellisQuestion,
    stock: Stock,
    groups: Sequence[LikeRows],
    weighs: Sequence[Weigh],
    kept: tuple[float, float],
    wishes: Sequence[Wishes],
) -> list[Build] | None:
    builds = []
    for like, weigh, wish in zip(groups, weighs, wishes, strict=True):
        build = _best(asked, stock, like, weigh, kept, wish)
        if build is None:
            return None
        builds.append(build)
    return builds


def _best(
    asked: TrellisQuestion,
    stock: Stock,
    like: LikeRows,
    weigh: Weigh,
    kept: tuple[float, float],
    wishes: Wishes,
) -> Build | None:
    """The least build of a group; a stamped one is used as it stands, whatever blows along it."""
    soaked = ground_of(stock.soil, wet=True)
    gust, least = kept

    def along(build: Build) -> tuple[bool, float]:
        return stands_along(asked, like, build, gust)

    return search(
        like.demand, stock, soaked, gust, wishes,
        weigh=weigh, least=least, members=like.members, along=None if asked.stamped else along,
    )  # fmt: skip


def _weigher(asked: TrellisQuestion, site: StormSite, like: LikeRows) -> Weigh:
    """What falls with each post at each spacing, reckoned once for all wires and gusts tried."""
    found: list[PostsWeighed] = []
    trees = sum(one.length / one.tree_spacing for one in like.members)

    def weigh(depths: Floats, spans: Floats, cost: Floats) -> PostsWeighed:
        if not found:
            weighed = weigh_posts(
                site,
                like.demand,
                asked.stock.posts,
                depths,
                spans,
                cost,
                trees=trees,
                interest=asked.interest,
            )
            kept = weighed if asked.stamped is None else only_stamped(weighed, asked.stock, asked.stamped)
            found.append(kept)
        return found[0]

    return weigh
