"""Builds whose fate in storms is known, reckoned as the plan's rows are: usual, sturdy, and those that fell."""

from dataclasses import dataclass, replace
from enum import StrEnum

from topwire.trellis.failing import MEAN_RUPTURE, MODEL, Bay, Footing, Uncertain, failure_gust
from topwire.trellis.gust_load import canopy_band
from topwire.trellis.loads import WOOD_PER_TREE
from topwire.trellis.row_risk import gust_range, nodes
from topwire.values.arrays import Floats

_INCH, _FOOT = 0.0254, 0.3048
LOAM_MOIST, LOAM_SOAKED = 50e3, 28e3  # [Pa] silt loam, that most of them stood in
FULL_CROP = 20.0  # [kg/m]
_WIRES = 1.5  # [kg/m]


class KnownBuild(StrEnum):
    USUAL = "usual"
    LIGHT = "light"
    SHALLOW = "shallow"
    CLOSER = "closer"
    STURDY = "sturdy"
    WASHINGTON = "washington"
    MICHIGAN = "michigan"
    ONTARIO = "ontario"


@dataclass(frozen=True)
class KnownRow:
    """One build: post diameter, depth, spacing, canopy top, trunk, tree spacing; all in metres."""

    diameter: float
    depth: float
    spacing: float
    top: float
    trunk: float = 0.055
    tree_spacing: float = 0.91

    @property
    def bay(self) -> Bay:
        return Bay(
            self.diameter, self.depth, self.spacing, MEAN_RUPTURE, self.tree_spacing, self.trunk,
            canopy_band(self.top), WOOD_PER_TREE / self.tree_spacing + _WIRES,
        )  # fmt: skip


def _known(inches: float, deep: float, apart: float, top: float, **trees: float) -> KnownRow:
    return KnownRow(inches * _INCH, deep * _FOOT, apart * _FOOT, top, **trees)


KNOWN: dict[KnownBuild, KnownRow] = {
    KnownBuild.USUAL: _known(
        4, 3.5, 32, 3.1
    ),  # what the trade sets (GFG-2016); everywhere it is called usual
    KnownBuild.LIGHT: _known(3.5, 3, 35, 2.9),
    KnownBuild.SHALLOW: _known(4, 3, 30, 3.2),
    KnownBuild.CLOSER: _known(4, 4, 20, 3.2),
    KnownBuild.STURDY: _known(5, 4, 20, 3.2),
    KnownBuild.WASHINGTON: _known(3.5, 3, 45, 3.4),
    KnownBuild.MICHIGAN: _known(3, 2.5, 45, 3.0, trunk=0.050, tree_spacing=1.2),
    KnownBuild.ONTARIO: _known(4, 3, 20, 2.9, trunk=0.042, tree_spacing=0.61),
}


def known_middle(build: KnownBuild, *, soaked: bool, trees: bool = True) -> float:
    """Gust [m/s] at which half of all rows of the build have gone over, all that is uncertain of them drawn in.

    It lies below the gust of a row whose every part is a middling one: what weakens a row counts for more.
    """
    unknown, weight = nodes()
    return gust_range(known_gusts(build, soaked=soaked, trees=trees, unknown=unknown), weight).middle


def known_gusts(
    build: KnownBuild,
    *,
    soaked: bool,
    trees: bool = True,
    shelter: float = 1.0,
    model: float = MODEL,
    unknown: Uncertain | None = None,
) -> Floats:
    """Gust [m/s] at which the build goes over at full crop in silt loam, in level open country; without `unknown` that
    of a row whose every part is a middling one.
    """
    bay = KNOWN[build].bay if trees else replace(KNOWN[build].bay, trunk=0.0)
    ground = Footing(False, LOAM_SOAKED if soaked else LOAM_MOIST, 18e3, soaked)
    return failure_gust(bay, ground, crop=FULL_CROP, shelter=shelter, unknown=unknown, model=model).first
