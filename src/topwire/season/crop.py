"""The crop of the year, sharpened as the season goes: trees and their age, this spring's frost, picks of earlier years,
flower clusters, fruits counted, callipers.

Everything is a normal of the crop's logarithm; each piece of evidence weighs with the inverse of its variance.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import NormalDist

import numpy as np

from topwire.growth.load import MASS_PER_CUBE, fruit_target, mass_under_load, small_fruit
from topwire.phenology.forecast import Array
from topwire.season.asked import GrownCultivar, WeekBasis
from topwire.season.dates import KnownPlace, SeasonDates, day_of
from topwire.season.findings import CropSource, SeasonStage
from topwire.season.seen import Seen, SizeSample, TreeCount
from topwire.values.estimate import Estimate

TENTH = NormalDist().inv_cdf(0.9)  # standard deviations from the middle to high
# Planning figures of our own, no source, all of logarithms:
STANDING_SPREAD = 0.4  # a standing tree's crop from year to year
ORCHARD, CULTIVAR, A_YEAR = 0.25, 0.25, 0.35  # level of an orchard, of a cultivar in it, of one year's crop
TREES_DIFFER = 0.4  # trees of one cultivar in fruits
MISCOUNTED = 0.10  # a count by eye
SET_DIFFERS = 0.45  # fruits that a flower cluster leaves
MASS_UNKNOWN = 0.18  # of a fruit by its cultivar and load
LEAST_SPREAD, MOST_SPREAD = 0.05, 1.2
FRUIT_A_CLUSTER = (
    0.8  # left of a flower cluster after the drop, when thinned to one: planning figure, no source
)
HANGS_ON = 0.95  # of fruits counted in summer that are picked: planning figure, no source
GRAMS, MM = 1e3, 1e3
# After a curved beginning of some five weeks fruit gains mass along a straight line to harvest (LAKSO1995).
STRAIGHT_FROM = 25.0  # [d] after bloom at which that line begins at no mass
GROWTH_DIFFERS = 0.25  # of what is still to grow
LEAST_GROWN = 0.2  # share grown under which a calliper says nothing
COUNTS_LAST = 45.0  # [d] after bloom from which fruits counted are those that stay
LEAST_LEFT = 0.02  # share of a crop under which frost has taken it


@dataclass(frozen=True)
class LogNormal:
    """A crop [kg] by its logarithm's middle and spread."""

    centre: float
    spread: float

    @property
    def estimate(self) -> Estimate:
        low, mid, high = (float(np.exp(self.centre + step * self.spread)) for step in (-TENTH, 0.0, TENTH))
        return Estimate(low, mid, high)

    def joined(self, other: "LogNormal") -> "LogNormal":
        """Both pieces of evidence together."""
        weights = 1 / self.spread**2, 1 / other.spread**2
        total = sum(weights)
        return LogNormal((self.centre * weights[0] + other.centre * weights[1]) / total, total**-0.5)


@dataclass(frozen=True)
class CropKnown:
    """The crop of all trees of a cultivar, and what it rests on beside trees and frost."""

    crop: Estimate
    sources: tuple[CropSource, ...]


def by_age(line: GrownCultivar, year: int) -> Estimate | None:
    """Crop of all its trees in a year by their age, over the weather years [kg]; None where none bears."""
    low = middle_ = high = 0.0
    leaves = line.kg_per_tree.shape[0]
    for planted, trees in line.planted:
        leaf = min(year - planted, leaves)
        if leaf >= 1:
            each = line.kg_per_tree[leaf - 1]
            low, middle_, high = low + trees * each[0], middle_ + trees * each[1], high + trees * each[2]
    if line.standing:
        whole = line.standing * line.standing_kg
        low += whole * float(np.exp(-TENTH * STANDING_SPREAD))
        middle_ += whole
        high += whole * float(np.exp(TENTH * STANDING_SPREAD))
    return Estimate(float(low), float(middle_), float(high)) if high > 0 else None


def before_counts(crop: Estimate, left: Array, usual: float) -> LogNormal:
    """The crop by age and by this spring's frost.

    Parameters
    ----------
    crop : over all weather years [kg]
    left : (years of weather to come,) share of a full crop that frost leaves
    usual : the same, mean over the years `crop` stands for
    """
    share = np.maximum(np.nan_to_num(np.asarray(left, dtype=float)), LEAST_LEFT)
    logs = np.log(share / max(usual, LEAST_LEFT))
    centre = max(crop.middle, crop.high / 3, 1e-3)
    wide = np.log(max(crop.high, 1.2 * centre) / centre) / TENTH
    spread = float(np.clip(np.hypot(wide, logs.std()), LEAST_SPREAD, MOST_SPREAD))
    return LogNormal(float(np.log(centre) + logs.mean()), spread)


