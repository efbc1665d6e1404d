"""What becomes of a watering: the wetted ground under drip, and how much of it is where roots are.

What soaks in fills ground that lacks so much water: the wetted volume is what was emitted over what the ground lacks,
so nothing is gained or lost. Its shape, half a flattened or drawn-out ball under each emitter, grown until the balls of
neighbours have met, has the width and depth that source SZ86 gives for the soil and the rate.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

AT_TRUNK = 0.15  # [m] from the trunk, where a first summer's emitter has to stand: common practice
_GRID = (24, 16, 20)  # along the row, across, down
_PHASES = 5  # places of a line against the trees, where it does not keep step with them
_ROUNDS = 5
_MOST_BELOW = 0.1  # of a watering that may sink under the roots: proposal
_SHORTER = 0.7  # each try at a shorter watering
_TRIES = 8


@dataclass(frozen=True)
class Drip:
    """Emitters of a row as one tree sees them.

    Attributes
    ----------
    flow : of one [m3/s]
    spacing : between them [m]
    per_tree : at the trunk; 0 for a line with emitters in its wall
    in_step : one of a line's stands at every trunk
    """

    flow: float
    spacing: float
    per_tree: int
    in_step: bool


@dataclass(frozen=True)
class Ball:
    """Ground of one tree and the part of it that its roots explore. [m]"""

    tree_spacing: float
    radius: float  # about the trunk
    half_width: float  # to each side of the row that roots ever go
    depth: float


@dataclass(frozen=True)
class Soaked:
    """Where a watering went; shares of what soaked in, together 1.

    Attributes
    ----------
    volume : that soaked in for a tree [m3]
    roots, beside, below : in the ground roots explore, outside it, under it
    width, depth : of the wetted ground [m]
    """

    volume: float
    roots: float
    beside: float
    below: float
    width: float
    depth: float


def bulb(volume: npt.ArrayLike, *, flow: float, conductivity: float) -> tuple[Array, Array]:
    """Width and depth of the ground one emitter has wetted, Schwartzman and Zur, source SZ86. [m]

    Parameters
    ----------
    volume : array_like
        Emitted. [m3]
    flow : float
        [m3/s]
    conductivity : float
        Rate at which the ground takes water for long. [m/s]
    """
    emitted, ratio = np.asarray(volume, dtype=float), conductivity / flow
    width: Array = 1.82 * emitted**0.22 * ratio**-0.17
    depth: Array = 2.54 * emitted**0.63 * ratio**0.45
    return width, depth


def holding(volume: float, *, flow: float, conductivity: float, lacks: float) -> tuple[float, float]:
    """Width and depth of half a ball of that shape that holds what was emitted where soil lacks `lacks` [-]. [m]"""
    width, depth = (float(part) for part in bulb(volume, flow=flow, conductivity=conductivity))
    grown = float((volume / lacks / (np.pi / 6 * width**2 * depth)) ** (1 / 3))
    return grown * width, grown * depth


@lru_cache(maxsize=512)
def soaked(drip: Drip, ball: Ball, *, conductivity: float, lacks: float, wanted: float) -> Soaked:
    """What has to soak in for a tree so that its roots get what they want.

    Parameters
    ----------
    conductivity : float
        Rate at which the ground takes water for long. [m/s]
    lacks : float
        Water the soil lacks when it is watered, by volume. [-]
    wanted : float
        By the roots of one tree. [m3] No more than the ground they explore lacks.

    Notes
    -----
    Ground between the trees is taken as dry as that of the roots: weeds and grass drink there.
    """
    emitters = drip.per_tree or max(ball.tree_spacing / drip.spacing, 1e-9)
    volume, found = wanted, Soaked(wanted, 1.0, 0.0, 0.0, 0.0, 0.0)
    for _ in range(_ROUNDS):
        width, depth = holding(volume / emitters, flow=drip.flow, conductivity=conductivity, lacks=lacks)
        parts = [
            _spread(places, ball, width / 2, depth, lacks, wanted, drip.spacing)
            for places in _places(drip, ball)
        ]
        found = Soaked(*(float(value) for value in np.mean(parts, axis=0)))
        if abs(found.volume - volume) < 1e-3 * volume:
            break
        volume = found.volume
    whole = found.roots + found.beside + found.below
    return Soaked(
        found.volume,
        found.roots / whole,
        found.beside / whole,
        found.below / whole,
        found.width,
        found.depth,
    )


def _places(drip: Drip, ball: Ball) -> list[Array]:
    """Emitters along the row about the trunk, over two trees to each side; several such where it stands anyhow."""
    reach = 2.5 * ball.tree_spacing
    if drip.per_tree:
        own = AT_TRUNK * np.linspace(-1, 1, drip.per_tree) if drip.per_tree > 1 else np.zeros(1)
        trunks = ball.tree_spacing * np.arange(-2, 3)
        return [(trunks[:, np.newaxis] + own).ravel()]
    steps = np.arange(-int(reach / drip.spacing) - 1, int(reach / drip.spacing) + 2) * drip.spacing
    phases = np.zeros(1) if drip.in_step else (np.arange(_PHASES) + 0.5) / _PHASES * drip.spacing
    return [steps + phase for phase in phases]


def _spread(
    places: Array, ball: Ball, across: float, down: float, lacks: float, wanted: float, spacing: float
) -> tuple[float, ...]:
    """Volumes soaked in, in the roots, beside and below [m3], and width and depth of the wetted ground [m].

    Parameters
    ----------
    across, down : half width and depth of one emitter's ball, which neighbours' balls make larger [m]
    """
    room = max(1.6, 1.3 * np.sqrt(4 / 3 * across / spacing))
    most = max(room * across, min(ball.radius, ball.half_width)), max(room * down, ball.depth)
    count = np.array(_GRID)
    size = np.array([ball.tree_spacing, *most]) / count
    along = (np.arange(count[0]) + 0.5) * size[0] - ball.tree_spacing / 2
    aside, below = ((np.arange(count[axis]) + 0.5) * size[axis] for axis in (1, 2))
    near = np.abs(along[:, np.newaxis] - places).min(axis=1)[:, np.newaxis, np.newaxis]
    far = np.sqrt((near**2 + aside[:, np.newaxis] ** 2) / across**2 + below**2 / down**2)
    # ground above roots
    over = (np.hypot(along[:, np.newaxis], aside) < ball.radius) & (aside < ball.half_width)
    inside = over[:, :, np.newaxis] & (below < ball.depth)
    order = np.argsort(far, axis=None, kind="stable")
    cell = 2 * float(size.prod()) * lacks  # both sides of the row
    held = cell * np.cumsum(inside.ravel()[order])
    last = min(int(np.searchsorted(held, min(wanted, held[-1] * (1 - 1e-9)))), order.size - 1)
    wet = order[: last + 1]
    edge = float(far.ravel()[order[last]])
    sums = [
        cell * float(np.broadcast_to(part, far.shape).ravel()[wet].sum())
        for part in (inside, ~over[:, :, np.newaxis], over[:, :, np.newaxis] & (below >= ball.depth))
    ]
    return sum(sums), *sums, 2 * edge * across, edge * down


def watering(drip: Drip, ball: Ball, *, conductivity: float, lacks: float, wanted: float) -> Soaked:
    """The longest watering, of no more than the roots want, that hardly sinks below them.

    Parameters are those of `soaked`. On ground that lets water through, drip gives little and often.
    """
    for _ in range(_TRIES):
        found = soaked(drip, ball, conductivity=conductivity, lacks=lacks, wanted=wanted)
        if found.below <= _MOST_BELOW:
            break
        wanted *= _SHORTER
    return found
