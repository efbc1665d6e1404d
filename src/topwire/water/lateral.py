"""How long one line of emitters may be, stepped from its far end."""

from dataclasses import dataclass

import numpy as np

from topwire.water.emitter import Emitter
from topwire.water.friction import Law, blasius

_MOST_EMITTERS = 5000


@dataclass(frozen=True)
class Line:
    """A run of equal emitters.

    Attributes
    ----------
    spacing : [m] between them, and from the inlet to the first
    diameter : [m] inside
    slope : [m/m] rise away from the inlet is positive
    barb : [m] of pipe that loses as much as one emitter's body
    """

    spacing: float
    diameter: float
    slope: float = 0.0
    barb: float = 0.0


def longest_line(
    line: Line,
    emitter: Emitter,
    *,
    last_head: float,
    most_head: float,
    mean_flow: float = np.inf,
    law: Law = blasius,
) -> int:
    """Most emitters a level or rising line like `line` may have.

    Marches from the far end, kept at `last_head` [m], until one more emitter would want more than `most_head` [m] at
    the inlet or lift the mean flow above `mean_flow` [m3/s]. With the last flow a set share of the mean wanted, that
    is the longest line of that uniformity.

    Raises
    ------
    ValueError
        For a falling line: its least head may stand anywhere along it, so solve it at the length in mind.
    """
    if line.slope < 0:
        raise ValueError("the march from the far end holds for level and rising lines only")
    diameter = np.asarray(line.diameter)
    head, carried = last_head, 0.0
    for count in range(_MOST_EMITTERS):
        carried += float(emitter.flow(head))
        if carried > mean_flow * (count + 1):
            return count
        loss = float(law(np.asarray(carried), diameter)[0])
        head += loss * (line.spacing + line.barb) + line.slope * line.spacing
        if head > most_head:
            return count
    return _MOST_EMITTERS
