"""An unbranched whip on its way up the wires: how tall after each leaf, when its leader passes each wire, who lags.

Shares of a season's growth by month are a proposal that agrees with leader lengths read for late June and the end of
July (TRAIN-CORNELL12); the angles of feathers are from memory.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import ceil

import numpy as np
import numpy.typing as npt

from topwire.growth.leader import START_FEATHERED
from topwire.growth.trunk import Floats
from topwire.values.calendar import MONTH_STARTS
from topwire.values.quantities import DayOfYear, Degrees, Metres, MetresArray, Share

LEAVES_SHOWN = 5  # leaf 0, the planting, to leaf 4
PASSED_BY = 0.18  # [m] above a wire at which the leader is tied to it (15 to 20 cm, memory)
_LOOKS = (182.0, 213.0)  # [d] 1 July, 1 August
LAGS = 0.20  # [m] of growth in a leaf below which a tree lags (memory)
REPLACED = 0.25  # [m] a leaf, two leaves running: replaced from the spare row (proposal)
NOTHING_BELOW = 0.46  # [m] no shoot stays (TRAIN-OMAFRA)
_CLIP = 0.35  # [m] between clips on the cane (proposal)
_IN_SOIL, _ABOVE_WIRE = 0.45, 0.15  # [m] of a cane (proposal)
_CANES = (1.5, 1.8, 2.1, 2.4, 3.0)  # [m] sold
# Share of a season's growth of the leader from April to August (proposal).
_MONTHS, _BY_MONTH = (4, 5, 6, 7, 8), (0.05, 0.25, 0.35, 0.30, 0.05)
_WEAK, _STRONG = 0.8, 1.2  # vigour below and above which feathers are bent less and more (proposal)


@dataclass(frozen=True)
class Passing:
    """When the leader of one sort of tree has passed a wire far enough to be tied; None: not within the leaves."""

    leaf: int | None
    day: DayOfYear | None


@dataclass(frozen=True)
class WirePassed:
    """One wire of the plan, passed by a strong, a middling and a weak tree."""

    wire: Metres
    strong: Passing
    middle: Passing
    weak: Passing


@dataclass(frozen=True)
class FeatherAngle:
    """How far feathers are bent, from upright."""

    cultivar: str
    least: Degrees
    most: Degrees


class TreeStart(StrEnum):
    """What stands in the row at planting."""

    WHIP = "whip"  # one season in the nursery
    FEATHERED = "feathered"  # a second season there, headed


@dataclass(frozen=True)
class StartWay:
    """A tree of one start, growing as the orchard's middle whip does."""

    start: TreeStart
    height: Metres
    seasons: int  # in the row until its leader is at the top wire
    nursery: int  # seasons in the nursery


@dataclass(frozen=True)
class WhipTraining:
    """The whips of the orchard against its wires.

    Attributes
    ----------
    heights : after leaf 0 (planting), 1 ... 4: weak, middling and strong tree, shape (leaves, 3)
    made : growth of the middle tree by 1 July and 1 August of leaf 1, 2 ..., shape (leaves - 1, 2)
    wires : training wires, lowest first
    starts : a whip beside a feathered tree
    cane : length of the cane to buy
    clips : for a tree, to the top of its cane
    lagging : share of trees that grow less than `LAGS` in their first leaf
    replaced : share that grow less than `REPLACED` in each of the first two
    """

    heights: MetresArray
    made: MetresArray
    wires: tuple[WirePassed, ...]
    starts: tuple[StartWay, ...]
    angles: tuple[FeatherAngle, ...]
    cane: Metres
    clips: int
    lagging: Share
    replaced: Share


def seasons_to(height: float, start: float, growth: float) -> int:
    """Seasons from one height to another at an even growth: ceil((h - h0) / g), none where it is there."""
    if growth <= 0:
        raise ValueError(f"a growth of {growth} m a season reaches nothing")
    return max(0, ceil((height - start) / growth - 1e-9))


def grown_by(day: npt.ArrayLike) -> Floats:
    """Share of the season's leader growth made by a day of the year."""
    edges = [MONTH_STARTS[month - 1] for month in _MONTHS] + [MONTH_STARTS[_MONTHS[-1]]]
    return np.asarray(np.interp(np.asarray(day, dtype=float), edges, [0.0, *np.cumsum(_BY_MONTH)]))


