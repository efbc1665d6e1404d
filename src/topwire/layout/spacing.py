"""How far apart trees and rows stand: stock, scion, soil and training for the first, height and light for the second.

No published table of stock by scion by soil was found. The grid shipped as `tree_spacing` is trade practice built
around the range read for tall spindles, and the grower's own rows override it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from topwire.values.traits import Grade
from topwire.values.vigour import SCION_VIGOUR

SOIL_STEP = 0.1  # [m] common practice, no source
# Height after five seasons of the NC-140 Honeycrisp trial against trunk area relative to M.9 T337 (ROOT-S1): a power
# fitted through its seven stocks, used for stocks whose height was not measured.
TRIAL_HEIGHT, TRIAL_POWER = 2.60, 0.40
TRIAL_SCION = SCION_VIGOUR[Grade.LOW]  # Honeycrisp is a weak scion

ALLEY_TO_HEIGHT = 0.9  # tight: clear alley against tree height (FW)
ROW_TO_HEIGHT = (1.3, 1.5)  # roomy: row spacing against tree height, rows north-south and east-west (PH)
DARK_BASE, WASTED_LIGHT = 1.5, 0.8  # wall height against clear alley: common practice, no source
ROOM_BESIDE_MACHINE = 0.6  # [m] clear alley beyond the machine's width: common practice, no source
LIGHT_WANTED = 0.70  # share of light caught; 0.70-0.75 (FW), yields fell above 0.60 in WL00


@dataclass(frozen=True)
class SpacingRow:
    """One row of the table tree_spacing: distances in the row for a tall spindle."""

    stock_class: str
    rootstocks: tuple[str, ...]
    vigour_to: float
    weak_scion_m: float
    medium_scion_m: float
    strong_scion_m: float
    remark: str | None
    source: str | None
    mark: str

    def distance(self, scion: Grade) -> float:
        """Under a scion of that vigour. [m]"""
        return {
            Grade.LOW: self.weak_scion_m,
            Grade.MEDIUM: self.medium_scion_m,
            Grade.HIGH: self.strong_scion_m,
        }[scion]


@dataclass(frozen=True)
class TrainingRow:
    """One row of the table training_spacing: ranges read for one way of training."""

    training: str
    tree_from_m: float
    tree_to_m: float
    row_from_m: float
    row_to_m: float
    spindle_factor: float
    canopy_width_m: float
    remark: str | None
    source: str | None
    mark: str


@dataclass(frozen=True)
class RowBounds:
    """Row spacings [m] two published rules allow for a wall, and the least a machine passes."""

    tight: float
    roomy: float
    machine: float


def stock_row(grid: Sequence[SpacingRow], stock: str, vigour: float | None) -> SpacingRow:
    """The grid's row for a stock: by name, else by its trunk area relative to M.9 T337."""
    for row in grid:
        if stock in row.rootstocks:
            return row
    wanted = 1.0 if vigour is None else vigour
    return next(
        (row for row in sorted(grid, key=lambda row: row.vigour_to) if wanted <= row.vigour_to), grid[-1]
    )


def tree_distance(
    row: SpacingRow, scion: Grade, training: TrainingRow, *, fertility: str, sandy: bool, replant: bool
) -> float:
    """Distance between trees in the row [m].

    The grid's figure, a step less on poor, sandy or replanted ground, a step more on fertile ground, times the
    training's share of a tall spindle's room.
    """
    steps = (fertility == "fertile") - (fertility == "poor" or sandy or replant)
    return max(0.3, row.distance(scion) + SOIL_STEP * steps) * training.spindle_factor


def height_after_five(measured: float | None, stock: float, scion: Grade) -> float:
    """Height [m] a tree left to grow has after five seasons, from a trial with a weak scion (ROOT-S1).

    measured : [m] the trial's height on this stock, None where it was not in the trial.
    stock : its trunk area relative to M.9 T337.
    """
    base = TRIAL_HEIGHT * stock**TRIAL_POWER if measured is None else measured
    return float(base * (SCION_VIGOUR[scion] / TRIAL_SCION) ** TRIAL_POWER)


def row_bounds(height: float, canopy_width: float, bearing: float, machine_width: float) -> RowBounds:
    """Row spacings for trees of `height` [m], from two rules that disagree, and from the machine.

    Tight: clear alley 0.9 x height (FW). Roomy: row spacing 1.3 x height for rows north-south to 1.5 x for rows
    east-west (PH), in between by the sine of the bearing.
    """
    turn = abs(np.sin(np.radians(bearing)))
    roomy = height * (ROW_TO_HEIGHT[0] + (ROW_TO_HEIGHT[1] - ROW_TO_HEIGHT[0]) * turn)
    return RowBounds(
        ALLEY_TO_HEIGHT * height + canopy_width,
        float(roomy),
        machine_width + ROOM_BESIDE_MACHINE + canopy_width,
    )
