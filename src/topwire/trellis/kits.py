"""Posts chosen by what they cost: building and setting them, and what falls with them over the years.

The candidates are fixed; each one's cost rises with gust, crop and span, and what the storm's floor rules out only
grows. So the least cost never falls when more is asked.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.trellis.at_risk import StormSite, floor_gust, kit_under_storms
from topwire.trellis.demand import RowDemand
from topwire.trellis.losses import expected_loss
from topwire.trellis.materials import Post
from topwire.values.arrays import Floats

WIDEST = 10.06  # [m] 33 ft: beyond it posts failed in the field whatever their size (GFG-2016)
FLOOR_YEARS = 10  # the row stands the middle gust of so many years, soaked and full of fruit


@dataclass(frozen=True)
class PostsWeighed:
    """Of every post at every spacing of one kit: the gust it stands, what falls with it, and how likely.

    Where none may stand nothing is stood, and all is lost.
    """

    stands: Floats  # (posts, spans) gust [m/s] that it stands soaked and full of fruit, in the middle; 0 where none
    loss: Floats  # (posts, spans) expected, in money of today
    chance: Floats  # (posts, spans) that the row goes over in its life


def weigh_posts(
    site: StormSite,
    demand: RowDemand,
    posts: tuple[Post, ...],
    depths: Floats,
    spans: Floats,
    cost: Floats,
    *,
    trees: float,
    interest: float,
) -> PostsWeighed:
    """Every post at every spacing.

    Parameters
    ----------
    depths : (posts,) in the ground [m]; those not above zero do not stand
    spans : (spans,) [m]
    cost : (posts, spans) of the row's posts and their setting
    trees : in the rows
    """
    shape = (len(posts), len(spans))
    stands, loss, chance = np.zeros(shape), np.full(shape, np.inf), np.ones(shape)
    here = narrow_enough(spans)
    for index, (post, depth) in enumerate(zip(posts, depths.tolist(), strict=True)):
        if depth <= 0:
            continue
        risk = kit_under_storms(site, demand, post, depth, spans[here])
        chance[index, here] = risk.in_life
        loss[index, here] = expected_loss(risk, posts=cost[index, here], trees=trees, interest=interest)
        stands[index, here] = floor_gust(site, demand, post, depth, spans[here])
    return PostsWeighed(stands, loss, chance)


def narrow_enough(spans: Floats) -> npt.NDArray[np.bool_]:
    """Spans [m] at which posts may stand; a wider wish is kept, and told."""
    here: npt.NDArray[np.bool_] = spans <= WIDEST + 1e-9
    return here | ~here.any()
