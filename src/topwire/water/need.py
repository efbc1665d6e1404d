"""The need for water of every block and age over all weather years, and what would change it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from topwire.water import balance, demand
from topwire.water.canopy import GROWN_LEAF, Canopy
from topwire.water.climate import DAYS, WaterClimate
from topwire.water.tables import CoverRow, SoilRow
from topwire.water.wetting import Soaked

Array = npt.NDArray[np.float64]
Prepared: TypeAlias = tuple[balance.Drive, balance.SoilStore, balance.Rule]

STOMATA = 0.90  # [-] apple against grass; from memory and weak
MULTIPLIER = 1.5  # [-] for a tall narrow wall; from memory and weak
TO_FULL_CANOPY = 65.0  # [d] from bud break, common practice
TO_DEVELOPMENT = 20.0  # [d] FAO56 table 11
LATE_STAGE = 30.0  # [d] before leaf fall, FAO56 table 11
LAST_LEAF_FALL = 325.0  # [d] 21 November, where frost has not taken the leaves before
MULCH_LETS_THROUGH = 0.5  # [-] of evaporation, common practice
# The plain rule waters when this share of the readily available water is gone and leaves room for the next rain.
TRIGGER = 0.8
REFILL_TO = 0.3
SURFACE_SHARE = 0.5  # a drip strip is half as wide on the surface as below, common practice
AFTER_FROST = (
    7  # [d] from the first light frost to drained lines, before ground or pipe freezes: common practice
)
_FIRST_FROST = 300.0  # [d] where none is known
_ROUNDS = 6
_COLUMNS = 600  # run side by side at most: beyond them a day takes longer with each


@dataclass(frozen=True)
class Site:
    """What a block brings to its balance."""

    name: str
    row_spacing: float  # [m]
    tree_spacing: float  # [m]
    canopy: Canopy
    soil: SoilRow
    wetted_share: float
    noon_elevation: float = (
        np.pi / 2
    )  # [rad] sun over rows that run east and west; overhead for north and south
    soaks: tuple[Soaked, ...] = ()  # a watering by leaf, once the line is chosen

    @property
    def floor(self) -> float:
        """Ground of one tree. [m2]"""
        return self.row_spacing * self.tree_spacing

    @property
    def reaches_roots(self) -> Array:
        """(leaves,) share of what soaks in that stays where roots are; the rest sinks beside or below them. [-]"""
        return np.array([part.roots for part in self.soaks]) if self.soaks else np.ones(GROWN_LEAF)

    @property
    def most_given(self) -> Array:
        """(leaves,) most that one watering brings the roots before it sinks below them. [mm over the floor]"""
        if not self.soaks:
            return np.full(GROWN_LEAF, np.inf)
        return np.array([1000 * part.volume * part.roots / self.floor for part in self.soaks])

    def ready(self, depletion_share: float) -> Array:
        """(leaves,) what a tree takes from its soil without stress. [mm over the floor]"""
        crown = self.canopy
        held = self.soil.field_capacity - self.soil.wilting_point
        ready: Array = 1000 * depletion_share * held * crown.root_depth * crown.rooted_share
        return ready

    @property
    def wetted_part(self) -> Array:
        """(leaves,) share of the rooted ground that drip wets (KB90). [-]"""
        part: Array = np.minimum(self.wetted_share / self.canopy.rooted_share, 1.0)
        return part


@dataclass(frozen=True)
class Variation:
    """A what-if on a full-grown block."""

    mulch: bool = False
    deeper: float = 0.0  # [m]
    deficit: tuple[float, float, float] | None = (
        None  # from day, to day, share of the day's use that is given
    )
    watered: bool = True


@dataclass(frozen=True)
class WaterNeed:
    """Runs of one site; arrays (days, years, leaves)."""

    site: Site
    runs: balance.Balance
    years: int
    leaves: int

    def shaped(self, values: Array) -> Array:
        return values.reshape(DAYS, self.years, self.leaves)

    @property
    def net(self) -> Array:
        """(years, leaves) water given over the season. [mm over the floor]"""
        total: Array = self.shaped(self.runs.irrigation).sum(axis=0)
        return total

    @property
    def use(self) -> Array:
        """Water taken up and evaporated. (days, years, leaves) [mm/d]"""
        return self.shaped(self.runs.transpiration + self.runs.evaporation)


def density_of(site: Site) -> Array:
    """(leaves,) share of a full stand's use that the site's trees reach. [-]"""
    crown = site.canopy
    shade = demand.effective_cover(crown.cover, site.noon_elevation)
    return demand.density(crown.cover, crown.height, multiplier=MULTIPLIER, shade=shade)


def stages(
    years: npt.NDArray[np.int64], season_years: npt.NDArray[np.int64], green_tip: Array, first_frost: Array
) -> demand.Stages:
    """Turns of the coefficient curve from the place's own green tip and first autumn frost.

    A weather year the seasons do not know takes their median. Water is given from the unfolding of the
    leaves to a week after the first frost of the middle year, when the lines are emptied: the same days every year.
    """

    def middle(values: Array, other: float) -> float:
        finite = values[np.isfinite(values)]
        return float(np.median(finite)) if finite.size else other

    def of(values: Array, other: float) -> Array:
        known = dict(zip(season_years.tolist(), values.tolist(), strict=True))
        found = np.array([known.get(int(year), np.nan) for year in years])
        return np.where(np.isfinite(found), found, middle(values, other))

    bud_break = of(green_tip, 95.0)
    leaf_fall = np.clip(of(first_frost, _FIRST_FROST) + 14.0, bud_break + 150.0, LAST_LEAF_FALL)
    full = bud_break + TO_FULL_CANOPY
    return demand.Stages(
        bud_break,
        bud_break + TO_DEVELOPMENT,
        full,
        np.maximum(leaf_fall - LATE_STAGE, full),
        leaf_fall,
        round(middle(green_tip, 95.0) + TO_DEVELOPMENT),
        round(middle(first_frost, _FIRST_FROST)) + AFTER_FROST,
    )


def foresee_needs(
    prepared: Sequence[tuple[Site, Prepared]], years: npt.NDArray[np.int64]
) -> tuple[WaterNeed, ...]:
    """Daily balance of sites over all weather years, leaf 1 to full-grown, or of variations of a full-grown one.

    Each is as `prepare` has it; years and leaves are alike.

    Some are run side by side: a day of few columns takes as long as one of many.
    """
    columns = prepared[0][1][0].reference.shape[1]
    leaves, at_once = columns // years.size, max(_COLUMNS // columns, 1)
    found: list[balance.Balance] = []
    for first in range(0, len(prepared), at_once):
        found += _carry([one for _, one in prepared[first : first + at_once]], years, leaves)
    sites = (site for site, _ in prepared)
    return tuple(WaterNeed(site, runs, years.size, leaves) for site, runs in zip(sites, found, strict=True))


def prepare(
    site: Site,
    climate: WaterClimate,
    turns: demand.Stages,
    *,
    trees: CoverRow,
    grass: CoverRow | None,
    mulch: bool,
    variation: Variation | None = None,
    most_a_day: npt.ArrayLike = np.inf,
) -> Prepared:
    """What drives a site's balance; columns are years, and within a year leaves 1 to full-grown.

    Parameters
    ----------
    trees : coefficients of apple over a bare alley; their seasonal shape is used
    grass : coefficients of the alley's grass, or None for a bare alley
    mulch : mulch along the row
    most_a_day : net depth the system gives in a day [mm over the floor], for each leaf or all alike
    """
    full_grown = variation is not None
    changed = variation or Variation()
    crown = site.canopy
    pick = slice(GROWN_LEAF - 1, GROWN_LEAF) if full_grown else slice(0, GROWN_LEAF)
    height, cover = crown.height[pick], crown.cover[pick]
    rooted, depth = crown.rooted_share[pick], crown.root_depth[pick] + changed.deeper
    years, leaves = climate.years.size, height.size
    basal, grazed, most, under = _coefficients(site, climate, turns, height, cover, rooted, trees, grass)
    counts, _, _ = demand.effective_rain(climate.rain, climate.reference, site.soil.curve_number)
    days = np.arange(1, DAYS + 1)
    # before its leaves unfold a tree does not drink: what the bare surface steams off is left to the rain
    allowed = (days[:, np.newaxis] >= np.maximum(turns.development, turns.begins)) & (
        days[:, np.newaxis] <= np.minimum(turns.leaf_fall, turns.empties)
    )
    share = allowed.astype(float) * changed.watered
    ceiling = np.full((DAYS, 1, 1), np.inf)
    if changed.deficit is not None:
        begin, end, part = changed.deficit
        held = ((days >= begin) & (days <= end))[:, np.newaxis, np.newaxis]
        ceiling = np.where(held, part * basal * climate.reference[:, :, np.newaxis], np.inf)

    def spread(values: Array) -> Array:
        wide: Array = np.broadcast_to(values, (DAYS, years, leaves)).reshape(DAYS, years * leaves)
        return wide

    def across(values: Array) -> Array:
        wide: Array = np.broadcast_to(values, (years, leaves)).ravel()
        return wide

    drive = balance.Drive(
        spread(climate.reference[:, :, np.newaxis]),
        spread(counts[:, :, np.newaxis]),
        spread(basal),
        spread(grazed),
        spread(under),
        spread(most),
        spread(share[:, :, np.newaxis]),
        np.asarray(MULCH_LETS_THROUGH if mulch or changed.mulch else 1.0),
        ceiling=spread(ceiling),
    )
    soil = balance.SoilStore(
        site.soil.field_capacity,
        site.soil.wilting_point,
        across(depth),
        across(rooted),
        trees.depletion_share,
        0.1,
        site.soil.readily_evaporable_mm,
    )
    # Drip refills only the soil it wets: a watering gives no more than that part holds ready (KB90), nor than stays.
    ready = trees.depletion_share * soil.total_available * across(site.wetted_part[pick])
    ready = np.minimum(ready, across(site.most_given[pick]))
    rule = balance.Rule(
        TRIGGER,
        REFILL_TO,
        np.minimum(ready, across(np.asarray(most_a_day))),
        across(np.minimum(SURFACE_SHARE * site.wetted_share, rooted)),
    )
    return drive, soil, rule


def _coefficients(
    site: Site,
    climate: WaterClimate,
    turns: demand.Stages,
    height: Array,
    cover: Array,
    rooted: Array,
    trees: CoverRow,
    grass: CoverRow | None,
) -> tuple[Array, Array, Array, Array]:
    """Basal coefficient, that of grass in the trees' ground, upper limit and cover, each (days, years, leaves)."""
    days = np.arange(1, DAYS + 1)
    table = demand.Coefficients(trees.basal_initial, trees.basal_middle, trees.basal_end)
    curve = demand.stage_curve(days, turns, table)
    shape = (curve - demand.KC_LEAST) / (table.middle - demand.KC_LEAST)
    wind, dry = climate.wind[:, np.newaxis], climate.humidity_least[:, np.newaxis]
    full = demand.full_cover_coefficient(height, stomata=STOMATA, wind=wind, humidity_least=dry)
    share = density_of(site)[-height.size :]
    grown = demand.basal_coefficient(share, full) - demand.KC_LEAST
    basal = demand.KC_LEAST * rooted + shape[:, :, np.newaxis] * grown
    under = np.clip(shape, 0.0, 1.0)[:, :, np.newaxis] * cover
    if grass is None:
        grazed = np.zeros_like(basal)
    else:
        growing = (days[:, np.newaxis] > turns.bud_break - 15) & (days[:, np.newaxis] < turns.leaf_fall + 15)
        sward = np.where(growing, grass.basal_middle - demand.KC_LEAST, 0.0)[:, :, np.newaxis]
        grazed = sward * np.maximum(rooted - site.wetted_share, 0.0) * (1 - under)
    most = demand.most_coefficient(basal, height, wind=wind, humidity_least=dry)
    return basal, grazed, np.broadcast_to(most, basal.shape), under


def _carry(prepared: list[Prepared], years: npt.NDArray[np.int64], leaves: int) -> list[balance.Balance]:
    """Run all years at once, each starting from what the year before left, until nothing changes any more.

    A first year, or one after a year left out, starts from full soil.
    """
    follows = np.repeat(np.concatenate([[False], np.diff(years) == 1]), leaves)
    starts = [np.zeros(years.size * leaves) for _ in prepared]
    runs = balance.run_together(prepared, starts)
    moving = list(range(len(prepared)))
    for _ in range(_ROUNDS):
        lefts = [np.concatenate([np.zeros(leaves), runs[at].depletion[-1, :-leaves]]) for at in moving]
        changed = [
            (at, left)
            for at, left in zip(moving, (np.where(follows, left, 0.0) for left in lefts), strict=True)
            if np.abs(left - starts[at]).max() >= 1e-9
        ]
        if not changed:
            break
        moving = [at for at, _ in changed]
        for at, left in changed:
            starts[at] = left
        again = balance.run_together([prepared[at] for at in moving], [starts[at] for at in moving])
        for at, run in zip(moving, again, strict=True):
            runs[at] = run
    return runs
