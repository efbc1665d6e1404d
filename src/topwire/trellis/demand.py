"""What a row asks of its trellis: loads per metre on every wire, for any gust."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from topwire.trellis import loads, wind
from topwire.trellis.cases import LoadCase
from topwire.trellis.nets import RowNet, hail_on_net, snow_on_net

Floats = npt.NDArray[np.float64]

BAND_BOTTOM = 0.6  # [m] leaves begin
MOVED_POST = (
    1.08  # crop on a post that has moved sideways adds some 8 % to its moment (whole-row solve, P-delta)
)


@dataclass(frozen=True)
class RowDemand:
    """Loads per metre of row. Arrays are (wires,), training wires, lowest first."""

    length: float  # [m] end post to end post
    tree_spacing: float  # [m]
    first_tree: float  # [m] from the end post
    row_spacing: float
    inner: bool
    heights: Floats  # [m]
    canopy_top: float  # [m]
    crop: float  # [kg/m] heaviest on any date
    crop_on_wires: float  # share of its weight that the wires carry
    pressure_at_1: float  # [Pa] of a gust of 1 m/s
    shares: Floats  # [m] lateral load of each wire per Pa of C q
    arm: float  # [m2] ground moment of the canopy per Pa of C q
    net: RowNet | None = None

    @property
    def reached(self) -> Floats:
        """(wires,) of the crop that wires carry, how it lies on them: on those that the canopy reaches alone."""
        there = self.heights <= self.canopy_top
        return np.asarray(np.where(there, len(there) / max(int(there.sum()), 1), 0.0))

    def half_grown(self, share: float) -> "RowDemand":
        """The same row while its trees have reached a share of their height."""
        top = max(share * self.canopy_top, float(self.heights[0]))
        bottom = min(BAND_BOTTOM, top / 2)
        _, arm = wind.band_force(bottom, top, inner=self.inner)
        shares = wind.wire_shares(list(self.heights), bottom, top, inner=self.inner)
        return replace(self, canopy_top=top, arm=arm, shares=np.asarray(shares))

    @property
    def vertical(self) -> float:
        """Crop on each wire [N/m]."""
        return float(loads.weight(self.crop * self.crop_on_wires)) / len(self.heights)

    def hanging(self, case: LoadCase) -> float:
        """Downward load on each wire in a case, own weight and ice left out [N/m]."""
        snow = loads.snow_weight() * case.snow * self.crop_on_wires / len(self.heights)
        return self.vertical * case.crop + snow

    def on_net(self, case: LoadCase) -> float:
        """Hail or snow that the top wire carries in its net [N/m]."""
        return 0.0 if self.net is None else case.hail * hail_on_net() + case.net_snow * snow_on_net()

    def mass(self, *, cropped: bool, leafed: bool, wet: bool) -> float:
        """Row [kg/m]."""
        tree = loads.tree_mass(self.tree_spacing, self.row_spacing, leafed=leafed, wet=wet)
        return tree + (self.crop if cropped else 0.0)

    def lateral(self, gust: npt.ArrayLike, drag: npt.ArrayLike, *, cropped: bool, wet: bool) -> Floats:
        """Sideways load of each wire [N/m], storm and lean together; last axis the wires."""
        pressure = np.asarray(drag, dtype=float) * self.pressure_at_1 * np.asarray(gust, dtype=float) ** 2
        lean = float(loads.lean_force(self.mass(cropped=cropped, leafed=True, wet=wet)))
        return np.asarray(
            pressure[..., None] * self.shares + lean * self.shares / self.shares.sum(), dtype=float
        )

    def on_posts(
        self, gust: npt.ArrayLike, drag: npt.ArrayLike, *, cropped: bool, wet: bool
    ) -> tuple[Floats, Floats]:
        """Force [N/m] and ground moment [N m/m] on line posts per metre of row."""
        each = self.lateral(gust, drag, cropped=cropped, wet=wet)
        return each.sum(axis=-1), np.asarray((each * self.heights).sum(axis=-1) * MOVED_POST)


def row_demand(
    *,
    length: float,
    tree_spacing: float,
    first_tree: float,
    row_spacing: float,
    inner: bool,
    heights: Sequence[float],
    canopy_top: float,
    crop: float,
    crop_on_wires: float,
    pressure_at_1: float,
    net: RowNet | None = None,
) -> RowDemand:
    """Demand of one row, its canopy from 0.6 m (or the lowest wire, if lower) to `canopy_top`."""
    z = np.asarray(heights, dtype=float)
    if np.any(z <= 0) or np.any(np.diff(z) <= 0):
        raise ValueError("wire heights are above the ground and go from the lowest to the top wire")
    bottom = min(BAND_BOTTOM, float(z[-1]) / 2)
    _, arm = wind.band_force(bottom, canopy_top, inner=inner)
    shares = wind.wire_shares(list(z), bottom, canopy_top, inner=inner)
    return RowDemand(
        length, tree_spacing, first_tree, row_spacing, inner, z, canopy_top, crop, crop_on_wires,
        pressure_at_1, np.asarray(shares), arm, net,
    )  # fmt: skip


def crop_of_row(
    kg: npt.ArrayLike, harvest: npt.ArrayLike, tree_spacing: float, *, window: float = 8.0
) -> float:
    """Heaviest crop on a metre of row [kg/m] on any date, over any stretch of `window` [m].

    Parameters
    ----------
    kg : (places,) full crop of each tree at its own harvest [kg]; 0 where nothing stands
    harvest : (places,) days from bloom to its harvest

    Notes
    -----
    Fruit is taken to grow evenly from bloom to harvest (it grows faster early, so on any date somewhat less hangs than
    this late cultivars' share suggests at harvest time of the early ones). A tree picked carries nothing.
    """
    mass, ripe = np.asarray(kg, dtype=float), np.asarray(harvest, dtype=float)
    if mass.size == 0 or mass.max(initial=0.0) <= 0:
        return 0.0
    dates = np.unique(ripe[mass > 0])
    hanging = np.where(ripe >= dates[:, None], mass * np.minimum(dates[:, None] / ripe, 1.0), 0.0)
    trees = int(np.clip(round(window / tree_spacing), 1, mass.size))
    summed = np.cumsum(np.concatenate([np.zeros((len(dates), 1)), hanging], axis=1), axis=1)
    heaviest = (summed[:, trees:] - summed[:, :-trees]).max()
    return float(heaviest / (trees * tree_spacing))
