"""Bloom of every cultivar in every spring, and what frost kills of it.

Many cultivars ask for the same heat and chill: what hangs on these alone is worked out once for each kind of need and
given to all of that kind.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from topwire.phenology import frost, ripening, stages
from topwire.phenology.bloom import (
    DAYS_BEFORE_NEW_YEAR,
    BloomNeed,
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


@dataclass(frozen=True)
class Spring:
    """Arrays (years, cultivars) unless said otherwise; days of the year; NaN = chill not met, or too cold to bloom."""

    chill: Array  # (years, hours) running total [portions]
    chill_missed: npt.NDArray[np.bool_]  # no bloom date for want of chill; else for want of warmth by 30 June
    first_bloom: Array
    full_bloom: Array
    petal_fall: Array
    green_tip: Array
    kill: Array
    kill_had_nights: Array  # (steps, years, cultivars) with every night warmer or colder, as asked
    usual_day: Array  # (cultivars,) mean full bloom by warmth alone, before anything learned in days
    early: Array  # [d] each year's departure from it
    pace: Array  # [d] that the heat of an ordinary day takes in each spring


def running_chill(seasons: Sequence[Seasons]) -> list[Array]:
    """Running chill of each, (years, hours) [portions]; summed together, which costs little more than one alone."""
    if not seasons:
        return []
    together = portions(np.concatenate([one.temperature for one in seasons]))
    ends = np.cumsum([one.years.size for one in seasons])[:-1]
    return [np.cumsum(part, axis=1) for part in np.split(together, ends)]


def spring_of(
    seasons: Seasons,
    traits: Traits,
    *,
    colder: float = 0.0,
    usual_day: Array | None = None,
    chill: Array | None = None,
    had_nights: Sequence[float] = (),
) -> Spring:
    """Bloom and frost of all seasons and cultivars.

    Parameters
    ----------
    colder : [K] how much colder the orchard's frost nights are than the station's
    usual_day : (cultivars,) of today's climate, where `seasons` are of another one
    chill : (years, hours) from `running_chill`, which need not be summed again
    had_nights : [K] steps by which every night could have been warmer, to see what frost would have killed
    """
    kinds = _Kinds.of(traits, usual_day)
    of, need, shift = kinds.of_all, kinds.need, traits.bloom_shift[kinds.first]
    if chill is None:
        chill = running_chill([seasons])[0]
    effective = chill_with_frost(chill, seasons.tmin, seasons.tmax)
    heat = heat_after_chill(seasons.temperature, effective, traits.shape)
    by_heat = day_of_year(bloom_hours(heat, effective, need))
    usual = ripening.mean_of_years(by_heat) if usual_day is None else usual_day[kinds.first]
    early = by_heat - usual
    moved = shift + traits.bloom_slope * early
    full = by_heat + moved
    pace = _at_share(heat, need, full, 1.0, more=traits.heat_of_a_day) - by_heat
    unchilled = bloom_hours(heat, effective, replace(need, required=0.0))
    begin = np.minimum(MARCH, full - LONGEST_SPRING)
    running = stages.stage_heat(seasons.tmin, seasons.tmax)
    share = stages.progress(running, begin, full, window=EVENINGS_BEFORE)
    night = seasons.tmin[:, SPRING] - colder
    nights = np.stack([night, *(night + step for step in had_nights)])
    kill = np.take(frost.killed(nights, share, traits.hardier[kinds.first]), of, axis=-1)
    chill_missed = np.isnan(full) & np.isfinite(unchilled)
    return Spring(
        chill=chill,
        chill_missed=np.take(chill_missed, of, axis=1),
        first_bloom=np.take(_at_share(heat, need, full, BEGIN) + moved, of, axis=1),
        full_bloom=np.take(full, of, axis=1),
        petal_fall=np.take(_at_share(heat, need, full, END) + moved, of, axis=1),
        green_tip=np.take(stages.stage_day(running, begin, full, stages.GREEN_TIP), of, axis=1),
        kill=kill[0],
        kill_had_nights=kill[1:],
        usual_day=usual[of],
        early=np.take(early, of, axis=1),
        pace=np.take(np.where(np.isfinite(pace), pace, 1.0), of, axis=1),
    )


@dataclass(frozen=True)
class _Kinds:
    """Kinds of need among the cultivars: one cultivar of each, the kind of each cultivar, and the needs."""

    first: npt.NDArray[np.int64]  # (kinds,)
    of_all: npt.NDArray[np.int64]  # (cultivars,)
    need: BloomNeed

    @classmethod
    def of(cls, traits: Traits, usual_day: Array | None) -> "_Kinds":
        count = len(traits.names)
        heat, required = (
            np.broadcast_to(np.asarray(each, dtype=float), (count,))
            for each in (traits.need.heat, traits.need.required)
        )
        told_apart = [heat, required, traits.hardier, traits.bloom_shift]
        if usual_day is not None:
            told_apart.append(usual_day)
        _, first, of_all = np.unique(
            np.stack(told_apart, axis=1), axis=0, return_index=True, return_inverse=True
        )
        return cls(first, of_all.ravel(), BloomNeed(heat[first], required[first]))


def _at_share(heat: Array, need: BloomNeed, full: Array, share: float, *, more: float = 0.0) -> Array:
    """Day on which a share of the heat to full bloom, and so much more, is reached; NaN without a full bloom."""
    needed = replace(need, heat=share * np.asarray(need.heat) + more, required=0.0)
    day = day_of_year(bloom_hours(heat, np.zeros_like(heat), needed))
    return np.where(np.isfinite(full), day, np.nan)
