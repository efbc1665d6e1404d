"""The gust at which each part of a build gives first."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.trellis.anchors import ANCHOR_FACTOR
from topwire.trellis.demand import RowDemand
from topwire.trellis.end_choice import (
    BRACE_LEVEL,
    CABLE_BREAKS,
    EndChoice,
    beam_moment,
    brace_holds,
    guy_force,
    guy_geometry,
)
from topwire.trellis.holding import SOIL_FACTOR, HoldingGround
from topwire.trellis.kinds import EndKind, RowLoad, Side, SoilWater, TrellisPart
from topwire.trellis.row_findings import FailureGust
from topwire.trellis.search import Build, ground_moment, wire_tensions
from topwire.trellis.wind import DRAG
from topwire.trellis.wire import SERVICE_SHARE, STORM_SHARE

Floats = npt.NDArray[np.float64]

OF_POSTS = (TrellisPart.POSTS_BREAK, TrellisPart.POSTS_TIP)
SPEEDS = np.arange(0.0, 140.5, 0.5)  # [m/s]


def failure_gusts(
    demand: RowDemand,
    build: Build,
    grounds: Mapping[SoilWater, HoldingGround],
    *,
    outer: bool,
    drags: tuple[float, float, float] = DRAG,
) -> tuple[FailureGust, ...]:
    """For each part, in soaked and drained ground, at full crop and after harvest; `drags` low, middle, high.

    Low: high drag, and posts at the strength that 19 of 20 bear. Middle and high: middle and low drag, and posts at
    their mean strength. Soil and anchors at their estimated ultimate, wires at three quarters of their breaking load.
    """
    found = []
    for canopy in RowLoad:
        cropped = canopy is RowLoad.CROPPED
        for soil, ground in grounds.items():
            wet = soil is SoilWater.SOAKED
            weak = part_shares(demand, build, ground, cropped=cropped, wet=wet, mean=False)
            usual = part_shares(demand, build, ground, cropped=cropped, wet=wet, mean=True)
            for (part, side), share in usual.items():
                of_wire = part in (TrellisPart.WIRE_HALF, TrellisPart.WIRE_BREAKS)
                if of_wire and not wet:
                    continue  # the ground's state does not matter to a wire
                speeds = (
                    first_at_one(weak[part, side], drags[2]),
                    first_at_one(share, drags[1]),
                    first_at_one(share, drags[0]),
                )
                found.append(FailureGust(part, side, canopy, None if of_wire else soil, outer, *speeds))
    return tuple(sorted(found, key=lambda gust: (gust.middle, gust.part, gust.canopy, gust.soil or "")))


@dataclass(frozen=True)
class Reserve:
    """How many times the load of a gust a part bears, and how many times it is asked to."""

    part: TrellisPart
    reserve: float
    wanted: float


WANTED = {
    TrellisPart.POSTS_TIP: SOIL_FACTOR,
    TrellisPart.END_GRIP: SOIL_FACTOR,
    TrellisPart.END_ANCHOR: ANCHOR_FACTOR,
}  # of the others weak ones bear the load itself


def least_reserve(
    demand: RowDemand,
    build: Build,
    soaked: HoldingGround,
    gust: float,
    drag: float,
    *,
    posts: bool,
    pull: float = 1.0,
) -> Reserve | None:
    """Of the parts that keep less in reserve than is asked at full crop on soaked ground, the one that lacks most.

    Parameters
    ----------
    posts : whether the line posts are asked to stand this gust too
    pull : on the ends by the whole row in a storm along it, over the closed forms'
    """
    lacking = []
    shares = part_shares(demand, build, soaked, cropped=True, wet=True, mean=False)
    for (part, _), share in shares.items():
        if part is TrellisPart.WIRE_HALF or (part in OF_POSTS and not posts):
            continue
        load = float(share(np.array([gust]), drag)[0]) * (
            pull if part in WANTED and part not in OF_POSTS else 1.0
        )
        found = Reserve(part, 1 / max(load, 1e-9), WANTED.get(part, 1.0))
        if found.reserve < found.wanted:
            lacking.append(found)
    return min(lacking, key=lambda found: found.reserve / found.wanted, default=None)


Share = Callable[[Floats, float], Floats]


def part_shares(
    demand: RowDemand, build: Build, ground: HoldingGround, *, cropped: bool, wet: bool, mean: bool
) -> dict[tuple[TrellisPart, Side | None], Share]:
    """For each part, load over ultimate resistance by gusts and drag; posts of `mean` strength, or weak ones."""
    post_bears = build.post.mean_moment if mean else build.post.moment

    def tension(gusts: Floats, drag: float) -> Floats:
        lateral = demand.lateral(gusts, drag, cropped=cropped, wet=wet)
        vertical = demand.vertical if cropped else 0.0
        return wire_tensions(
            demand, build.wire, build.spacing, build.pretension, vertical=vertical, lateral=lateral
        )

    def bend(gusts: Floats, drag: float) -> Floats:
        force, moment = demand.on_posts(gusts, drag, cropped=cropped, wet=wet)
        below = ground_moment(ground, force, moment / force, build.post.diameter, build.spacing)
        return np.asarray(moment * build.spacing * below / post_bears)

    def tip(gusts: Floats, drag: float) -> Floats:
        force, moment = demand.on_posts(gusts, drag, cropped=cropped, wet=wet)
        return np.asarray(
            force * build.spacing / ground.post(build.depth, moment / force, build.post.diameter)
        )

    def half(gusts: Floats, drag: float) -> Floats:
        return np.asarray(tension(gusts, drag).max(axis=-1) / (SERVICE_SHARE * build.wire.breaking))

    def breaks(gusts: Floats, drag: float) -> Floats:
        return np.asarray(tension(gusts, drag).max(axis=-1) / (STORM_SHARE * build.wire.breaking))

    shares: dict[tuple[TrellisPart, Side | None], Share] = {
        (TrellisPart.POSTS_BREAK, None): bend,
        (TrellisPart.POSTS_TIP, None): tip,
        (TrellisPart.WIRE_HALF, None): half,
        (TrellisPart.WIRE_BREAKS, None): breaks,
    }
    sides: dict[Side | None, EndChoice] = (
        {None: build.ends} if build.far is None else {Side.NEAR: build.ends, Side.FAR: build.far}
    )
    for side, end in sides.items():
        anchor, end_post = _end_shares(demand, end, ground, tension, mean=mean)
        shares[TrellisPart.END_ANCHOR if end.anchor else TrellisPart.END_GRIP, side] = anchor
        shares[TrellisPart.END_POST, side] = end_post
    return shares


def _end_shares(
    demand: RowDemand, ends: EndChoice, ground: HoldingGround, tension: Share, *, mean: bool
) -> tuple[Share, Share]:
    """Anchor (or grip of a brace) and end post of one end, load over ultimate resistance."""
    top = float(demand.heights[-1])
    level = top if ends.kind is EndKind.TIE_BACK else BRACE_LEVEL * top
    end_bears = ends.post.mean_moment if mean else ends.post.moment

    def end_post(gusts: Floats, drag: float) -> Floats:
        moment = beam_moment(tension(gusts, drag), demand.heights, level)
        return np.asarray(moment / np.cos(np.radians(ends.lean)) / end_bears)

    def anchor(gusts: Floats, drag: float) -> Floats:
        return np.asarray(tension(gusts, drag) @ demand.heights / end_holds(ends, top, ground))

    return anchor, end_post


def end_holds(ends: EndChoice, top: float, ground: HoldingGround) -> float:
    """Moment [N m] of the wires about an end post's foot that its anchor holds, or the ground's grip on a brace."""
    if ends.anchor is None:
        return brace_holds(ends, top, ground)
    slope, _ = guy_geometry(top, ends.lean)
    holds = min(ground.anchor(ends.anchor, slope), CABLE_BREAKS) * ends.anchors
    return holds / float(guy_force(1.0, top, ends.lean))


def first_at_one(share: Share, drag: float) -> float:
    """Gust at which a share reaches 1; 0 where still air is too much already, 140 m/s where nothing blows so hard."""
    values = share(SPEEDS, drag)
    over = np.flatnonzero(values >= 1)
    if not over.size:
        return float(SPEEDS[-1])
    i = int(over[0])
    if i == 0:
        return 0.0
    below, above = values[i - 1], values[i]
    return float(SPEEDS[i - 1] + (1 - below) / (above - below) * (SPEEDS[i] - SPEEDS[i - 1]))
