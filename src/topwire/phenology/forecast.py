"""Bloom, frost and harvest of every cultivar in every season: the science put together, still plain arrays."""

from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np
import numpy.typing as npt

from topwire.phenology import frost, ripening, stages
from topwire.phenology.bloom import (
    DAYS_BEFORE_NEW_YEAR,
    bloom_hours,
    chill_with_frost,
    day_of_year,
    heat_after_chill,
)
from topwire.phenology.chill import portions
from topwire.phenology.seasons import HOURLY_DAYS, Seasons
from topwire.phenology.traits import Traits

Array = npt.NDArray[np.float64]

SPRING = slice(DAYS_BEFORE_NEW_YEAR, HOURLY_DAYS)  # 1 January to 30 June: when frost can take flowers
EVENINGS_BEFORE = slice(SPRING.start - 1, SPRING.stop - 1)  # buds in a night are as far as the evening before

# Bud stages count heat from 1 March, as the list they come from does (UMASS-STAGES; it counted from 1 January in
# another year, which matters little in New England and puts green tip far too early further south). From there Golden
# Delicious blooms at 383 and 372 F-days at Winchester and Rock Springs, where that list puts full bloom at 378. Where
# bloom is so early that this leaves no spring, heat counts from 50 days before bloom, the longest green tip to bloom on
# record (MSU-STAGES).
MARCH = 60.0
LONGEST_SPRING = 50.0  # [d]
# Begin of bloom (one flower in twenty) and its end as shares of the heat to full bloom: middle of 147 and 132
# cultivar-years of the Rhineland and Morocco (benchmarks/fit_dates.py). Bud stages for frost follow the list above.
BEGIN, END = 0.86, 1.21
HARDER_FROST = 2.0  # [K] a spring that could have been: planning figure, no source


class Usual(Protocol):
    """What the years of a place depart from."""

    @property
    def usual(self) -> ripening.UsualSeason: ...

    @property
    def usual_day(self) -> Array: ...


@dataclass(frozen=True)
class Forecast:
    """Arrays (years, cultivars) unless said otherwise; days of the year; NaN = chill not met, or not ripe."""

    chill: Array  # (years, hours) running total [portions]
    chill_missed: npt.NDArray[np.bool_]  # no bloom date for want of chill; else for want of warmth by 30 June
    first_bloom: Array
    full_bloom: Array
    petal_fall: Array
    green_tip: Array
    kill: Array
    kill_warmer_night: Array  # with every night 1 K warmer
    kill_harder_frost: Array  # with every night HARDER_FROST colder
    harvest_first: Array
    harvest_last: Array
    unripe: npt.NDArray[np.bool_]  # bloomed, but does not ripen before winter
    usual: ripening.UsualSeason  # what harvests depart from at this place
    usual_day: Array  # (cultivars,) mean full bloom by warmth alone, before anything learned in days
    early: Array  # [d] each year's departure from it
    pace: Array  # [d] that the heat of an ordinary day takes in each spring

    @property
    def crop(self) -> Array:
        return frost.crop_left(self.kill)


def forecast(
    seasons: Seasons,
    traits: Traits,
    *,
    colder: float = 0.0,
    today: Usual | None = None,
    chill: Array | None = None,
) -> Forecast:
    """Forecast for all seasons and cultivars.

    Parameters
    ----------
    seasons : the weather
    traits : the cultivars
    colder : [K] how much colder the orchard's frost nights are than the station's
    today : the forecast of today's climate, where `seasons` are of another one
    chill : (years, hours) of a forecast of the same seasons, which need not be summed again
    """
    if chill is None:
        chill = np.cumsum(portions(seasons.temperature), axis=1)
    effective = chill_with_frost(chill, seasons.tmin, seasons.tmax)
    heat = heat_after_chill(seasons.temperature, effective, traits.shape)
    by_heat = day_of_year(bloom_hours(heat, effective, traits.need))
    usual_day = today.usual_day if today is not None else ripening.mean_of_years(by_heat)
    early = by_heat - usual_day
    moved = traits.bloom_shift + traits.bloom_slope * early
    full = by_heat + moved
    pace = _at_share(heat, traits, full, 1.0, more=traits.heat_of_a_day) - by_heat
    unchilled = bloom_hours(heat, effective, replace(traits.need, required=0.0))
    chill_missed = np.isnan(full) & np.isfinite(unchilled)
    begin = np.minimum(MARCH, full - LONGEST_SPRING)
    running = stages.stage_heat(seasons.tmin, seasons.tmax)
    share = stages.progress(running, begin, full, window=EVENINGS_BEFORE)
    night = seasons.tmin[:, SPRING] - colder
    nights = np.stack([night, night + 1.0, night - HARDER_FROST])
    kill, kill_warmer, kill_harder = frost.killed(nights, share, traits.hardier)

    as_reference = full - traits.bloom_offset
    nights = ripening.mean_after(seasons.tmin, as_reference, ripening.DAYS_AFTER_BLOOM)
    warmth = ripening.mean_after((seasons.tmin + seasons.tmax) / 2.0, full, ripening.WARM_DAYS)
    rule = ripening.rule_date(as_reference, nights)
    usual = today.usual if today is not None else ripening.usual_season(rule, full, warmth)
    first = ripening.first_pick(usual, traits.harvest_offset, full, warmth)
    first = first + traits.harvest_shift + ripening.light_crop_shift(frost.crop_left(kill))
    end = ripening.end_of_ripening(seasons.tmin - colder, seasons.tmax)[:, np.newaxis]
    with np.errstate(invalid="ignore"):
        unripe = first > end
    first = np.where(unripe, np.nan, first)
    last = np.minimum(first + ripening.window_days(traits.harvest_offset), np.maximum(end, first))
    return Forecast(
        chill=chill,
        chill_missed=chill_missed,
        first_bloom=_at_share(heat, traits, full, BEGIN) + moved,
        full_bloom=full,
        petal_fall=_at_share(heat, traits, full, END) + moved,
        green_tip=stages.stage_day(running, begin, full, stages.GREEN_TIP),
        kill=kill,
        kill_warmer_night=kill_warmer,
        kill_harder_frost=kill_harder,
        harvest_first=first,
        harvest_last=last,
        unripe=unripe,
        usual=usual,
        usual_day=usual_day,
        early=early,
        pace=np.where(np.isfinite(pace), pace, 1.0),
    )


def _at_share(heat: Array, traits: Traits, full: Array, share: float, *, more: float = 0.0) -> Array:
    """Day on which a share of the heat to full bloom, and so much more, is reached; NaN without a full bloom."""
    need = replace(traits.need, heat=share * np.asarray(traits.need.heat) + more, required=0.0)
    day = day_of_year(bloom_hours(heat, np.zeros_like(heat), need))
    return np.where(np.isfinite(full), day, np.nan)