def levels(ratios: Mapping[str, Sequence[float]]) -> dict[str, float]:
    """How much each cultivar bears beside the plan, as logarithms, from picks of earlier years.

    The orchard's own level is shared by all; a cultivar's departs from it. Both are shrunk to none by how little is
    known.

    Parameters
    ----------
    ratios : by cultivar, logarithm of picked over expected, one a year
    """
    every = [value for found in ratios.values() for value in found]
    if not every:
        return {}
    of_cultivars = [float(np.mean(found)) for found in ratios.values() if found]
    each = CULTIVAR**2 + A_YEAR**2 / (len(every) / len(of_cultivars))
    weight = len(of_cultivars) / each
    orchard = weight * float(np.mean(of_cultivars)) / (weight + 1 / ORCHARD**2)
    made = {"": orchard}
    for name, found in ratios.items():
        own = len(found) / A_YEAR**2
        made[name] = orchard + own * (float(np.mean(found)) - orchard if found else 0.0) / (
            own + 1 / CULTIVAR**2
        )
    return made


def fruit_mass(line: GrownCultivar, fruits_per_cm2: float) -> float | None:
    """Of one fruit at a load [kg]."""
    if line.fruit_mass is None:
        return None
    return float(mass_under_load(line.fruit_mass * GRAMS, fruits_per_cm2, line.load)) / GRAMS


def mass_at_harvest(sample: SizeSample, bloom: float, pick: float) -> tuple[float, float] | None:
    """Mass of a fruit at the first pick from a calliper's sample, and the spread of its logarithm.

    Parameters
    ----------
    bloom, pick : day of the year
    """
    now = MASS_PER_CUBE * (sample.mean * MM) ** 3 / GRAMS
    grown = (day_of(sample.day) - bloom - STRAIGHT_FROM) / max(pick - bloom - STRAIGHT_FROM, 1.0)
    if not grown >= LEAST_GROWN:
        return None
    grown = min(grown, 1.0)
    sampled = 3 * sample.spread / sample.mean / np.sqrt(sample.fruits) if sample.mean > 0 else 1.0
    return now / grown, float(np.sqrt(sampled**2 + (GROWTH_DIFFERS * (1 - grown)) ** 2 + 0.03**2))


def trunk_of(line: GrownCultivar, year: int, measured: Mapping[str, tuple[float, int]]) -> float | None:
    """Cross-section of its trunks [cm2]: measured, else the plan's for trees of that age."""
    if line.name in measured:
        return measured[line.name][0]
    ages = [
        (min(year - planted, line.trunk_area.size), trees)
        for planted, trees in line.planted
        if planted < year
    ]
    known = [(line.trunk_area[leaf - 1], trees) for leaf, trees in ages if leaf >= 1]
    if not known:
        return None
    return float(sum(area * trees for area, trees in known) / sum(trees for _, trees in known))


def target_of(
    line: GrownCultivar, year: int, trunk: float, measured: Mapping[str, tuple[float, int]]
) -> float:
    """Fruits to leave on a tree: by its trunk [cm2] where that was measured, else the plan's for trees of that age."""
    if line.name not in measured:
        ages = [
            (min(year - planted, line.fruit_target.size), n) for planted, n in line.planted if planted < year
        ]
        known = [(float(line.fruit_target[leaf - 1]), trees) for leaf, trees in ages if leaf >= 1]
        if known:
            return sum(fruits * trees for fruits, trees in known) / sum(trees for _, trees in known)
    small = 1.0 if line.fruit_mass is None else float(small_fruit(line.fruit_mass * GRAMS, line.load))
    return float(fruit_target(trunk, line.load * small))


def from_count(
    line: GrownCultivar,
    count: TreeCount,
    trees: int,
    trunk: float | None,
    target: float | None,
    size: tuple[float, float] | None,
) -> LogNormal | None:
    """The crop that a count of trees says; None where a fruit's mass or the trees' target is not known."""
    fruits, spread = count.per_tree, TREES_DIFFER / np.sqrt(count.trees)
    if count.flowers:
        if target is None:
            return None
        fruits, spread = min(FRUIT_A_CLUSTER * fruits, target), float(np.hypot(spread, SET_DIFFERS))
    load = fruits / trunk if trunk else line.load
    mass = fruit_mass(line, load)
    if size is not None:
        mass, unsure = size
    elif mass is None:
        return None
    else:
        unsure = MASS_UNKNOWN
    kilograms = HANGS_ON * fruits * trees * mass
    if kilograms <= 0:
        return None
    return LogNormal(float(np.log(kilograms)), float(np.sqrt(spread**2 + MISCOUNTED**2 + unsure**2)))


