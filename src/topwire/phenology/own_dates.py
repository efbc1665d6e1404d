"""The grower's own bloom and pick dates, and what they teach."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from topwire.phenology.bloom import WINTER_HOURS
from topwire.phenology.calibration import HARVEST_SPREAD, DateSpread, Shift, bloom_spread, learn_shift
from topwire.phenology.findings import OwnDatesUsed
from topwire.phenology.forecast import Array, Forecast, forecast
from topwire.phenology.seasons import Seasons
from topwire.phenology.traits import Traits
from topwire.values.own_date import DateSeen, OwnDate

BLOOM, HARVEST = "bloom", "harvest"

# A date further from the forecast than this is taken for a slip of the pen (or another apple) and teaches nothing.
FARTHEST = 45.0  # [d]


@dataclass(frozen=True)
class Learned:
    """What own dates of bloom, or of harvest, say in days to add to the forecast."""

    what: str  # BLOOM or HARVEST
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
    for what in (BLOOM, HARVEST):
        spread = spread_of(what, found)
        result = _learn_one(what, own, seasons, traits, found, spread)
        if result is None:
            continue
        learned.append(result)
        days = result.shift.place + result.shift.cultivar
        if what == BLOOM:
            # the cultivar's part is a better offset: harvest, which has an offset of its own, is not to follow it
            offset = traits.bloom_offset + result.shift.cultivar
            traits = replace(traits, bloom_shift=days, bloom_offset=offset)
        else:
            traits = replace(traits, harvest_shift=days)
        found = forecast(seasons, traits, colder=colder)
    return traits, found, tuple(learned)


def dates_of(own: Sequence[OwnDate], what: str) -> list[OwnDate]:
    """The dates of bloom, or of harvest."""
    return [row for row in own if (row.event is DateSeen.FIRST_PICK) == (what == HARVEST)]


def spread_of(what: str, found: Forecast) -> DateSpread:
    """What dates of bloom, or of harvest, depart from the forecast by at this place."""
    return bloom_spread(winter_chill(found)) if what == BLOOM else HARVEST_SPREAD


def winter_chill(found: Forecast) -> float:
    """Portions that the middle winter brings to 31 March."""
    return float(np.median(found.chill[:, WINTER_HOURS - 1]))


def error_of(what: str, traits: Traits, found: Forecast, learned: Sequence[Learned]) -> Array:
    """Standard deviation to expect of each cultivar's dates [d], less what own dates have taught."""
    spread = spread_of(what, found)
    place = next((item.shift.place_sd for item in learned if item.what == what), spread.place)
    cultivar = offset_error_of(what, traits, learned)
    error: Array = np.sqrt(place**2 + cultivar**2 + spread.year**2 + spread.single**2)
    return error


def offset_error_of(what: str, traits: Traits, learned: Sequence[Learned]) -> Array:
    """Standard deviation of each cultivar's offset [d], the same in all years, less what own dates have taught."""
    cultivar = traits.bloom_error if what == BLOOM else traits.harvest_error
    for item in learned:
        if item.what == what:
            cultivar = np.minimum(cultivar, item.shift.cultivar_sd)
    return cultivar


def used_in(item: Learned, traits: Traits) -> OwnDatesUsed:
    """What was learned, by name."""
    seen = np.abs(item.shift.cultivar) > 1e-9
    return OwnDatesUsed(
        event=item.what,
        dates=item.dates,
        years=item.years,
        place_shift=item.shift.place,
        place_shift_sd=item.shift.place_sd,
        cultivar_shift={
            name: float(days)
            for name, days, taught in zip(traits.names, item.shift.cultivar, seen, strict=True)
            if taught
        },
    )


class Unused(StrEnum):
    """Why a date of the grower's own taught nothing."""

    NO_CULTIVAR = "no cultivar"
    NO_WEATHER = "no weather"
    NO_FORECAST = "no forecast"
    FAR_OFF = "far off"


def unused(
    own: Sequence[OwnDate], seasons: Seasons, traits: Traits, found: Forecast
) -> list[tuple[OwnDate, Unused]]:
    """Own dates that taught nothing, each with the reason."""
    years = seasons.years.tolist()
    told = []
    for row in own:
        if row.cultivar not in traits.names:
            told.append((row, Unused.NO_CULTIVAR))
        elif row.date.year not in years:
            told.append((row, Unused.NO_WEATHER))
        else:
            known = _forecasts(found)[row.event][years.index(row.date.year), traits.names.index(row.cultivar)]
            away = row.date.timetuple().tm_yday - known
            if not np.isfinite(away):
                told.append((row, Unused.NO_FORECAST))
            elif abs(away) > FARTHEST:
                told.append((row, Unused.FAR_OFF))
    return told


def _learn_one(
    what: str,
    own: Sequence[OwnDate],
    seasons: Seasons,
    traits: Traits,
    found: Forecast,
    spread: DateSpread,
) -> Learned | None:
    known = {
        event: days
        for event, days in _forecasts(found).items()
        if (event is DateSeen.FIRST_PICK) == (what == HARVEST)
    }
    at_year = {int(year): index for index, year in enumerate(seasons.years)}
    at_name = {name: index for index, name in enumerate(traits.names)}
    used = [row for row in own if row.event in known and row.date.year in at_year and row.cultivar in at_name]
    cultivar = np.array([at_name[row.cultivar] for row in used], dtype=np.int64)
    year = np.array([at_year[row.date.year] for row in used], dtype=np.int64)
    departure = np.array(
        [
            row.date.timetuple().tm_yday - known[row.event][at_year[row.date.year], at_name[row.cultivar]]
            for row in used
        ]
    )
    departure = np.where(np.abs(departure) <= FARTHEST, departure, np.nan)
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
    return Learned(what, int(fit.sum()), len(set(year[fit].tolist())), shift)


def _forecasts(found: Forecast) -> dict[DateSeen, Array]:
    return {
        DateSeen.FIRST_BLOOM: found.first_bloom,
        DateSeen.FULL_BLOOM: found.full_bloom,
        DateSeen.PETAL_FALL: found.petal_fall,
        DateSeen.FIRST_PICK: found.harvest_first,
    }
