"""From which end rows are fed where a pond, a path or an alley parts them, and in which order zones take them."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from topwire.layout.findings import GroundRow
from topwire.water.ways import NOTHING, Obstacles, shortest
from topwire.water.zone import WateredRow

Array = npt.NDArray[np.float64]

LOWEST_FED = 1.0  # [m] that a gap's end may stand below the other to be fed: lines lose evenness uphill
_SAME_LINE = 0.5  # [m] to the side of a row: what stands there is a piece of it


def pieces(rows: Sequence[GroundRow]) -> list[int]:
    """Which piece of its line each row is, from 0; pieces of a line follow one another."""
    found: list[int] = []
    for at, row in enumerate(rows):
        turn = np.radians(row.bearing)
        step = np.subtract(row.start, rows[at - 1].end)
        aside = abs(float(step[0] * np.cos(turn) - step[1] * np.sin(turn)))
        found.append(found[-1] + 1 if at and aside < _SAME_LINE else 0)
    return found


def fed(
    rows: Sequence[WateredRow], piece: Sequence[int], *, from_start: bool, around: Obstacles = NOTHING
) -> tuple[WateredRow, ...]:
    """A block's rows, fed so that the net of their fed ends is short, in the order zones take them.

    Parameters
    ----------
    rows : fed from the block's side
    piece : which piece of its line each is
    from_start : whether that side is the one where counting starts
    """
    if not any(piece):
        return tuple(rows)
    gap = [_at_gap(rows, piece, at, from_start) for at in range(len(rows))]
    ways = [list(rows)]
    for first in (rows[0], gap[0]):
        if first is not None:
            ways.append(_grown(rows, gap, first))
    lengths = [float(shortest([row.feed for row in way], around).on_map.sum()) for way in ways]
    best = ways[int(np.argmin(lengths))]
    by_piece = [best[at] for at in sorted(range(len(rows)), key=lambda at: (piece[at], at))]
    return tuple(by_piece if _hops(by_piece) < _hops(best) else best)


def _at_gap(rows: Sequence[WateredRow], piece: Sequence[int], at: int, from_start: bool) -> WateredRow | None:
    """The row fed from its other end, where a gap is there and not too far below."""
    other = at + 1 if from_start else at - 1
    if not 0 <= other < len(rows) or (piece[max(at, other)] == 0):
        return None
    row = rows[at]
    return row.turned if row.far[2] > row.feed[2] - LOWEST_FED else None


def _grown(
    rows: Sequence[WateredRow], gap: Sequence[WateredRow | None], first: WateredRow
) -> list[WateredRow]:
    """Rows fed at whichever of their ends is nearest to those already in the net, one after the other."""
    ends = np.array([[row.feed[:2], (other or row).feed[:2]] for row, other in zip(rows, gap, strict=True)])
    taken: dict[int, WateredRow] = {0: first}
    near = _away(ends, first)
    while len(taken) < len(rows):
        near[list(taken)] = np.inf
        at, side = np.unravel_index(int(near.argmin()), near.shape)
        row, other = rows[int(at)], gap[int(at)]
        taken[int(at)] = other if side and other is not None else row
        near = np.minimum(near, _away(ends, taken[int(at)]))
    return [taken[at] for at in range(len(rows))]


def _away(ends: Array, row: WateredRow) -> Array:
    """(rows, 2) [m] from the fed end of a row to both ends of all."""
    found: Array = np.hypot(ends[..., 0] - row.feed[0], ends[..., 1] - row.feed[1])
    return found


def _hops(rows: Sequence[WateredRow]) -> float:
    """[m] from each fed end to the next, in the order of the rows."""
    return float(sum(np.hypot(*np.subtract(other.feed[:2], one.feed[:2])) for one, other in pairwise(rows)))
