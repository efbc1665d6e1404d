"""A row of the plan set before the storms of its place."""

from dataclasses import dataclass, field, replace
from pickle import dumps

import numpy as np
import numpy.typing as npt

from topwire.trellis import loads
from topwire.trellis.asked import LeafYears, Storm
from topwire.trellis.demand import RowDemand
from topwire.trellis.failing import MODEL, Bay, Footing, Kept, Uncertain, failure_gust
from topwire.trellis.gust_load import AIR, BAYS_TOGETHER, LOWEST, canopy_band, drag, profile, size_factor
from topwire.trellis.holding import HoldingGround, ground_of
from topwire.trellis.known_builds import FULL_CROP, KnownRow
from topwire.trellis.materials import LateralSoilRow, Post
from topwire.trellis.nets import RowNet, netted_drag
from topwire.trellis.pull_test import PullTest, known_after
from topwire.trellis.row_risk import (
    GroundKnown,
    GustRange,
    RowAge,
    RowRisk,
    RowUnderStorms,
    gust_range,
    nodes,
    risk_by_integration,
)
from topwire.trellis.standing import ROOT_STRESS, ROOTS_WHEN_SNAPPED, root_moment, section_modulus
from topwire.trellis.storm import pressure_at_1
from topwire.trellis.storm_year import DOWNBURST, YEAR, GustClimate, SeasonState, storm_kinds
from topwire.trellis.wind import WindExposure
from topwire.values.arrays import Floats

WIRES = 1.5  # [kg/m] of wire, drip line and ties
HARDEST = 140.0  # [m/s] nothing blows harder
LEAST_LEFT = 0.1  # of the wind that posts get at least, whatever roots could bear


@dataclass(frozen=True)
class StormSite:
    """What every row of a place shares: its gusts, its ground, how its trees grow."""

    storm: Storm
    soil: LateralSoilRow
    ages: tuple[LeafYears, ...]
    test: PullTest | None = None
    net: RowNet | None = None
    year: tuple[SeasonState, ...] = YEAR
    _found: dict[bytes, RowRisk] = field(init=False, default_factory=dict, compare=False, repr=False)
    posts: Kept = field(init=False, default_factory=dict, compare=False, repr=False)
    """What posts alone bear here, kept: rows differ in span and storms more than in posts."""

    @property
    def known(self) -> GroundKnown:
        """Of ground and roots, the grower's own test in it."""
        return known_after(self.test, self.grounds)

    @property
    def middle(self) -> Uncertain:
        """The middle of what is known of soaked ground and of roots."""
        return Uncertain(soil=self.known.soil[1][0], roots=ROOT_STRESS * self.known.roots[0])

    @property
    def climate(self) -> GustClimate:
        return GustClimate.of(self.storm.gust_50)

    @property
    def grounds(self) -> tuple[Footing, Footing]:
        """Drained, soaked."""
        dry, wet = (_footing(ground_of(self.soil, wet=wet), wet) for wet in (False, True))
        return dry, wet

    def faster(self, demand: RowDemand) -> float:
        """Gust at a row over that in level open country."""
        level = replace(self.storm, exposure=WindExposure.C, rise=None, elevation=0.0)
        return float(np.sqrt(demand.pressure_at_1 / pressure_at_1(level, 0.0)))

    @property
    def grown(self) -> LeafYears:
        return self.ages[-1]


def _footing(ground: HoldingGround, soaked: bool) -> Footing:
    return Footing(ground.sand, ground.strength, ground.unit_weight, soaked)


def bay_of(site: StormSite, demand: RowDemand, post: Post, depth: float, spacing: npt.ArrayLike) -> Bay:
    """A grown bay of a row."""
    mass = loads.tree_mass(demand.tree_spacing, demand.row_spacing, leafed=True, wet=True)
    return Bay(
        diameter=post.diameter,
        depth=depth,
        spacing=spacing,
        rupture=post.mean_moment / float(section_modulus(post.diameter)),
        tree_spacing=demand.tree_spacing,
        trunk=site.grown.trunk,
        band=canopy_band(demand.canopy_top),
        mass=mass + WIRES,
        net=site.net,
    )


def under_storms(
    site: StormSite, demand: RowDemand, post: Post, depth: float, spacing: npt.ArrayLike
) -> RowUnderStorms:
    """The row through its life."""
    ages = tuple(
        RowAge(age.years, age.trunk, age.crop * demand.crop, age.height * demand.canopy_top)
        for age in site.ages
    )
    return RowUnderStorms(
        bay_of(site, demand, post, depth, spacing),
        site.grounds,
        ages,
        storm_kinds(site.year, outer=not demand.inner),
        site.climate,
        site.faster(demand),
        site.known,
    )


