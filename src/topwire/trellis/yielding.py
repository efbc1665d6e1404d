"""Ends whose anchors give for good: elastic until the ground's ultimate, then turning at that load.

An end turns about its foot by an elastic part and a lasting one. While a load grows, the lasting turn is the least that
keeps the wires' moment at or below what anchor or brace holds: elastic, then perfectly plastic. After the storm it
stays, and the wires hang slacker by it.
"""

from dataclasses import dataclass

import numpy as np

from topwire.trellis.cases import LoadCase
from topwire.trellis.demand import RowDemand
from topwire.trellis.frame import Equilibrium
from topwire.trellis.row_findings import Creep
from topwire.trellis.row_frame import RowFrame, run_case

BEYOND = 1.1  # of the gust at which an anchor begins to give
MOST_TURN = 0.5  # [rad] an end turned so far lies on the row
FIRST_STEP = 0.01  # [m] of the top wire
CLOSE = 1e-4  # of the moment held
ROUNDS = 12  # of both ends in turn


@dataclass(frozen=True)
class Yielded:
    """A row at rest in one case, its ends having given what they had to."""

    solution: Equilibrium
    turned: tuple[float, float]  # [rad] for good, near and far end
    moments: tuple[float, float]  # [N m] about the feet


def run_yielding(
    row: RowFrame,
    demand: RowDemand,
    case: LoadCase,
    *,
    holds: tuple[float, float],
    gust: float,
    drag: float,
) -> Yielded | None:
    """The row in one case with ends that hold moments `holds` [N m] and no more; None where nothing stops them."""
    turned = [0.0, 0.0]

    def at() -> tuple[Equilibrium, tuple[float, float]]:
        both = (turned[0], turned[1])
        found = run_case(row, demand, case, gust=gust, drag=drag, turned=both)
        return found, row.end_moments(found, both)

    found, moments = at()
    # ends that hold alike give alike: in series with the same wires nothing else says how they share the movement
    groups = ((0, 1),) if holds[0] == holds[1] else ((0,), (1,))
    step = FIRST_STEP / float(row.heights[-1])

    def over(sides: tuple[int, ...]) -> float:
        return max(moments[side] / holds[side] - 1 for side in sides)

    for _ in range(ROUNDS):
        if not found.converged:
            return None
        if max(over((0,)), over((1,))) <= CLOSE and all(
            over(sides) >= -CLOSE or turned[sides[0]] == 0 for sides in groups
        ):
            return Yielded(found, (turned[0], turned[1]), moments)
        for sides in groups:
            before, last = over(sides), turned[sides[0]]
            if abs(before) <= CLOSE / 2 or (before < 0 and last == 0):
                continue
            trial = max(last + float(np.sign(before)) * step, 0.0)
            for _ in range(20):  # secant, between no turn and the most
                for side in sides:
                    turned[side] = trial
                found, moments = at()
                if not found.converged:
                    return None
                now = over(sides)
                if abs(now) <= CLOSE / 2 or trial == last:
                    break
                slope = (now - before) / (trial - last)
                if slope >= 0:
                    return None
                last, before = trial, now
                trial = max(last - now / slope, 0.0)
                if trial >= MOST_TURN:
                    return None
    return None


def creep_beyond(
    row: RowFrame,
    demand: RowDemand,
    storm: LoadCase,
    still: LoadCase,
    *,
    holds: tuple[float, float],
    gust: float,
    drag: float,
) -> Creep | None:
    """What the ends give for good a tenth above `gust` [m/s]; None where they give nothing, or without end."""
    beyond = BEYOND * gust
    found = run_yielding(row, demand, storm, holds=holds, gust=beyond, drag=drag)
    if found is None or max(found.turned) <= 0:
        return None
    before, after = after_storm(row, demand, still, found, drag=drag)
    return Creep(beyond, max(found.turned) * float(row.heights[-1]), before, after)


def after_storm(
    row: RowFrame, demand: RowDemand, still: LoadCase, yielded: Yielded, *, drag: float
) -> tuple[float, float]:
    """Mean tension of the top wire [N] in still air, before the storm and after its ends have given."""
    wires, tensions = len(row.heights), []
    for turned in ((0.0, 0.0), yielded.turned):
        found = run_case(row, demand, still, gust=0.0, drag=drag, turned=turned)
        tensions.append(float(found.force.reshape(-1, wires)[:, -1].mean()))
    return tensions[0], tensions[1]
