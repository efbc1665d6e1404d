"""The figures a grower asks for, out of the daily balance: seasons, peaks, waterings, what-ifs."""

from itertools import pairwise

import numpy as np
import numpy.typing as npt

from topwire.layout.findings import Layout
from topwire.phenology.findings import PlaceSeasons
from topwire.water.canopy import GROWN_LEAF
from topwire.water.climate import Climate
from topwire.water.demand import (
    Stages,
    adjusted,
    basal_coefficient,
    basal_coefficient_with_grass,
    full_cover_coefficient,
)
from topwire.water.need import STOMATA, Need, Variation, density_of, foresee_need
from topwire.water.result import BlockNeed, WhatIf
from topwire.water.setting import Setting
from topwire.water.system import EFFICIENCY

Array = npt.NDArray[np.float64]

LEAVES = 15
_MONTH_STARTS = (0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365)


def peak_use(need: Need) -> Array:
    """(years, leaves) [L/d] a tree takes up in its thirstiest week."""
    use = need.use * need.site.floor
    sums = np.cumsum(np.concatenate([np.zeros((1, *use.shape[1:])), use]), axis=0)
    most: Array = ((sums[7:] - sums[:-7]) / 7).max(axis=0)
    return most


def emitted(needs: tuple[Need, ...]) -> tuple[Array, ...]:
    return tuple(need.shaped(need.runs.irrigation) * need.site.floor / EFFICIENCY for need in needs)


def low_middle_high(values: Array) -> tuple[float, float, float]:
    low, middle, high = np.percentile(values, [10, 50, 90])
    return float(low), float(middle), float(high)


def middle_of(values: Array, other: float) -> float:
    """Median of the values known, or `other` where none is."""
    known = values[np.isfinite(values)]
    return float(np.median(known)) if known.size else other


def of_planted(values: Array, seasons: PlaceSeasons, layout: Layout) -> Array:
    """The columns of (years, cultivars) that belong to cultivars planted; all where none is of the catalogue."""
    planted = [number for number, name in enumerate(seasons.cultivars) if name in layout.cultivars]
    return values[:, planted] if planted else values


def monthly(daily: Array) -> Array:
    """(12, 3) means of each month over the years: low, middle, high. [mm/d]"""
    return np.array(
        [np.percentile(daily[begin:end].mean(axis=0), [10, 50, 90]) for begin, end in pairwise(_MONTH_STARTS)]
    )


def need_by_leaf(litres: tuple[Array, ...], place: Setting) -> Array:
    """(leaves,) [m3] in a middle year: new trees at that leaf, standing ones full-grown."""
    volumes = np.zeros((litres[0].shape[1], LEAVES))
    stage = np.minimum(np.arange(LEAVES), GROWN_LEAF - 1)
    for part, trees in zip(litres, place.trees, strict=True):
        season = part.sum(axis=0) / 1000
        volumes += trees.new * season[:, stage] + trees.standing * season[:, -1:]
    middle: Array = np.median(volumes, axis=0)
    return middle


def block_needs(needs: tuple[Need, ...], litres: tuple[Array, ...], sward: float) -> tuple[BlockNeed, ...]:
    """Every block at every leaf up to full growth; `sward` is the basal coefficient of grass in the alleys. [-]"""
    found = []
    for need, part in zip(needs, litres, strict=True):
        site, peak = need.site, peak_use(need)
        full = full_cover_coefficient(site.canopy.height, stomata=STOMATA)
        share = density_of(site)
        bare, grassed = basal_coefficient(share, full), basal_coefficient_with_grass(share, full, sward)
        given = need.shaped(need.runs.irrigation)
        ready = need.shaped(need.runs.readily_available)
        deep = need.shaped(need.runs.deep_loss).sum(axis=0)
        for leaf in range(GROWN_LEAF):
            events = (given[:, :, leaf] > 0).sum(axis=0)
            season = part[:, :, leaf].sum(axis=0)
            count = float(np.median(events))
            found.append(
                BlockNeed(
                    site.name,
                    leaf + 1,
                    float(site.canopy.cover[leaf]),
                    float(bare[leaf]),
                    float(grassed[leaf]),
                    float(site.canopy.root_depth[leaf]),
                    float(np.median(ready[180:240, :, leaf]) * site.floor),
                    low_middle_high(season),
                    low_middle_high(peak[:, leaf]),
                    count,
                    float(np.median(season)) / count if count else 0.0,
                    float(np.median(deep[:, leaf]) * site.floor),
                )
            )
    return tuple(found)


def what_ifs_of(
    place: Setting,
    climate: Climate,
    turns: Stages,
    needs: tuple[Need, ...],
    *,
    bloom: float,
    harvest: float,
) -> tuple[WhatIf, ...]:
    """Mulch, deeper soil, deficits and no water at all, on full-grown trees of the block with most trees.

    Parameters
    ----------
    bloom, harvest : float
        [d] of the year, middle of the trees planted.
    """
    largest = int(np.argmax([trees.all for trees in place.trees]))
    site = place.sites[largest]
    plain = needs[largest].shaped(needs[largest].runs.transpiration).sum(axis=0)[:, -1]
    variations = (
        (Variation("as planned"), "the plain rule: water when 80 % of the ready water is gone"),
        (Variation("mulch along the row", mulch=True), "mulch halves what the wet strip steams off"),
        (Variation("roots 0.3 m deeper", deeper=0.3), "deeper soil holds more of the rain"),
        (
            Variation("half water from 40 to 80 days after bloom", deficit=(bloom + 40, bloom + 80, 0.5)),
            "holds back shoots; not in a hot spell, and never while young trees are wanted to fill the wires",
        ),
        (
            Variation("half water after the middle harvest", deficit=(harvest, 366, 0.5)),
            "saves water late; keep some for buds and roots",
        ),
        (Variation("no watering", watered=False), "what rain alone does to full-grown trees"),
    )
    found = []
    for variation, says in variations:
        run = foresee_need(
            site,
            climate,
            turns,
            trees=place.cover,
            grass=place.grass,
            mulch=place.mulch,
            variation=variation,
        )
        lost = 1 - run.shaped(run.runs.transpiration).sum(axis=0)[:, -1] / plain
        found.append(
            WhatIf(
                variation.name,
                low_middle_high(run.net[:, -1] * site.floor / EFFICIENCY),
                low_middle_high(np.maximum(lost, 0.0)),
                says,
            )
        )
    return tuple(found)


def peak_by_table(climate: Climate, place: Setting) -> float:
    """The single coefficient of the table on the same peak weather, mean over the trees. [L/d]"""
    padded = np.cumsum(np.concatenate([np.zeros((1, climate.years.size)), climate.reference]), axis=0)
    hottest = np.percentile(((padded[7:] - padded[:-7]) / 7).max(axis=0), 90)
    trees = np.array([item.all for item in place.trees], dtype=float)
    floor = np.array([site.floor for site in place.sites])
    coefficient = adjusted(
        place.cover.single_middle,
        wind=float(climate.wind.mean()),
        humidity_least=float(climate.humidity_least.mean()),
        height=place.cover.most_height_m,
    )
    return float(hottest * coefficient * (floor * trees).sum() / trees.sum())
