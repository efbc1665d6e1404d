"""Where nothing stands what is asked: of the builds that are as strong as the strongest, the cheapest.

A build is as strong as what limits it. The strongest was found with line posts, wires and ends for one gust; those that
do not limit it may be of a weaker one, as long as the build keeps what it has over and gives no sooner.
"""

from collections.abc import Callable
from functools import cache

import numpy as np

from topwire.trellis.demand import RowDemand
from topwire.trellis.holding import HoldingGround
from topwire.trellis.kit_choice import STEP, strongest
from topwire.trellis.kits import PostsWeighed
from topwire.trellis.materials import Stock
from topwire.trellis.search import Build, Wishes, posts_stand, search
from topwire.values.arrays import Floats

ARITHMETIC = 1e-6  # of a figure of strength: what differs less is equal
Strength = Callable[[Build], tuple[float, ...]]


def cheapest_as_strong(
    found: Build,
    demand: RowDemand,
    stock: Stock,
    soaked: HoldingGround,
    gust: float,
    wishes: Wishes,
    strength: Strength,
) -> Build:
    """The cheapest build that is in every figure of `strength` as strong as the strongest `found`, or that itself."""
    ground, least = soaked.step_down(), [figure - ARITHMETIC * abs(figure) for figure in strength(found)]

    @cache  # neighbouring gusts have one build
    def as_strong(build: Build) -> bool:
        return all(has >= wanted for has, wanted in zip(strength(build), least, strict=True))

    def find(posts: float, others: float) -> Build | None:
        """The cheapest whose posts stand the one gust, wires and ends the other; none shallower than found."""

        def weigh(depths: Floats, spans: Floats, cost: Floats) -> PostsWeighed:
            stands = posts_stand(demand, stock, ground, posts, wishes, depths, spans)
            return PostsWeighed(stands.astype(float), np.zeros_like(cost), np.zeros_like(cost))

        return search(demand, stock, ground, others, wishes, floor=found.depth, weigh=weigh, least=1.0)

    def let_down(find_at: Callable[[float], Build | None]) -> tuple[float, Build | None]:
        """The lowest gust whose build is as strong still, and that build."""
        low, high, best = 0, int(np.ceil(gust / STEP)) + 1, None
        while high - low > 1:
            middle = (low + high) // 2
            build = find_at(middle * STEP)
            if build is None or as_strong(build):
                high, best = middle, build or best
            else:
                low = middle
        return high * STEP, best

    stood = strongest(lambda kept: kept if find(kept, kept) else None, gust)
    if stood is None:
        return found
    posts, first = let_down(lambda kept: find(kept, stood[0]))
    _, second = let_down(lambda kept: find(posts, kept))
    return min((build for build in (found, first, second) if build), key=lambda build: round(build.cost, 6))
