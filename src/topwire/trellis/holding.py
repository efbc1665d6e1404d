"""How strongly the ground holds: one scale from stiff to soft, and what posts and anchors hold in it."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.trellis import anchors, soil
from topwire.trellis.materials import AnchorRow, LateralSoilRow

Floats = npt.NDArray[np.float64]

SOIL_FACTOR = 2.0  # on the estimated ultimate of a short post (2.0-2.5 customary)
SKIN_SHARE = 0.5  # of the cohesion that grips a post's skin (adhesion of firm clay, MEMORY)
SAND_SKIN = 0.3  # K tan(delta) of a driven wooden post in sand (MEMORY)
BUOYANT_SAND = 1.0e4  # [N/m3]
# Steps of strength, stiff to soft. Soils are taken down to the next step, and a design walks down the steps from the
# top, never making a post shallower on the way.
CLAY_STEPS = (150, 100, 75, 60, 50, 42, 36, 30, 26, 22, 18, 14, 11, 8, 5, 3)  # [kPa]
SAND_STEPS = (45, 42, 39, 36, 34, 32, 31, 30, 29, 28, 26, 24, 22, 20)  # [deg] friction at buoyant weight


@dataclass(frozen=True)
class HoldingGround:
    """Strength of the ground in one state: sand (friction and weight) or clay (undrained cohesion)."""

    sand: bool
    strength: float  # [deg] friction, or [Pa] cohesion
    unit_weight: float  # [N/m3]

    def post(self, depth: npt.ArrayLike, height: npt.ArrayLike, width: npt.ArrayLike) -> Floats:
        """Ultimate lateral load of a post [N]."""
        if self.sand:
            return soil.sand_ultimate(
                depth, height, width=width, unit_weight=self.unit_weight, friction=self.strength
            )
        return soil.clay_ultimate(depth, height, width=width, cohesion=self.strength)

    def uplift(self, depth: npt.ArrayLike, width: npt.ArrayLike) -> Floats:
        """Ultimate grip on the skin of a post [N]."""
        d = np.asarray(depth, dtype=float)
        stress = SAND_SKIN * self.unit_weight * d / 2 if self.sand else SKIN_SHARE * self.strength
        return np.asarray(np.pi * np.asarray(width) * d * stress)

    def face(self, depth: float, width: float) -> float:
        """Ultimate push [N] on a pad dug in on edge, from the ground's top down to `depth` [m]."""
        cohesion, friction = (0.0, self.strength) if self.sand else (self.strength, 0.0)
        return float(
            soil.face_ultimate(
                depth, width=width, cohesion=cohesion, friction=friction, unit_weight=self.unit_weight
            )
        )

    def anchor(self, row: AnchorRow, slope: float) -> float:
        """Ultimate pull of an anchor in line with a guy of `slope` [rise over run, N]."""
        if row.capacity_n is not None:
            return row.capacity_n
        plate, depth = row.plate_m or 0.0, anchor_depth(row, slope) or 0.0
        if row.kind == "log":
            # the table is for loam; other ground in proportion to its cohesion, sand and soaked fine soil halved
            share = anchors.DEADMAN_WET if self.sand else float(np.clip(self.strength / 60e3, 0.1, 1.0))
            return anchors.deadman_pull(
                row.length_m or 0.0, face=plate, depth=depth, slope=slope, ground=share
            )
        if not plate:
            return 0.0  # what it holds with is not known
        if self.sand:
            return float(anchors.helix_sand(plate, self.strength, depth=depth, unit_weight=self.unit_weight))
        return float(anchors.helix_clay(plate, self.strength, depth=depth, unit_weight=self.unit_weight))

    def step_down(self) -> "HoldingGround":
        """The next step of the scale at or below this strength; below the lowest step, itself."""
        if self.sand:
            kp = np.tan(np.radians(45 + self.strength / 2)) ** 2 * self.unit_weight / BUOYANT_SAND
            friction = 2 * np.degrees(np.arctan(np.sqrt(kp))) - 90
            lower = [step for step in SAND_STEPS if step <= friction + 1e-9]
            return HoldingGround(True, float(lower[0] if lower else friction), BUOYANT_SAND)
        below = [step * 1e3 for step in CLAY_STEPS if step * 1e3 <= self.strength + 1e-6]
        return HoldingGround(False, float(below[0] if below else self.strength), self.unit_weight)

    def stiffer_steps(self) -> Sequence["HoldingGround"]:
        """Steps of the scale from the stiffest down to this one's, this one's included."""
        last = self.step_down()
        scale = [float(s) for s in SAND_STEPS] if self.sand else [s * 1e3 for s in CLAY_STEPS]
        above = [HoldingGround(self.sand, s, last.unit_weight) for s in scale if s > last.strength + 1e-9]
        return [*above, last]


def anchor_depth(row: AnchorRow, slope: float) -> float | None:
    """How far below ground [m] a plate or log lies, guy rising at `slope` [rise over run].

    The rod of a screw (or of a plate that tips) is turned or driven in line with its guy: its length times the sine of
    the guy's slope. A log's trench is dug straight down.
    """
    if row.depth_m is None or row.kind == "log":
        return row.depth_m
    return row.depth_m * float(np.sin(np.arctan(slope)))


def ground_of(row: LateralSoilRow, *, wet: bool) -> HoldingGround:
    """Drained or soaked ground of a catalogue row."""
    weight = row.unit_weight_wet if wet else row.unit_weight_dry
    if row.kind == "sand":
        return HoldingGround(True, row.friction_deg or 30.0, weight)
    cohesion = row.cohesion_wet if wet else row.cohesion_dry
    return HoldingGround(False, cohesion or 25e3, weight)


def spring_of(row: LateralSoilRow, width: float, *, wet: bool) -> tuple[float, float]:
    """Soil spring of a post: growth n_h per metre of depth [N/m3] of sand, or even k b of clay [N/m2]."""
    if row.kind == "sand":
        return (row.growth_wet if wet else row.growth_dry) or 4.4e6, 0.0
    return 0.0, soil.CLAY_SPRING * ground_of(row, wet=wet).strength
