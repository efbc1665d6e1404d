"""Which cultivars do not fit a place."""

import numpy as np

from topwire.phenology.findings import Misfit, MisfitReason
from topwire.phenology.forecast import Array, Forecast
from topwire.phenology.injury import winters_below
from topwire.phenology.seasons import Seasons
from topwire.phenology.traits import Traits

# From how many years on a cultivar is called unfit; all common practice, no source.
CHILL_MISSED = 0.1
NOT_RIPE = 0.2
FROST_LOSS, FROST_YEARS = 0.5, 1.0 / 3.0  # half the crop lost to frost, one year in three
WINTER_INJURY = 0.05


def unfit(seasons: Seasons, traits: Traits, found: Forecast, coldest: Array) -> dict[str, tuple[Misfit, ...]]:
    """Cultivars that do not fit, each with its reasons."""
    years = seasons.years.size
    without = np.isnan(found.full_bloom)
    unmet = found.chill_missed.sum(axis=0)
    too_cold = (without & ~found.chill_missed).sum(axis=0)
    bloomed = np.maximum(years - without.sum(axis=0), 1)
    unripe = found.unripe.sum(axis=0)
    lost = (found.crop < 1.0 - FROST_LOSS).sum(axis=0)
    injured = np.rint(winters_below(coldest, traits.lethal) * years)
    every = np.full(len(traits.names), years)
    judged = (
        (MisfitReason.CHILL, unmet, every, CHILL_MISSED),
        (MisfitReason.COLD_SPRING, too_cold, every, CHILL_MISSED),
        (MisfitReason.UNRIPE, unripe, bloomed, NOT_RIPE),
        (MisfitReason.FROST, lost, bloomed, FROST_YEARS),
        (MisfitReason.WOOD, injured, every, WINTER_INJURY),
    )
    beyond = np.array([count > limit * of for _, count, of, limit in judged])
    return {
        traits.names[index]: tuple(
            Misfit(reason, int(count[index]), int(of[index]))
            for (reason, count, of, _), holds in zip(judged, beyond[:, index], strict=True)
            if holds
        )
        for index in np.flatnonzero(beyond.any(axis=0))
    }
