"""One line of emitters, solved step by step from its far end; and how long it may be."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.water.emitter import Emitter
from topwire.water.friction import Law, blasius

Array = npt.NDArray[np.float64]

_CLOSE = 1e-9  # [m] head at the inlet is met this closely
_TRIES = 80
_MOST_EMITTERS = 5000


@dataclass(frozen=True)
class Line:
    """A run of equal emitters.

    Attributes
    ----------
    emitters : how many
    spacing : [m] between them, and from the inlet to the first unless `first` says otherwise
    diameter : [m] inside
    slope : [m/m] rise away from the inlet is positive
    barb : [m] of pipe that loses as much as one emitter's body
    first : [m] from the inlet to the first emitter, or None
    """

    emitters: int
    spacing: float
    diameter: float
    slope: float = 0.0
    barb: float = 0.0
    first: float | None = None


@dataclass(frozen=True)
class Run:
    """A solved line, emitters counted from the inlet."""

    head: Array  # (emitters,) [m] pressure head at each
    flow: Array  # (emitters,) [m3/s]

    @property
    def total(self) -> float:
        return float(self.flow.sum())

    @property
    def least_over_mean(self) -> float:
        return float(self.flow.min() / self.flow.mean())


def solve_line(line: Line, emitter: Emitter, inlet_head: float, *, law: Law = blasius) -> Run:
    """Heads and flows of a line fed at `inlet_head` [m].

    Marches from the last emitter, whose head is sought by false position between bounds until the inlet fits.

    Raises
    ------
    ValueError
        Where the line rises above what the inlet head can lift.
    """
    rise = line.slope * line.spacing * line.emitters
    if inlet_head - rise <= 0:
        raise ValueError("the far end stands higher than the head at the inlet can lift water")
    low, high = 0.0, inlet_head + max(-rise, 0.0)
    low_error, high_error = -inlet_head, _inlet(line, emitter, high, law)[0] - inlet_head
    if high_error < 0:
        high_error = max(high_error, 0.0)
    head = high
    side = 0
    for _ in range(_TRIES):
        head = (low * high_error - high * low_error) / (high_error - low_error) if high_error > 0 else high
        reached, _, _ = _inlet(line, emitter, head, law)
        error = reached - inlet_head
        if abs(error) < _CLOSE or high - low < 1e-13:
            break
        if error > 0:
            high, high_error = head, error
            if side == 1:
                low_error /= 2  # Illinois rule: an end that stays put weighs less
            side = 1
        else:
            low, low_error = head, error
            if side == -1:
                high_error /= 2
            side = -1
    _, heads, flows = _inlet(line, emitter, head, law)
    return Run(heads, flows)


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


def _inlet(line: Line, emitter: Emitter, last_head: float, law: Law) -> tuple[float, Array, Array]:
    """Head the inlet must have for `last_head` at the far end, with the heads and flows on the way."""
    count = line.emitters
    heads, flows = np.empty(count), np.empty(count)
    diameter = np.asarray(line.diameter)
    pipe = line.spacing + line.barb
    lift = line.slope * line.spacing
    head, carried = last_head, 0.0
    for index in range(count - 1, -1, -1):
        flow = float(emitter.flow(head))
        heads[index], flows[index] = head, flow
        carried += flow
        loss = float(law(np.asarray(carried), diameter)[0])
        if index == 0 and line.first is not None:
            head += loss * (line.first + line.barb) + line.slope * line.first
        else:
            head += loss * pipe + lift
    return head, heads, flows
