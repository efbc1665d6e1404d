"""What to pick in a week: how much, where, with how many crates and hours."""

from collections.abc import Mapping, Sequence
from datetime import date
from math import ceil

import numpy as np

from topwire.choice.hands import picking_ease
from topwire.phenology.forecast import Array
from topwire.season.asked import GrownCultivar, RowTrees
from topwire.season.dates import SeasonDates, day_of
from topwire.season.findings import PickWeek, SeasonStage
from topwire.season.stages import day_range
from topwire.values.estimate import Estimate

CRATE = 40 * 0.45359237  # [kg] of a bushel crate, 40 lb: common practice, no source
HANGS = 10.0  # [d] after its last pick that what was not picked still hangs: common practice, no source
ORDINARY = 0.18  # [kg] of a fruit of unknown size
WORTH_A_ROUND = 1.0  # [kg] that is worth going for


def picks_of(
    day: date,
    cultivars: Sequence[GrownCultivar],
    dates: SeasonDates,
    crops: Mapping[str, Estimate],
    picked: Mapping[str, float],
    over: Sequence[str],
    *,
    hours_per_kg: float,
) -> tuple[PickWeek, ...]:
    """Cultivars that are likely to have fruit to pick from `day` to six days later, in the order they ripen.

    Parameters
    ----------
    crops : of all trees of a cultivar this year [kg]
    picked : so far this year [kg]
    hours_per_kg : of one picker, for fruit of ordinary size
    """
    today = day_of(day)
    found = []
    for line in cultivars:
        crop = crops.get(line.name)
        if crop is None or line.name in over or line.name not in dates.names:
            continue
        at = dates.names.index(line.name)
        first, last = (day_range(dates, stage, at) for stage in (SeasonStage.RIPE, SeasonStage.OVER))
        if first is None or last is None:
            continue
        start, end = (dates.reached[stage][:, at] for stage in (SeasonStage.RIPE, SeasonStage.OVER))
        already = picked.get(line.name, 0.0) > 0
        if today > last.high + HANGS or (first.middle > today + 6.5 and not already):
            continue  # over, or more likely than not still unripe: nobody is sent
        error = float(dates.pick_error[at])
        before, after = share_ripe(today - 0.5, start, end, error), share_ripe(today + 6.5, start, end, error)
        left = max(crop.middle - picked.get(line.name, 0.0), 0.0)
        due = left * after if already else crop.middle * (after - before)
        if today > last.high:
            due = left if already else 0.0
        due = min(due, left)
        if due < WORTH_A_ROUND:
            continue
        found.append(
            PickWeek(
                line.name,
                first,
                last,
                crop,
                left,
                due,
                tuple(said(row) for row in line.rows),
                ceil(due / CRATE),
                due * hours_per_kg / float(picking_ease([line.fruit_mass or ORDINARY])[0]),
            )
        )
    return tuple(sorted(found, key=lambda line: (line.first.middle, line.cultivar)))


def share_ripe(day: float, start: Array, end: Array, error: float) -> float:
    """Share of a crop that is ripe by a day, over what the dates may be: it ripens evenly from `start` to `end`.

    Parameters
    ----------
    start, end : (years,) day of the year of the first and the last pick; NaN = none
    error : [d] one standard deviation of both together
    """
    from scipy.special import ndtr  # late: what was found is read without a sum

    known = np.isfinite(start) & np.isfinite(end)
    if not known.any():
        return 0.0
    first, long = start[known], np.maximum(end[known] - start[known], 1.0)
    parts = (np.arange(9) + 0.5) / 9
    when = first[:, None] + long[:, None] * parts
    return float(np.mean(ndtr((day - when) / max(error, 0.1))))


def said(row: RowTrees) -> str:
    """ "South 3, 4 to 18", or "South 3, 4 to 9 and 14 to 18" where others stand between."""
    runs = row.runs or ((row.first, row.last),)
    return f"{row.row}, " + " and ".join(f"{a} to {b}" if b > a else str(a) for a, b in runs)