def crops_of(
    basis: WeekBasis, dates: SeasonDates, year: int, seen: Seen, learnt: Mapping[str, float]
) -> Mapping[str, CropKnown]:
    """Crop of every cultivar this year [kg].

    Parameters
    ----------
    basis : with the trees that stand this year
    learnt : level by cultivar, as `levels` has it; the empty name is the orchard's
    """
    found = {}
    for line, usual in zip(basis.cultivars, basis.crop_share, strict=True):
        crop = by_age(line, year)
        if crop is None:
            continue
        at = dates.names.index(line.name)
        bloom = dates.middle(SeasonStage.FULL_BLOOM, at)
        pick = dates.middle(SeasonStage.RIPE, at)
        trees = line.bearing(year)
        known = before_counts(crop, dates.crop[:, at], float(usual))
        sources: list[CropSource] = []
        level = learnt.get(line.name, learnt.get(""))
        if level is not None:
            known = LogNormal(known.centre + level, max(known.spread * 0.85, A_YEAR * 0.8))
            sources.append(CropSource.PICKS)
        trunk = trunk_of(line, year, seen.trunks)
        size, sized = _size(line.name, seen.sizes, bloom, pick)
        count = _newest_count(line.name, seen.counts, bloom)
        if count is not None:
            target = None if trunk is None else target_of(line, year, trunk, seen.trunks)
            counted = from_count(line, count, trees, trunk, target, size)
            if counted is not None:
                known = known.joined(counted)
                sources.append(CropSource.CLUSTERS if count.flowers else CropSource.FRUITS)
                if sized:
                    sources.append(CropSource.SIZES)
        already = seen.picked.get(line.name, 0.0)
        crop_now = known.estimate
        if already > 0:
            crop_now = Estimate(
                *(max(value, already) for value in (crop_now.low, crop_now.middle, crop_now.high))
            )
        found[line.name] = CropKnown(crop_now, tuple(sources))
    return found


def _size(
    name: str, sizes: Sequence[SizeSample], bloom: float, pick: float
) -> tuple[tuple[float, float] | None, bool]:
    """By the newest calliper sample that says something."""
    for sample in sorted(
        (one for one in sizes if one.cultivar == name), key=lambda one: one.day, reverse=True
    ):
        if np.isfinite(bloom) and np.isfinite(pick):
            found = mass_at_harvest(sample, bloom, pick)
            if found is not None:
                return found, True
    return None, False


def _newest_count(name: str, counts: Sequence[TreeCount], bloom: float) -> TreeCount | None:
    """Counts of one kind and fortnight together: of fruits that stay, where there are some, else of clusters."""
    own = [one for one in counts if one.cultivar == name]
    fruits = [one for one in own if not one.flowers and _stays(one.day, bloom)]
    taken = fruits or [one for one in own if one.flowers]
    if not taken:
        return None
    last = max(one.day for one in taken)
    taken = [one for one in taken if (last - one.day).days <= 14]
    trees = sum(one.trees for one in taken)
    per_tree = sum(one.per_tree * one.trees for one in taken) / trees
    return TreeCount(name, last, taken[0].flowers, per_tree, trees)


def _stays(day: date, bloom: float) -> bool:
    return not np.isfinite(bloom) or day_of(day) >= bloom + COUNTS_LAST


def frost_shares(known: KnownPlace) -> dict[int, dict[str, float]]:
    """Share of a full crop that frost left in each year before, by cultivar."""
    return {
        int(year): dict(zip(known.traits.names, map(float, row), strict=True))
        for year, row in zip(known.others.years, known.crop, strict=True)
    }


def ratios_of(
    basis: WeekBasis, shares: Mapping[int, Mapping[str, float]], seen: Seen
) -> dict[str, list[float]]:
    """Logarithms of picked over expected in earlier years.

    Parameters
    ----------
    shares : by year and cultivar, share of a full crop that frost left
    """
    found: dict[str, list[float]] = {}
    for line, usual in zip(basis.cultivars, basis.crop_share, strict=True):
        for year, of_year in shares.items():
            picked = seen.picked_before.get((year, line.name), 0.0)
            crop = by_age(line, year)
            if picked > 0 and crop is not None and year < seen.day.year:
                share = max(of_year.get(line.name, float(usual)), LEAST_LEFT) / max(float(usual), LEAST_LEFT)
                expected = max(crop.middle, crop.high / 3) * share
                ratio = float(np.clip(np.log(picked / expected), -1.5, 1.5))
                found.setdefault(line.name, []).append(ratio)
    return found