def kit_under_storms(site: StormSite, demand: RowDemand, post: Post, depth: float, spans: Floats) -> RowRisk:
    """What storms do to a row's posts at each of the spans. The site keeps it: whoever chooses the posts asks for it
    and whoever lists them, and rows that differ in length alone fare alike."""
    row = under_storms(site, demand, post, depth, spans)
    found = site._found.get(key := dumps(row))
    if found is None:
        found = site._found[key] = risk_by_integration(row, site.posts)
    return found


def known_under_storms(site: StormSite, demand: RowDemand, known: KnownRow, *, outer: bool) -> RowUnderStorms:
    """A build of elsewhere in the storms and the ground of this place, its trees growing as they do here."""
    grown = site.grown.trunk
    ages = tuple(
        RowAge(age.years, age.trunk * known.trunk / grown, age.crop * FULL_CROP, age.height * known.top)
        for age in site.ages
    )
    kinds = storm_kinds(site.year, outer=outer)
    return RowUnderStorms(known.bay, site.grounds, ages, kinds, site.climate, site.faster(demand), site.known)


def floor_gust(
    site: StormSite, demand: RowDemand, post: Post, depth: float, spacing: npt.ArrayLike
) -> Floats:
    """Gust [m/s] at the station at which a grown row goes over, full crop on soaked ground, in the middle of what is
    known; an inner row in a downburst.
    """
    found = failure_gust(
        bay_of(site, demand, post, depth, spacing), site.grounds[1], crop=demand.crop,
        shelter=DOWNBURST if demand.inner else 1.0, unknown=site.middle, model=MODEL,
        netted=float(site.net is not None), kept=site.posts,
    )  # fmt: skip
    return np.asarray(found.first / site.faster(demand))


def gust_ranges(
    site: StormSite, demand: RowDemand, post: Post, depth: float, spacing: float, *, crop: float, soaked: bool
) -> tuple[GustRange, GustRange]:
    """By tipping and by snapping, over all that is uncertain of a row; an inner row in a downburst."""
    unknown, weight = nodes(site.known, soaked=soaked)
    found = failure_gust(
        bay_of(site, demand, post, depth, spacing), site.grounds[soaked], crop=crop,
        shelter=DOWNBURST if demand.inner else 1.0, unknown=unknown, model=MODEL,
        netted=float(site.net is not None and (site.net.all_leaf or crop > 0)), kept=site.posts,
    )  # fmt: skip
    faster = site.faster(demand)
    tips, snaps = (gust_range(np.minimum(way, HARDEST) / faster, weight) for way in (found.tips, found.snaps))
    return tips, snaps


def frame_drag(
    site: StormSite, demand: RowDemand, post: Post, depth: float, spacing: float, gust: float
) -> float:
    """Drag with which the frame of wires and posts alone feels what reaches it in a gust, roots taken off.

    The frame's own loads are the code's; this scales them so that its posts get the moment of the best estimate.
    """
    bay = bay_of(site, demand, post, depth, spacing)
    per_metre = _wind_moment(site, demand, gust) * float(size_factor(BAYS_TOGETHER * spacing))
    roots = float(bay.trees) * float(root_moment(bay.trunk, soaked=True)) * ROOTS_WHEN_SNAPPED / spacing
    left = max(per_metre - roots, LEAST_LEFT * per_metre)
    return left / (demand.arm * demand.pressure_at_1 * gust**2)


def storm_drag(site: StormSite, demand: RowDemand, gust: float) -> float:
    """Drag with which wires and ends feel a gust [m/s], no help of roots counted and the gust whole on every span."""
    return _wind_moment(site, demand, gust) / (demand.arm * demand.pressure_at_1 * gust**2)


def _wind_moment(site: StormSite, demand: RowDemand, gust: float) -> float:
    """Ground moment of a metre of row in a gust at the station [N m/m], best estimate fitted to storms."""
    felt = gust * site.faster(demand) / MODEL
    leaves = float(drag(felt * np.sqrt(profile(LOWEST))))
    per_metre = AIR * felt**2 * netted_drag(site.net, leaves) * canopy_band(demand.canopy_top).moment
    return per_metre * (DOWNBURST if demand.inner else 1.0)
