"""The figures a grower asks for, out of the daily balance: seasons, peaks, waterings, what-ifs."""

from itertools import pairwise

import numpy as np
import numpy.typing as npt

from topwire.values.calendar import MONTH_STARTS
from topwire.water.asked import PlantedQuestion, WaterQuestion
from topwire.water.canopy import GROWN_LEAF
from topwire.water.climate import WaterClimate
from topwire.water.demand import (
    Stages,
    adjusted,
    basal_coefficient,
    basal_coefficient_with_grass,
    full_cover_coefficient,
)
from topwire.water.findings import BlockNeed, NeedChange, Wetting, WhatIf
from topwire.water.need import STOMATA, Site, Variation, WaterNeed, density_of, foresee_needs, prepare
from topwire.water.system import EFFICIENCY, System
from topwire.water.wetting import Soaked

Array = npt.NDArray[np.float64]

LEAVES = 15


def peak_use(need: WaterNeed) -> Array:
    """(years, leaves) [m3/d] a tree takes up in its thirstiest week."""
    use = need.use / 1000 * need.site.floor
    sums = np.cumsum(np.concatenate([np.zeros((1, *use.shape[1:])), use]), axis=0)
    most: Array = ((sums[7:] - sums[:-7]) / 7).max(axis=0)
    return most


def emitted(needs: tuple[WaterNeed, ...]) -> tuple[Array, ...]:
    """By site (days, years, leaves) [m3] out of the emitters for a tree.

    What falls beside the roots of a young tree and what the drip itself loses are in it.
    """
    return tuple(
        need.shaped(need.runs.irrigation)
        / 1000
        * need.site.floor
        / EFFICIENCY
        / need.site.reaches_roots[-need.leaves :]
        for need in needs
    )


def low_middle_high(values: Array) -> tuple[float, float, float]:
    low, middle, high = np.percentile(values, [10, 50, 90])
    return float(low), float(middle), float(high)


def monthly(daily: Array) -> Array:
    """(12, 3) means of each month over the years: low, middle, high. [mm/d]"""
    return np.array(
        [np.percentile(daily[begin:end].mean(axis=0), [10, 50, 90]) for begin, end in pairwise(MONTH_STARTS)]
    )


def need_by_leaf(asked: WaterQuestion, volumes: tuple[Array, ...]) -> Array:
    """(leaves,) [m3] in a middle year: new trees at that leaf, standing ones full-grown."""
    total = np.zeros((volumes[0].shape[1], LEAVES))
    stage = np.minimum(np.arange(LEAVES), GROWN_LEAF - 1)
    for part, trees in zip(volumes, asked.trees, strict=True):
        season = part.sum(axis=0)
        total += trees.new * season[:, stage] + trees.standing * season[:, -1:]
    middle: Array = np.median(total, axis=0)
    return middle


def block_needs(
    asked: WaterQuestion, needs: tuple[WaterNeed, ...], volumes: tuple[Array, ...], system: System
) -> tuple[BlockNeed, ...]:
    """Every block at every leaf up to full growth."""
    found = []
    for number, (need, part) in enumerate(zip(needs, volumes, strict=True)):
        site, peak = need.site, peak_use(need)
        zones = [zone for zone in system.zones if zone.rows[0].block == number]
        trees = sum(zone.trees for zone in zones)
        away = max(row.farthest(system.line) for zone in zones for row in zone.rows)
        flow = sum(zone.flow for zone in zones) / trees
        given = need.shaped(need.runs.irrigation)
        ready = need.shaped(need.runs.readily_available)
        coefficients = _coefficients(asked, site)
        for leaf in range(GROWN_LEAF):
            watered = given[:, :, leaf] > 0
            count = float(np.median(watered.sum(axis=0)))
            each = float(np.median(part[:, :, leaf][watered])) if watered.any() else 0.0
            found.append(
                BlockNeed(
                    block=site.name,
                    leaf=leaf + 1,
                    ground_cover=float(site.canopy.cover[leaf]),
                    coefficient=float(coefficients[leaf]),
                    wetting=_wetting(site.soaks[leaf], away),
                    readily_available=float(np.median(ready[180:240, :, leaf]) * site.floor / 1000),
                    season=low_middle_high(part[:, :, leaf].sum(axis=0)),
                    peak=low_middle_high(peak[:, leaf]),
                    waterings=count,
                    each=each,
                    hours_each=each / flow / 3600,
                )
            )
    return tuple(found)


