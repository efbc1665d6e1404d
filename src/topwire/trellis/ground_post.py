"""A flexible post in springs of soil, condensed to the heights where wires hold it.

Beam elements from the foot to the top; the soil a row of springs along the buried part. The result is what a frame
needs: stiffness at the wires, and the greatest moment (it sits below the ground) and movement at grade for any wire
forces. Linear, so one small factorisation serves every load.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
SpringLaw = Callable[[Floats], Floats]  # depth [m] -> spring per metre of post [N/m2]


@dataclass(frozen=True)
class GroundPost:
    """Unit responses of one post; columns are unit forces at the wire heights."""

    heights: Floats  # (wires,) [m]
    levels: Floats  # (nodes,) [m] above ground, foot first
    move: Floats  # (nodes, wires) [m/N]
    bend: Floats  # (nodes, wires) moment [N m/N]
    press: Floats  # (nodes, wires) soil reaction per metre [1/m]

    @property
    def flexibility(self) -> Floats:
        """(wires, wires) [m/N]"""
        return np.asarray(self.move[np.searchsorted(self.levels, self.heights)])

    @property
    def stiffness(self) -> Floats:
        """(wires, wires) [N/m], symmetric."""
        inverse = np.linalg.inv(self.flexibility)
        return np.asarray((inverse + inverse.T) / 2)

    def greatest_moment(self, forces: npt.ArrayLike) -> Floats:
        """Greatest bending moment [N m] for wire forces; last axis the wires."""
        return np.asarray(np.abs(np.asarray(forces) @ self.bend.T).max(axis=-1))


def ground_post(
    heights: Sequence[float],
    *,
    depth: float,
    bending: float,
    spring: SpringLaw,
    steps: int = 24,
    thrust: Sequence[float] = (),
) -> GroundPost:
    """Post of bending stiffness EI [N m2] loaded at `heights` [m], `depth` [m] in the ground.

    Parameters
    ----------
    spring : soil spring per metre of post at a depth
    steps : beam elements in the ground
    thrust : downward forces at the heights [N]; their moment on the moved post is counted (P-delta)

    Raises
    ------
    ValueError
        When a height is not above the ground or the post is unstable under `thrust`.
    """
    wires = np.asarray(heights, dtype=float)
    if np.any(wires <= 0) or depth <= 0:
        raise ValueError("wires are held above the ground and a post stands in it")
    buried = np.linspace(-depth, 0.0, steps + 1)
    levels = np.concatenate([buried, wires])
    count = len(levels)
    length = np.diff(levels)
    stiffness = np.zeros((2 * count, 2 * count))
    axial = np.zeros(count - 1)
    for index, down in enumerate(np.asarray(thrust, dtype=float)):
        axial[: steps + 1 + index] += down  # every element below the wire carries it
    for i, (span, push) in enumerate(zip(length, axial, strict=True)):
        where = slice(2 * i, 2 * i + 4)
        stiffness[where, where] += _beam(span, bending) - push * _geometric(span)
    half = depth / steps
    cells = np.minimum(-buried + half / 2, depth) - np.maximum(-buried - half / 2, 0)
    middles = (np.minimum(-buried + half / 2, depth) + np.maximum(-buried - half / 2, 0)) / 2
    springs = spring(middles) * cells  # half cells at both ends use their own mid-depth
    stiffness[np.arange(steps + 1) * 2, np.arange(steps + 1) * 2] += springs
    loads = np.zeros((2 * count, len(wires)))
    loads[2 * (steps + 1 + np.arange(len(wires))), np.arange(len(wires))] = 1.0
    try:
        np.linalg.cholesky(stiffness)
    except np.linalg.LinAlgError as error:
        raise ValueError("the post buckles under the weight on it, or nothing holds its foot") from error
    answer = np.linalg.solve(stiffness, loads)
    move = answer[0::2]
    press = np.zeros_like(move)
    press[: steps + 1] = (springs / cells)[:, None] * move[: steps + 1]
    # moment at each level from everything above it: wire forces, soil reactions, weight on the moved post
    bend = np.zeros_like(move)
    for i, level in enumerate(levels):
        bend[i] = np.maximum(wires - level, 0)
        above = (buried > level)[:, None]
        bend[i] -= (
            above * (springs[:, None] * move[: steps + 1]) * np.maximum(buried - level, 0)[:, None]
        ).sum(axis=0)
        for index, down in enumerate(np.asarray(thrust, dtype=float)):
            if wires[index] > level:
                bend[i] += down * (move[steps + 1 + index] - move[i])
    return GroundPost(wires, levels, np.asarray(move, dtype=float), bend, press)


def growing_spring(growth: float, width: float) -> SpringLaw:
    """Sand: m z b, `growth` m [N/m4]."""
    return lambda depth: np.asarray(growth * width * depth)


def even_spring(stiffness: float) -> SpringLaw:
    """Clay: k b [N/m2] at every depth."""
    return lambda depth: np.full_like(np.asarray(depth, dtype=float), stiffness)


def _beam(span: float, bending: float) -> Floats:
    s = span
    return (
        bending
        / s**3
        * np.array(
            [
                [12, 6 * s, -12, 6 * s],
                [6 * s, 4 * s**2, -6 * s, 2 * s**2],
                [-12, -6 * s, 12, -6 * s],
                [6 * s, 2 * s**2, -6 * s, 4 * s**2],
            ]
        )
    )


def _geometric(span: float) -> Floats:
    s = span
    return np.array(
        [
            [36, 3 * s, -36, 3 * s],
            [3 * s, 4 * s**2, -3 * s, -(s**2)],
            [-36, -3 * s, 36, -3 * s],
            [3 * s, -(s**2), -3 * s, 4 * s**2],
        ]
    ) / (30 * s)
