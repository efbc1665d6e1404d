"""The gust at which a row goes over: load of the canopy against post and roots."""

from dataclasses import dataclass
from pickle import dumps

import numpy as np
import numpy.typing as npt

from topwire.trellis.gust_load import (
    AIR,
    BAYS_TOGETHER,
    DRAG_AT_10,
    FALLS_AS,
    CanopyBand,
    gust_for,
    netted_gust_for,
    size_factor,
)
from topwire.trellis.loads import GRAVITY
from topwire.trellis.nets import RowNet
from topwire.trellis.standing import (
    GROWS,
    RATE,
    ROOT_STRESS,
    UNION_STRESS,
    GroundPush,
    PostLimits,
    bay_strength,
    clay_push,
    post_limits,
    root_moment,
    sand_push,
    section_modulus,
)
from topwire.values.arrays import Floats

TILT = 0.1  # [rad] that a row has leant when its ground yields: its weight then helps the wind
WEIGHT_AT = 1.6  # [m] where fruit and tree weigh
MODEL = 1.14  # gust found over gust reckoned, fitted to nine storms (1.03-1.32)
MEAN_RUPTURE = 45.5e6  # [Pa] of farm posts in bending, mean (AKL-RADIATA)


@dataclass(frozen=True)
class Bay:
    """A post with the trees between it and the next.

    Attributes
    ----------
    rupture : mean stress at which the post's wood breaks
    height : at which the wind acts
    """

    diameter: float  # [m]
    depth: float  # [m]
    spacing: npt.ArrayLike  # [m]
    rupture: float  # [Pa]
    tree_spacing: float  # [m]
    trunk: float  # [m]
    band: CanopyBand
    mass: float  # [kg/m] tree, leaves and wire without fruit
    union: float = UNION_STRESS  # [Pa]
    net: RowNet | None = None

    @property
    def trees(self) -> Floats:
        return np.asarray(np.asarray(self.spacing, dtype=float) / self.tree_spacing)


@dataclass(frozen=True)
class Footing:
    """The ground in one state."""

    sand: bool
    strength: npt.ArrayLike  # [Pa] cohesion, or [deg] friction
    unit_weight: float  # [N/m3]
    soaked: bool


@dataclass(frozen=True)
class Uncertain:
    """What nobody knows exactly; the middle of each by itself, or draws of all alike in shape."""

    drag: npt.ArrayLike = DRAG_AT_10
    falls_as: npt.ArrayLike = FALLS_AS
    soil: npt.ArrayLike = 1.0  # factor on cohesion; on sand its root, on tan(friction)
    soil_grows: npt.ArrayLike = GROWS
    roots: npt.ArrayLike = ROOT_STRESS
    wood: npt.ArrayLike = 1.0  # factor on rupture
    trunk: npt.ArrayLike = 1.0  # factor on diameter
    size: npt.ArrayLike = 1.0  # factor on the post's diameter


@dataclass(frozen=True)
class GoesOver:
    """Gusts [m/s] at which a bay goes over by each of the two ways."""

    tips: Floats
    snaps: Floats

    @property
    def first(self) -> Floats:
        return np.minimum(self.tips, self.snaps)


Kept = dict[bytes, PostLimits]  # what posts alone bear, by all it hangs on


def failure_gust(
    bay: Bay,
    footing: Footing,
    *,
    crop: npt.ArrayLike,
    leaf: npt.ArrayLike = 1.0,
    shelter: npt.ArrayLike = 1.0,
    unknown: Uncertain | None = None,
    rate: float = RATE,
    model: float = 1.0,
    netted: npt.ArrayLike = 0.0,
    kept: Kept | None = None,
) -> GoesOver:
    """Gust [m/s, three seconds at 10 m in open country, broadside] at which a row goes over; 0 where still air does it.

    Parameters
    ----------
    crop : fruit on the row [kg/m]
    leaf : drag over that in full leaf
    shelter : wind pressure over that on an outer row
    model : factor on the gust; `MODEL` is that fitted to storms
    netted : 1 where the bay's net is up, 0 where it is not
    kept : posts reckoned before; bays that differ in span, trunks or storms alone share them
    """
    draws = unknown or Uncertain()
    roots = bay.trees * root_moment(
        bay.trunk * np.asarray(draws.trunk), stress=draws.roots, soaked=footing.soaked, union=bay.union
    )
    bears = bay_strength(
        _post(bay, footing, draws, rate, {} if kept is None else kept), height=bay.band.arm, roots=roots
    )
    spacing = np.asarray(bay.spacing, dtype=float)
    leaning = (np.asarray(crop, dtype=float) + bay.mass) * GRAVITY * WEIGHT_AT * TILT * spacing
    shown = AIR * size_factor(BAYS_TOGETHER * spacing) * bay.band.moment * spacing
    shown = shown * np.asarray(shelter, dtype=float) * np.asarray(leaf, dtype=float)

    up, net = np.asarray(netted, dtype=float), bay.net

    def gust(moment: Floats) -> Floats:
        if net is not None and up.any():
            bears, even, passes = (moment - leaning) / shown, net.drag * up, 1 - (1 - net.passes) * up
            found = netted_gust_for(bears, draws.drag, draws.falls_as, even=even, passes=passes)
            return np.asarray(model * found)
        return np.asarray(model * gust_for((moment - leaning) / shown, draws.drag, draws.falls_as))

    return GoesOver(gust(bears.tipping), gust(bears.snapping))


def _post(bay: Bay, footing: Footing, draws: Uncertain, rate: float, kept: Kept) -> PostLimits:
    """What the bay's post bears where the wind acts."""
    key = dumps(
        (
            (bay.diameter, bay.depth, bay.band.arm, bay.rupture),
            (footing, rate, draws.soil, draws.soil_grows, draws.wood, draws.size),
        )
    )
    if key not in kept:
        width = bay.diameter * np.asarray(draws.size, dtype=float)
        rupture = bay.rupture * np.asarray(draws.wood) * section_modulus(width)
        push = _push(width, footing, draws, rate)
        kept[key] = post_limits(push, depth=bay.depth, height=bay.band.arm, rupture=rupture)
    return kept[key]


def _push(width: Floats, footing: Footing, draws: Uncertain, rate: float) -> GroundPush:
    """Of the ground on a post of `width` [m]."""
    if footing.sand:
        tangent = np.tan(np.radians(np.asarray(footing.strength, dtype=float))) * np.sqrt(
            np.asarray(draws.soil)
        )
        return sand_push(width, np.degrees(np.arctan(tangent)), footing.unit_weight)
    cohesion = np.asarray(footing.strength, dtype=float) * np.asarray(draws.soil)
    return clay_push(width, cohesion, grows=draws.soil_grows, rate=rate)
