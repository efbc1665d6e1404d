"""Textbook cables and posts as the row's own frame solves them, for the checks of the Trellis."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.trellis import wire
from topwire.trellis.frame import Frame, solve

Floats = npt.NDArray[np.float64]

EA = float(wire.axial_stiffness(2.515e-3))
PARTS = 40  # straight bars a hung cable is made of: they are right to 0.05 %


@dataclass(frozen=True)
class HungCable:
    """Horizontal tension [N] and greatest drop below the chord [m]."""

    horizontal: float
    sag: float


def hung(span: float, rise: float, *, free: float, load: float, stiffness: float) -> HungCable:
    """A cable of unstressed length `free` [m] under `load` [N] per unstressed metre between two points."""
    share = np.linspace(0.0, 1.0, PARTS + 1)
    # begin below the chord: a slack cable has no shape to begin from on it
    drop = max(0.01 * span, float(np.sqrt(3 / 8 * span * max(free - np.hypot(span, rise), 0.0))))
    nodes = np.zeros((PARTS + 1, 3))
    nodes[:, 0], nodes[:, 2] = share * span, share * rise - 4 * drop * share * (1 - share)
    fixed = np.zeros((PARTS + 1, 3), dtype=bool)
    fixed[[0, -1]], fixed[:, 1] = True, True
    bars = np.stack([np.arange(PARTS), np.arange(1, PARTS + 1)], axis=1)
    frame = Frame(
        nodes,
        fixed,
        bars,
        np.full(PARTS, free / PARTS),
        np.full(PARTS, stiffness),
        np.ones(PARTS, dtype=bool),
    )
    weights = np.zeros((PARTS + 1, 3))
    weights[:, 2] = -load * free / PARTS
    found = solve(frame, weights)
    at = nodes + found.moved
    chord = rise / span * at[:, 0] - at[:, 2]
    return HungCable(float(-found.reactions[0, 0]), float(chord.max()))


def pushed(force: float, pretension: float) -> tuple[float, float]:
    """Deflection [m] and tension [N] of a 9 m span of 12.5 gauge wire under a `force` at its middle."""
    nodes = np.array([[0.0, 0, 0], [4.5, 0, 0], [9.0, 0, 0]])
    fixed = np.array([[True] * 3, [False, True, False], [True] * 3])
    free = np.full(2, 4.5 / (1 + pretension / EA))
    frame = Frame(nodes, fixed, np.array([[0, 1], [1, 2]]), free, np.full(2, EA), np.ones(2, dtype=bool))
    found = solve(frame, np.array([[0.0] * 3, [0.0, 0.0, -force], [0.0] * 3]))
    return float(-found.moved[1, 2]), float(found.force[0])


def clamped_post(heights: Sequence[float], bending: float) -> Floats:
    """(wires, wires) stiffness [N/m] of a post fixed at the ground, from the cantilever a^2 (3b - a) / 6 EI."""
    h = np.asarray(heights, dtype=float)
    a, b = np.minimum(h[:, None], h[None, :]), np.maximum(h[:, None], h[None, :])
    return np.asarray(np.linalg.inv(a**2 * (3 * b - a) / (6 * bending)))
