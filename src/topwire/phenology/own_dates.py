"""The grower's own bloom and pick dates, and what they teach."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

import numpy as np

from topwire.phenology.calibration import BLOOM_SPREAD, HARVEST_SPREAD, DateSpread, Shift, learn_shift
from topwire.phenology.forecast import Array, Forecast, forecast
from topwire.phenology.seasons import Seasons
from topwire.phenology.traits import Traits


class Event(StrEnum):
    FULL_BLOOM = "full bloom"
    FIRST_PICK = "first pick"


@dataclass(frozen=True)
class OwnDate:
    """A row of own_dates.csv: a date seen in the orchard, or near it.

    `entry` is any number or word that no other row has; `date` is written 2024-04-28 and says the year.
    """

    entry: str
    cultivar: str
    event: Event
    date: date
    remark: str | None = None


@dataclass(frozen=True)
class Learned:
    """What the own dates of one event say, in days to add to the forecast."""

    event: Event
    dates: int  # how many could be used
    years: int
    shift: Shift


def learn(
    seasons: Seasons, traits: Traits, own: Sequence[OwnDate], *, colder: float = 0.0
) -> tuple[Traits, Forecast, tuple[Learned, ...]]:
    """Traits with the learned shifts in, the forecast with them, and what was learned.

    Bloom is learned first; harvest then from what the forecast with that bloom still misses. Dates of years without
    usable weather, and of bloom the forecast calls “chill not met”, teach nothing.
    """
    found = forecast(seasons, traits, colder=colder)
    learned = []
    for event, spread in ((Event.FULL_BLOOM, BLOOM_SPREAD), (Event.FIRST_PICK, HARVEST_SPREAD)):
        rows = [row for row in own if row.event is event]
        known = found.full_bloom if event is Event.FULL_BLOOM else found.harvest_first
        result = _learn_one(event, rows, seasons, traits, known, spread)
        if result is None:
            continue
        learned.append(result)
        days = result.shift.place + result.shift.cultivar
        bloom = event is Event.FULL_BLOOM
        traits = replace(traits, bloom_shift=days) if bloom else replace(traits, harvest_shift=days)
        found = forecast(seasons, traits, colder=colder)
    return traits, found, tuple(learned)


def _learn_one(
    event: Event,
    rows: Sequence[OwnDate],
    seasons: Seasons,
    traits: Traits,
    known: Array,
    spread: DateSpread,
) -> Learned | None:
    at_year = {int(year): index for index, year in enumerate(seasons.years)}
    at_name = {name: index for index, name in enumerate(traits.names)}
    used = [row for row in rows if row.date.year in at_year and row.cultivar in at_name]
    cultivar = np.array([at_name[row.cultivar] for row in used], dtype=np.int64)
    year = np.array([at_year[row.date.year] for row in used], dtype=np.int64)
    seen = np.array([row.date.timetuple().tm_yday for row in used], dtype=float)
    departure = seen - known[year, cultivar] if used else np.empty(0)
    fit = np.isfinite(departure)
    if not fit.any():
        return None
    shift = learn_shift(
        departure,
        cultivar,
        year,
        cultivars=len(traits.names),
        spread=spread,
        reference=traits.reference,
    )
    return Learned(event, int(fit.sum()), len(set(year[fit].tolist())), shift)