def day_grown(share: npt.ArrayLike) -> Floats:
    """Day of the year by which that share of the season's growth is made; inverse of `grown_by`."""
    edges = [MONTH_STARTS[month - 1] for month in _MONTHS] + [MONTH_STARTS[_MONTHS[-1]]]
    return np.asarray(np.interp(np.asarray(share, dtype=float), [0.0, *np.cumsum(_BY_MONTH)], edges))


def passing(heights: npt.ArrayLike, wire: float) -> Passing:
    """Leaf and day in which a leader is `PASSED_BY` above a wire.

    Parameters
    ----------
    heights : array_like
        After leaf 0, 1, 2 ... [m]
    wire : float
        [m]
    """
    tall = np.asarray(heights, dtype=float)
    goal = wire + PASSED_BY
    there = np.flatnonzero(tall >= goal)
    if not there.size:
        return Passing(None, None)
    leaf = int(there[0])
    if leaf == 0:
        return Passing(0, None)
    share = (goal - tall[leaf - 1]) / (tall[leaf] - tall[leaf - 1])
    return Passing(leaf, float(day_grown(share)))


def cane_length(wires: npt.ArrayLike) -> float:
    """Shortest cane sold that stands in the soil and passes the second wire, or the only one. [m]"""
    found = np.asarray(wires, dtype=float)
    wanted = _IN_SOIL + float(found[min(1, len(found) - 1)]) + _ABOVE_WIRE
    return next((length for length in _CANES if length >= wanted - 1e-9), _CANES[-1])


def feather_angle(vigour: float) -> tuple[float, float]:
    """From upright: weak trees level, strong ones bent below it. [deg]"""
    if vigour < _WEAK:
        return 90.0, 90.0
    return (110.0, 120.0) if vigour > _STRONG else (100.0, 110.0)


def whip_training(
    drawn: npt.ArrayLike, trees: npt.ArrayLike, start: float, wires: tuple[float, ...], cultivars: tuple[str, ...],
    vigour: npt.ArrayLike,
) -> WhipTraining:  # fmt: skip
    """What the simulated whips come to.

    Parameters
    ----------
    drawn : array_like
        Height after leaf 1, 2, ... in each drawn orchard, shape (orchards, leaves, cultivars). [m]
    trees : array_like
        Whips of each cultivar.
    start : float
        Height at planting. [m]
    wires : tuple of float
        Training wires, lowest first. [m]
    """
    tall = np.asarray(drawn, dtype=float)
    weight = np.asarray(trees, dtype=float)
    weight = weight / weight.sum()
    strength = np.asarray(vigour, dtype=float)
    heights = np.vstack([[start] * 3, _weighted(tall, weight, (0.1, 0.5, 0.9))])
    first = tall[:, 0] - start
    second = tall[:, 1] - tall[:, 0]
    cane = cane_length(wires)
    steps = np.diff(heights[:LEAVES_SHOWN, 1])
    even = max(float(steps.mean()), 0.01)
    return WhipTraining(
        heights=heights[:LEAVES_SHOWN],
        made=np.outer(steps, grown_by(_LOOKS)),
        starts=tuple(
            StartWay(way, height, seasons_to(wires[-1], height, even), seasons)
            for way, height, seasons in (
                (TreeStart.WHIP, start, 1),
                (TreeStart.FEATHERED, START_FEATHERED, 2),
            )
        ),
        wires=tuple(
            WirePassed(wire, *(passing(heights[:, column], wire) for column in (2, 1, 0))) for wire in wires
        ),
        angles=tuple(
            FeatherAngle(name, *feather_angle(float(each)))
            for name, each in zip(cultivars, strength, strict=True)
        ),
        cane=cane,
        clips=ceil((cane - _IN_SOIL) / _CLIP),
        lagging=float(((first < LAGS).mean(axis=0) * weight).sum()),
        replaced=float((((first < REPLACED) & (second < REPLACED)).mean(axis=0) * weight).sum()),
    )


def _weighted(tall: Floats, weight: Floats, shares: tuple[float, ...]) -> Floats:
    """Quantiles over orchards and trees, shape (leaves, shares)."""
    each = np.quantile(tall, np.linspace(0.01, 0.99, 99), axis=0)  # (99, leaves, cultivars)
    masses = np.broadcast_to(weight / 99, (99, len(weight))).ravel()
    found = []
    for leaf in range(tall.shape[1]):
        values = each[:, leaf].ravel()
        order = np.argsort(values)
        at = np.searchsorted(np.cumsum(masses[order]), shares)
        found.append(values[order][np.minimum(at, values.size - 1)])
    return np.array(found)
