"""Where everything of a row stands along it: posts between trees, braces in their own room, trees in what is left.

All lengths in metres from the end post where counting starts. Nothing stands in the room of a brace: no tree, no line
post. The ground keeps it free where the plan asks for braces, and no end is chosen that reaches farther than that;
places are lost only to trees that stand already and between two lengths of wire, and are named on the sheet.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from topwire.trellis.kinds import EndKind
from topwire.values.arrays import Floats
from topwire.values.braces import CLEAR

BESIDE_END = 0.3  # [m] no tree nearer to an end post
BETWEEN_LENGTHS = 0.6  # [m] between the anchors of two lengths of one row, back to back
_SAME = 1e-6  # [m]


def brace_room(kind: EndKind, reach: float) -> float:
    """Row that an end takes for itself: to its brace post or strut foot, and clear of it; a tie-back takes none."""
    return 0.0 if kind is EndKind.TIE_BACK else reach + CLEAR


def post_positions(
    length: float,
    *,
    first_tree: float,
    tree_spacing: float,
    widest: float,
    near: float = 0.0,
    far: float = 0.0,
) -> Floats:
    """Places of all posts from 0 to `length`: a line post after every so many trees, midway between two.

    The count of trees to a span is the least that needs no more posts than the widest span does; the last span takes
    what is left. No span is above `widest`, save over a brace that reaches farther. Where trees stand wider apart than
    `widest`, several posts share each gap evenly.

    Parameters
    ----------
    near, far : room of the braces at both ends
    """
    key = (round(value, 9) for value in (length, first_tree, tree_spacing, widest, near, far))
    found = np.array(_positions(*key))
    found[-1] = length
    return found


@lru_cache(maxsize=50_000)
def _positions(
    length: float, first_tree: float, tree_spacing: float, widest: float, near: float, far: float
) -> tuple[float, ...]:
    in_gap = max(int(np.ceil(tree_spacing / widest - _SAME)), 1)
    step = tree_spacing / in_gap
    start = first_tree + step / 2 - step * (np.floor(first_tree / step) + 1)
    gaps = start + step * np.arange(int(length / step) + 3)
    gaps = gaps[(gaps > max(near - _SAME, _SAME)) & (gaps < length - max(far - _SAME, _SAME))]
    found = _greedy(gaps, length, widest)
    trees = int(widest / tree_spacing + _SAME)
    while in_gap == 1 and trees > 1:
        even = _greedy(gaps, length, trees * tree_spacing)
        if len(even) > len(found):
            break
        found, trees = even, trees - 1
    return tuple(found)


def _greedy(gaps: Floats, length: float, widest: float) -> list[float]:
    """From the start each post as far on as the span allows."""
    found = [0.0]
    while length - found[-1] > widest + _SAME:
        ahead = gaps[gaps > found[-1] + _SAME]
        if not ahead.size:
            break
        within = ahead[ahead <= found[-1] + widest + _SAME]
        found.append(float(within[-1] if within.size else ahead[0]))
    return [*found, length]


@dataclass(frozen=True)
class WiredLength:
    """One length of wire of a row, between its own two ends.

    Attributes
    ----------
    start : from the row's start
    first_tree : from `start`
    """

    start: float
    length: float
    first_tree: float


def wired_lengths(
    length: float, parts: int, *, first_tree: float, tree_spacing: float, top: float
) -> tuple[WiredLength, ...]:
    """A row in equal lengths; where two meet, their anchors stand back to back, out as far as the top wire is high."""
    alley = 2 * top + BETWEEN_LENGTHS
    each = (length - (parts - 1) * alley) / parts
    found = []
    for number in range(parts):
        start = number * (each + alley)
        before = max(int(np.ceil((start + BESIDE_END - first_tree) / tree_spacing - _SAME)), 0)
        found.append(
            WiredLength(start, each, first_tree + before * tree_spacing - start if number else first_tree)
        )
    return tuple(found)
