"""Bloom and harvest of the season under way: its weather so far, the days ahead, the dates seen in it.

What is to come is the weather of each of the years of today. A date seen in one cultivar moves all others: they share a
year's error. What earlier years taught is known when the season begins and is worked out once.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

import numpy as np

from topwire.learning.this_year import SEEN_TO, shared_lateness
from topwire.phenology import ripening, stages
from topwire.phenology.calibration import DateSpread
from topwire.phenology.forecast import Array, Forecast, forecast
from topwire.phenology.own_dates import (
    BLOOM,
    HARVEST,
    Learned,
    dates_of,
    learn,
    place_and_offsets,
    spread_of,
)
from topwire.phenology.seasons import Begun, Seasons
from topwire.phenology.spring import LONGEST_SPRING, MARCH
from topwire.phenology.traits import Traits
from topwire.phenology.warming import today_from
from topwire.season.believed import DateLeftOut, Judge
from topwire.season.findings import SeasonStage
from topwire.season.medians import medians
from topwire.values.own_date import DateSeen, OwnDate

PRIOR_YEARS = 6.0  # years of own dates that weigh as much as the spread of other places: assumption
FRUIT_SET = 14.0  # [d] from petal fall until fruit can be told from what falls: common practice, no source
_BUD = [(stage, share) for stage, share in stages.SHARES.items() if share <= stages.PINK]


@dataclass(frozen=True)
class KnownPlace:
    """What the years before a season taught of its place. Arrays (cultivars,) or (years, cultivars) of `traits`.

    Attributes
    ----------
    traits : with what earlier dates taught
    others : the years of today's climate, which stand for the weather to come
    usual, usual_day : what dates depart from
    bloom_spread, harvest_spread : standard deviations [d], the place's as far as dates have not narrowed it
    bloom_offset, harvest_offset : [d] error of each cultivar's offset
    bloom, harvest : days of the years of `others`
    crop : share of a full crop that frost left in them
    """

    traits: Traits
    others: Seasons
    usual: ripening.UsualSeason
    usual_day: Array
    bloom_spread: DateSpread
    harvest_spread: DateSpread
    bloom_offset: Array
    harvest_offset: Array
    bloom: Array
    harvest: Array
    crop: Array


def known_place(
    seasons: Seasons, traits: Traits, own: Sequence[OwnDate], *, year: int, colder: float
) -> KnownPlace:
    """What was known when the season of `year` began.

    Parameters
    ----------
    seasons : years of weather, of which those before `year` are taken; the only ones there are where none is before
    own : dates, of which those of earlier years are taken
    """
    before = seasons.years < year
    if before.any():
        first = today_from(seasons.years[before])
        past = seasons.some(before)
    else:
        first, past = int(seasons.years[0]), seasons
    traits, found, learned = learn(past, traits, [row for row in own if row.date.year < year], colder=colder)
    of_today = past.years >= first

    def known(what: str) -> tuple[DateSpread, Array]:
        plain = spread_of(what, found)
        place, offset = place_and_offsets(what, traits, plain, learned)
        item = next((item for item in learned if item.what == what), None)
        spread = plain if item is None else narrowed(plain, item)
        return replace(spread, place=place), offset

    (bloom_spread, bloom_offset), (harvest_spread, harvest_offset) = known(BLOOM), known(HARVEST)
    return KnownPlace(
        traits=traits,
        others=past.some(of_today),
        usual=found.usual,
        usual_day=found.usual_day,
        bloom_spread=bloom_spread,
        harvest_spread=harvest_spread,
        bloom_offset=bloom_offset,
        harvest_offset=harvest_offset,
        bloom=found.full_bloom[of_today],
        harvest=found.harvest_first[of_today],
        crop=found.crop[of_today],
    )


def narrowed(plain: DateSpread, item: Learned) -> DateSpread:
    """What is left to err by once a place's own dates are known: their errors in years left out teach the year's.

    The spread the program starts from counts as much as PRIOR_YEARS years of dates.
    """
    years = np.unique(item.departures.only(item.taken).year, return_inverse=True)[1]
    count = int(years.max()) + 1
    squares = np.bincount(years, weights=item.rest**2) / np.bincount(years)
    prior = plain.year**2 + plain.single**2
    share = np.sqrt((PRIOR_YEARS * prior + squares.sum()) / ((PRIOR_YEARS + count) * prior))
    return replace(plain, place=0.0, year=float(share * plain.year), single=float(share * plain.single))


@dataclass(frozen=True)
class SeasonDates:
    """Days of the year, (years of weather to come, cultivars), with the errors to expect, (cultivars,) [d].

    Attributes
    ----------
    reached : by stage, in the order they come
    bloom_seen, pick_seen : (cultivars,) day seen; NaN where it was not
    late, pick_late : [d] all cultivars, by the dates seen
    crop : share of a full crop that frost leaves
    taken : dates seen that moved them; left_out : those that were too far off
    """

    names: tuple[str, ...]
    reached: dict[SeasonStage, Array]
    bloom_error: Array
    pick_error: Array
    bloom_seen: Array
    pick_seen: Array
    late: float
    pick_late: float
    crop: Array
    taken: int
    left_out: tuple[DateLeftOut, ...]

    @cached_property
    def middles(self) -> dict[SeasonStage, Array]:
        """(cultivars,) middle day of each stage; NaN where it does not come."""
        return {stage: medians(days) for stage, days in self.reached.items()}

    def middle(self, stage: SeasonStage, cultivar: int) -> float:
        return float(self.middles[stage][cultivar])


def season_dates(
    known: KnownPlace,
    begun: Begun,
    seen: Sequence[OwnDate],
    picked: Mapping[str, Sequence[date]] | None = None,
    *,
    colder: float,
) -> SeasonDates:
    """Every stage of every cultivar.

    Parameters
    ----------
    begun : days known, those of a weather forecast with them
    seen : dates of this season, by the day the question is put
    picked : by cultivar, days on which fruit was picked: the first stands for a first pick nobody noted
    """
    going, traits = begun.within(known.others), known.traits
    seen = [row for row in seen if row.cultivar in traits.names]
    found = forecast(going, traits, colder=colder, today=known)
    bloom, harvest = known.bloom_spread, known.harvest_spread
    blooms = Judge.of(found, traits.names, bloom, known.bloom_offset).weigh(dates_of(seen, BLOOM))
    of_bloom = blooms.taken
    late, sure = shared_lateness(
        of_bloom, found, traits, known.bloom_offset, bloom.single, float(np.hypot(bloom.place, bloom.year))
    )
    bloom_error = np.sqrt(sure**2 + known.bloom_offset**2 + bloom.single**2)
    shift, bloom_seen = _seen(of_bloom, DateSeen.FULL_BLOOM, found.full_bloom, traits.names, late)
    bloom_error = np.where(np.isfinite(bloom_seen), SEEN_TO, bloom_error)
    then = found
    if of_bloom:
        moved = replace(traits, bloom_shift=traits.bloom_shift + shift)
        then = forecast(going, moved, colder=colder, today=known, chill=found.chill)
    picks = Judge.of(then, traits.names, harvest, known.harvest_offset).weigh(
        dates_of(seen, HARVEST),
        {name: days for name, days in (picked or {}).items() if name in traits.names},
    )
    of_harvest = picks.taken
    pick_late, sure = shared_lateness(
        of_harvest,
        then,
        traits,
        known.harvest_offset,
        harvest.single,
        float(np.hypot(harvest.place, harvest.year)),
    )
    pick_error = np.sqrt(sure**2 + known.harvest_offset**2 + harvest.single**2)
    pick_shift, pick_seen = _seen(
        of_harvest, DateSeen.FIRST_PICK, then.harvest_first, traits.names, pick_late
    )
    return SeasonDates(
        names=traits.names,
        reached=_reached(going, then, pick_shift),
        bloom_error=bloom_error,
        pick_error=np.where(np.isfinite(pick_seen), SEEN_TO, pick_error),
        bloom_seen=bloom_seen,
        pick_seen=pick_seen,
        late=late,
        pick_late=pick_late,
        crop=then.crop,
        taken=len(of_bloom) + len(of_harvest),
        left_out=(*blooms.left_out, *picks.left_out),
    )


def _seen(
    rows: Sequence[OwnDate], event: DateSeen, found: Array, names: tuple[str, ...], late: float
) -> tuple[Array, Array]:
    """Days to add for each cultivar, and the day it was seen on; the first where there are several."""
    shift, days = np.full(len(names), late), np.full(len(names), np.nan)
    for row in sorted(rows, key=lambda row: row.date, reverse=True):
        if row.event is event:
            at = names.index(row.cultivar)
            days[at] = day_of(row.date)
            shift[at] = days[at] - float(np.nanmedian(found[:, at]))
    return shift, days


def day_of(day: date) -> float:
    return float(day.timetuple().tm_yday)


def _reached(going: Seasons, then: Forecast, pick_shift: Array) -> dict[SeasonStage, Array]:
    running = stages.stage_heat(going.tmin, going.tmax)
    begin = np.minimum(MARCH, then.full_bloom - LONGEST_SPRING)
    days = {stage: stages.stage_day(running, begin, then.full_bloom, share) for stage, share in _BUD}
    return days | {
        SeasonStage.FIRST_BLOOM: then.first_bloom,
        SeasonStage.FULL_BLOOM: then.full_bloom,
        SeasonStage.PETAL_FALL: then.petal_fall,
        SeasonStage.GROWING: then.petal_fall + FRUIT_SET,
        SeasonStage.RIPE: then.harvest_first + pick_shift,
        SeasonStage.OVER: then.harvest_last + pick_shift,
    }
