"""Bloom, frost and harvest of every cultivar in every season: the science put together, still plain arrays."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
import numpy.typing as npt

from topwire.phenology import frost, ripening
from topwire.phenology.seasons import Seasons
from topwire.phenology.spring import Spring, spring_of
from topwire.phenology.traits import Traits

Array = npt.NDArray[np.float64]


class Usual(Protocol):
    """What the years of a place depart from."""

    @property
    def usual(self) -> ripening.UsualSeason: ...

    @property
    def usual_day(self) -> Array: ...


@dataclass(frozen=True)
class Forecast(Spring):
    """The spring and what it ripens to; NaN where it does not ripen."""

    harvest_first: Array
    harvest_last: Array
    unripe: npt.NDArray[np.bool_]  # bloomed, but does not ripen before winter
    usual: ripening.UsualSeason  # what harvests depart from at this place

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
    had_nights: Sequence[float] = (),
) -> Forecast:
    """Forecast for all seasons and cultivars.

    Parameters
    ----------
    seasons : the weather
    traits : the cultivars
    colder : [K] how much colder the orchard's frost nights are than the station's
    today : the forecast of today's climate, where `seasons` are of another one
    chill : (years, hours) of a forecast of the same seasons, which need not be summed again
    had_nights : [K] steps by which every night could have been warmer, to see what frost would have killed
    """
    usual_day = None if today is None else today.usual_day
    spring = spring_of(
        seasons, traits, colder=colder, usual_day=usual_day, chill=chill, had_nights=had_nights
    )
    full = spring.full_bloom
    as_reference = full - traits.bloom_offset
    nights = ripening.mean_after(seasons.tmin, as_reference, ripening.DAYS_AFTER_BLOOM)
    warmth = ripening.mean_after((seasons.tmin + seasons.tmax) / 2.0, full, ripening.WARM_DAYS)
    rule = ripening.rule_date(as_reference, nights)
    usual = today.usual if today is not None else ripening.usual_season(rule, full, warmth)
    first = ripening.first_pick(usual, traits.harvest_offset, full, warmth)
    first = first + traits.harvest_shift + ripening.light_crop_shift(frost.crop_left(spring.kill))
    end = ripening.end_of_ripening(seasons.tmin - colder, seasons.tmax)[:, np.newaxis]
    with np.errstate(invalid="ignore"):
        unripe = first > end
    first = np.where(unripe, np.nan, first)
    last = np.minimum(first + ripening.window_days(traits.harvest_offset), np.maximum(end, first))
    return Forecast(**vars(spring), harvest_first=first, harvest_last=last, unripe=unripe, usual=usual)
