"""A sized row solved as a whole: its frame, its cases, and what a storm along it does to wires and ends.

A storm along the row adds up in the wires from post to post, which the closed forms of the search do not see.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from topwire.trellis.asked import TrellisQuestion
from topwire.trellis.cases import ALONG, CASES, NET_CASES
from topwire.trellis.choices import row_positions
from topwire.trellis.kinds import RowLoad, TrellisPart
from topwire.trellis.row_findings import FailureGust
from topwire.trellis.row_frame import CaseResult, RowFrame, row_frame, run_case, run_cases
from topwire.trellis.rows import LikeRows
from topwire.trellis.search import END_GIVES, Build
from topwire.trellis.wire import SERVICE_SHARE, STORM_SHARE
from topwire.values.arrays import Floats

DRAG_RANGE = 1.35  # of the best estimate of the drag, one row in ten beyond either way
TRIED = np.array([0.5, 0.7, 0.85, 1.0, 1.15, 1.35, 1.6, 2.0])  # of the design gust, along the row
WIRES = {TrellisPart.WIRE_HALF: SERVICE_SHARE, TrellisPart.WIRE_BREAKS: STORM_SHARE}


def frame_of(asked: TrellisQuestion, like: LikeRows, build: Build) -> RowFrame | None:
    """The whole row as a frame; None where a post buckles under the crop."""
    try:
        return row_frame(
            like.demand,
            positions=row_positions(like.demand, build),
            low_wire=asked.low_wire,
            wire=build.wire,
            pretension=build.pretension,
            post=build.post,
            depth=build.depth,
            end_post=build.ends.post,
            end_depth=build.ends.depth,
            end_gives=END_GIVES,
            soil=asked.stock.soil,
            far_post=build.both[1].post,
            far_depth=build.both[1].depth,
        )
    except ValueError:
        return None


def whole_row(
    asked: TrellisQuestion, like: LikeRows, build: Build, gust: float, drag: float
) -> tuple[CaseResult, ...]:
    """The row in every case; none where it could not be solved."""
    row = frame_of(asked, like, build)
    if row is None:
        return ()
    cases = CASES if asked.net is None else (*CASES, *NET_CASES)
    return run_cases(row, like.demand, build.post, gust=gust, drag=drag, cases=cases)


def wires_along(asked: TrellisQuestion, like: LikeRows, build: Build, gust: float) -> tuple[CaseResult, ...]:
    """The wires in a storm along the row. Its posts are not told of: they stand the gust they were chosen for."""
    row = frame_of(asked, like, build)
    if row is None:
        return ()
    (found,) = run_cases(row, like.demand, build.post, gust=gust, drag=0.0, cases=(ALONG,))
    return (replace(found, post_moment=None, share_of_post=None),)


def stands_along(asked: TrellisQuestion, like: LikeRows, build: Build, gust: float) -> tuple[bool, float]:
    """In a storm along the row: whether its wires hold, and the pull of all wires on an end over the closed forms'."""
    row = frame_of(asked, like, build)
    if row is None:
        return True, 1.0  # nothing can be said of it; the post that buckles is told
    (wires,) = run_cases(row, like.demand, build.post, gust=gust, drag=0.0, cases=(ALONG,))
    if wires.share_of_breaking is None or wires.share_of_breaking > ALONG.limit:
        return False, 1.0
    found = run_case(row, like.demand, ALONG, gust=gust, drag=0.0)
    return True, max(row.end_moments(found)) / build.end_moment


def with_wires_along(
    asked: TrellisQuestion, like: LikeRows, build: Build, gusts: Sequence[FailureGust], gust: float
) -> tuple[FailureGust, ...]:
    """Failure gusts of a cropped row with those of its wires by the storm across or along it, which comes first."""
    row = frame_of(asked, like, build)
    if row is None:
        return tuple(gusts)
    shares = np.array(
        [
            run_cases(row, like.demand, build.post, gust=speed, drag=0.0, cases=(ALONG,))[0].share_of_breaking
            or np.inf
            for speed in (gust * TRIED).tolist()
        ]
    )
    return tuple(
        _sooner(one, _reaches(shares, gust, WIRES[one.part]))
        if one.part in WIRES and one.canopy is RowLoad.CROPPED
        else one
        for one in gusts
    )


def _reaches(shares: Floats, gust: float, limit: float) -> float | None:
    """Gust [m/s] at which the wires reach a share of their breaking load; None where twice the design gust does not."""
    over = np.flatnonzero(shares > limit)
    if not over.size:
        return None
    i = int(over[0])
    if i == 0 or not np.isfinite(shares[i]):
        return float(gust * TRIED[max(i - 1, 0)])
    return float(gust * np.sqrt(np.interp(limit, shares[i - 1 : i + 1], TRIED[i - 1 : i + 1] ** 2)))


def _sooner(one: FailureGust, along: float | None) -> FailureGust:
    if along is None:
        return one
    spread = DRAG_RANGE**0.5  # load goes with the square of the gust
    return replace(
        one,
        low=min(one.low, along / spread),
        middle=min(one.middle, along),
        high=min(one.high, along * spread),
    )
