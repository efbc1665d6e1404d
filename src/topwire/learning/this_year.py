"""This year: what is known of its weather and its bloom so far, and what follows for every cultivar.

Once bloom of one cultivar is seen, all others move with it: they share a year's error and nearly all of it shows in the
first. Harvest is forecast again from the bloom so found and the warmth so far. Weather to come is that of each of the
years of today.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from topwire.learning.findings import CultivarNow, ThisYear
from topwire.phenology.forecast import Forecast, forecast
from topwire.phenology.own_dates import (
    BLOOM,
    HARVEST,
    Learned,
    dates_of,
    error_of,
    events_of,
    near_and_far,
    place_and_offsets,
    spread_of,
)
from topwire.phenology.ranges import range_of
from topwire.phenology.seasons import Begun, Seasons
from topwire.phenology.traits import Traits
from topwire.values.arrays import Floats
from topwire.values.own_date import DateSeen, OwnDate

SEEN_TO = 0.5  # [d] to which a date that was seen is known


def this_year(
    begun: Begun,
    others: Seasons,
    traits: Traits,
    known: Forecast,
    learned: Sequence[Learned],
    own: Sequence[OwnDate],
    *,
    colder: float,
) -> tuple[ThisYear, list[OwnDate]]:
    """Bloom and first pick of every cultivar in the season under way, and dates too far off to move them.

    Parameters
    ----------
    others : the years that stand for the weather to come
    traits, known : with what earlier years' dates taught, and the forecast of the whole record
    own : all dates; those of this year's bloom are taken
    """
    going = begun.within(others)
    found = forecast(going, traits, colder=colder, today=known)
    of_bloom = dates_of(own, BLOOM)
    seen, far = near_and_far(
        [row for row in of_bloom if row.date.year == begun.year and row.cultivar in traits.names],
        traits,
        found,
    )
    spread = spread_of(BLOOM, known)
    place, offset_error = place_and_offsets(BLOOM, traits, spread, learned)
    late, sure = shared_lateness(
        seen, found, traits, offset_error, spread.single, float(np.hypot(place, spread.year))
    )
    error = np.sqrt(sure**2 + offset_error**2 + spread.single**2)
    shift = np.full(len(traits.names), late)
    dated = {}
    for row in seen:
        if row.event is DateSeen.FULL_BLOOM:
            at = traits.names.index(row.cultivar)
            dated[at] = day = float(row.date.timetuple().tm_yday)
            shift[at] = day - float(np.nanmedian(found.full_bloom[:, at]))
            error[at] = SEEN_TO
    then = forecast(
        going, replace(traits, bloom_shift=traits.bloom_shift + shift), colder=colder, today=known
    )
    harvest_error = error_of(HARVEST, traits, known, learned)
    lines = []
    for at, name in enumerate(traits.names):
        bloom = range_of(then.full_bloom[:, at], float(error[at]))
        pick = range_of(then.harvest_first[:, at], float(harvest_error[at]))
        if bloom is not None:
            lines.append(CultivarNow(name, at in dated, bloom, pick))
    return ThisYear(begun.year, begun.tmin.size, len(seen), late, tuple(lines)), far


def shared_lateness(
    seen: Sequence[OwnDate], found: Forecast, traits: Traits, offset_error: Floats, single: float, year: float
) -> tuple[float, float]:
    """Days by which this year is late for all cultivars, and how sure that is [d]: a posterior about 0 with `year`."""
    weight, total = 1.0 / year**2, 0.0
    for row in seen:
        at = traits.names.index(row.cultivar)
        middle = np.nanmedian(events_of(found)[row.event][:, at])
        if np.isfinite(middle):
            own = 1.0 / (offset_error[at] ** 2 + single**2)
            weight += own
            total += own * (row.date.timetuple().tm_yday - float(middle))
    return total / weight, float(weight**-0.5)
