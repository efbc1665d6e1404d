"""The nursery ground: rows and area for a number of young trees."""

from dataclasses import dataclass
from math import ceil


@dataclass(frozen=True)
class NurseryGround:
    rows: int
    row_length: float  # [m]
    row_metres: float  # [m] of planted row
    area: float  # [m2] planted, rows times their spacing
    area_with_headlands: float  # [m2]


def nursery_ground(
    trees: int, *, tree_spacing: float, row_spacing: float, longest_row: float = 50.0, headland: float = 1.5
) -> NurseryGround:
    """Rows and area for `trees` lined out, as square a plot as rows of at most `longest_row` allow.

    Parameters
    ----------
    trees : int
    tree_spacing, row_spacing, longest_row, headland : float
        [m]
    """
    if trees <= 0:
        return NurseryGround(0, 0.0, 0.0, 0.0, 0.0)
    metres = trees * tree_spacing
    square = (metres * row_spacing) ** 0.5
    rows = max(1, ceil(metres / longest_row), round(square / row_spacing))
    length = ceil(trees / rows) * tree_spacing
    whole = (length + 2 * headland) * (rows * row_spacing + 2 * headland)
    return NurseryGround(rows, length, metres, metres * row_spacing, whole)