def _wetting(soaks: Soaked, away: float) -> Wetting:
    roots, beside, below = (EFFICIENCY * part for part in (soaks.roots, soaks.beside, soaks.below))
    return Wetting(roots, beside, below, 1 - EFFICIENCY, soaks.width, soaks.depth, away)


def _coefficients(asked: WaterQuestion, site: Site) -> Array:
    """(leaves,) mid-season basal coefficients over the whole floor in the standard climate. [-]"""
    full = full_cover_coefficient(site.canopy.height, stomata=STOMATA)
    share = density_of(site)
    if asked.grass is None:
        return basal_coefficient(share, full)
    return basal_coefficient_with_grass(share, full, asked.grass.basal_middle)


def taken_up(asked: WaterQuestion, needs: tuple[WaterNeed, ...]) -> Array:
    """(years,) [mm] by full-grown trees of the block with most trees."""
    return _full_grown(needs[_largest(asked)])


def _largest(asked: WaterQuestion) -> int:
    return int(np.argmax([trees.all for trees in asked.trees]))


def _full_grown(need: WaterNeed) -> Array:
    found: Array = need.shaped(need.runs.transpiration).sum(axis=0)[:, -1]
    return found


def what_ifs(
    asked: PlantedQuestion, climate: WaterClimate, turns: Stages, taken_up: Array
) -> tuple[WhatIf, ...]:
    """Mulch, deeper soil, deficits and no water at all, on full-grown trees of the block with most trees.

    taken_up : as of the function of that name
    """
    site = asked.sites[_largest(asked)]
    bloom, harvest = asked.planted.bloom, asked.planted.harvest
    variations = {
        NeedChange.AS_PLANNED: Variation(),
        NeedChange.MULCH: Variation(mulch=True),
        NeedChange.DEEPER_ROOTS: Variation(deeper=0.3),
        NeedChange.HALF_AFTER_BLOOM: Variation(deficit=(bloom + 40, bloom + 80, 0.5)),
        NeedChange.HALF_AFTER_HARVEST: Variation(deficit=(harvest, 366, 0.5)),
        NeedChange.NO_WATER: Variation(watered=False),
    }
    prepared = [
        prepare(
            site,
            climate,
            turns,
            trees=asked.cover,
            grass=asked.grass,
            mulch=asked.mulch,
            variation=variation,
        )
        for variation in variations.values()
    ]
    runs = foresee_needs([(site, one) for one in prepared], climate.years)
    found = []
    for change, run in zip(variations, runs, strict=True):
        lost = 1 - _full_grown(run) / taken_up
        season = emitted((run,))[0].sum(axis=0)[:, -1]
        found.append(WhatIf(change, low_middle_high(season), low_middle_high(np.maximum(lost, 0.0))))
    return tuple(found)


def peak_by_table(asked: WaterQuestion, climate: WaterClimate) -> float:
    """The single coefficient of the table on the same peak weather, mean over the trees. [m3/d]"""
    padded = np.cumsum(np.concatenate([np.zeros((1, climate.years.size)), climate.reference]), axis=0)
    hottest = np.percentile(((padded[7:] - padded[:-7]) / 7).max(axis=0), 90)
    coefficient = adjusted(
        asked.cover.single_middle,
        wind=float(climate.wind.mean()),
        humidity_least=float(climate.humidity_least.mean()),
        height=asked.cover.most_height_m,
    )
    trees = sum(item.all for item in asked.trees)
    return float(hottest * coefficient * asked.floor / trees / 1000)
