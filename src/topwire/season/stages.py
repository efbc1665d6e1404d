"""Where each cultivar stands on a day, and what comes next."""

from collections.abc import Collection, Sequence
from datetime import date

import numpy as np

from topwire.phenology.ranges import range_of
from topwire.season.asked import GrownCultivar
from topwire.season.dates import SeasonDates, day_of
from topwire.season.findings import CultivarWeek, SeasonStage
from topwire.values.estimate import Estimate

_BLOOM = (SeasonStage.FIRST_BLOOM, SeasonStage.FULL_BLOOM, SeasonStage.PETAL_FALL)


def day_range(dates: SeasonDates, stage: SeasonStage, at: int) -> Estimate | None:
    """Low, middle and high day of a stage of one cultivar."""
    error = dates.pick_error if stage in (SeasonStage.RIPE, SeasonStage.OVER) else dates.bloom_error
    return range_of(dates.reached[stage][:, at], float(error[at]))


def stages_on(
    day: date,
    cultivars: Sequence[GrownCultivar],
    dates: SeasonDates,
    over: Sequence[str],
    bearing: Collection[str],
) -> tuple[CultivarWeek, ...]:
    """One line a cultivar that stands in the ground, the next to come first.

    Parameters
    ----------
    over : cultivars whose harvest is noted as over
    bearing : those with a crop this year
    """
    today = day_of(day)
    lines = []
    for line in cultivars:
        trees = line.bearing(day.year)
        if not trees or line.name not in dates.names:
            continue
        at = dates.names.index(line.name)
        reached = {stage: float(days[at]) for stage, days in dates.middles.items()}
        stage = SeasonStage.DORMANT
        for found, when in reached.items():
            bears = line.name in bearing or found not in (SeasonStage.RIPE, SeasonStage.OVER)
            if np.isfinite(when) and when < today + 0.5 and bears:
                stage = found
        if line.name in over:
            stage = SeasonStage.OVER
        coming = _coming(stage)
        if line.name not in bearing and coming is not SeasonStage.FULL_BLOOM:
            coming = None
        found_day = day_range(dates, coming, at) if coming else None
        days = (
            None
            if found_day is None
            else Estimate(
                *(max(value - today, 0.0) for value in (found_day.low, found_day.middle, found_day.high))
            )
        )
        seen = (stage in _BLOOM and bool(np.isfinite(dates.bloom_seen[at]))) or (
            stage is SeasonStage.RIPE and bool(np.isfinite(dates.pick_seen[at]))
        )
        lines.append(CultivarWeek(line.name, trees, stage, seen, coming, found_day, days))
    return tuple(sorted(lines, key=lambda line: (line.day.middle if line.day else np.inf, line.cultivar)))


def _coming(stage: SeasonStage) -> SeasonStage | None:
    order = list(SeasonStage)
    if order.index(stage) < order.index(SeasonStage.FULL_BLOOM):
        return SeasonStage.FULL_BLOOM
    if order.index(stage) < order.index(SeasonStage.RIPE):
        return SeasonStage.RIPE
    return SeasonStage.OVER if stage is SeasonStage.RIPE else None
