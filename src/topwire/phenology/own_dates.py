"""The grower's own bloom and pick dates, and what they teach."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from topwire.phenology.bloom import WINTER_HOURS
from topwire.phenology.calibration import (
    HARVEST_SPREAD,
    DateSpread,
    Departures,
    Jump,
    Shift,
    Teaching,
    best_stage,
    bloom_spread,
    learn_shift,
    left_out,
    step_in,
)
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
    step: Jump | None  # before which nothing was taken
    departures: Departures  # all that could be used, those before the step too
    rest: Array  # (dates,) what is left of those taken in years left out
    taken: npt.NDArray[np.bool_]  # (dates,)


def learn(
    seasons: Seasons,
    traits: Traits,
    own: Sequence[OwnDate],
    *,
    colder: float = 0.0,
    chill: Array | None = None,
    had_nights: Sequence[float] = (),
) -> tuple[Traits, Forecast, tuple[Learned, ...]]:
    """Traits with the learned shifts in, the forecast with them, and what was learned.

    Bloom is learned first; harvest then from what the forecast with that bloom still misses. Dates of years without
    usable weather, and of bloom the forecast calls “chill not met”, teach nothing. `chill` and `had_nights` are
    those of :func:`forecast`.
    """
    found = forecast(seasons, traits, colder=colder, chill=chill, had_nights=had_nights)
    learned = []
    for what in (BLOOM, HARVEST):
        spread = spread_of(what, found)
        result = _learn_one(what, own, seasons, traits, found, spread)
        if result is None:
            continue
        learned.append(result)
        traits = with_shift(traits, what, result.shift)
        found = forecast(seasons, traits, colder=colder, chill=found.chill, had_nights=had_nights)
    return traits, found, tuple(learned)


def with_shift(traits: Traits, what: str, shift: Shift) -> Traits:
    """Traits with what was learned in them."""
    days = shift.place + shift.cultivar
    if what == HARVEST:
        return replace(traits, harvest_shift=traits.harvest_shift + days)
    # the cultivar's part is a better offset: harvest, which has an offset of its own, is not to follow it
    offset = traits.bloom_offset + shift.cultivar
    if shift.stage is Teaching.OFFSET:
        return replace(traits, bloom_shift=traits.bloom_shift + days, bloom_offset=offset)
    need = replace(traits.need, heat=traits.need.heat + days * traits.heat_of_a_day)
    return replace(traits, need=need, bloom_offset=offset, bloom_slope=traits.bloom_slope + shift.slope)


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
    place, offset = place_and_offsets(what, traits, spread, learned)
    error: Array = np.sqrt(place**2 + offset**2 + spread.year**2 + spread.single**2)
    return error


def place_and_offsets(
    what: str, traits: Traits, spread: DateSpread, learned: Sequence[Learned]
) -> tuple[float, Array]:
    """Standard deviations of the place's shift, the same for all, and of each cultivar's offset [d].

    Own dates know the sum of the two: once they have taught, all doubt goes with the cultivars and the place has none.
    """
    offset = traits.bloom_error if what == BLOOM else traits.harvest_error
    for item in learned:
        if item.what == what:
            return 0.0, np.minimum(np.hypot(spread.place, offset), item.shift.together_sd)
    return spread.place, offset


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
            known = events_of(found)[row.event][years.index(row.date.year), traits.names.index(row.cultivar)]
            away = row.date.timetuple().tm_yday - known
            if not np.isfinite(away):
                told.append((row, Unused.NO_FORECAST))
            elif abs(away) > FARTHEST:
                told.append((row, Unused.FAR_OFF))
    return told


def near_and_far(
    seen: Sequence[OwnDate], traits: Traits, found: Forecast
) -> tuple[list[OwnDate], list[OwnDate]]:
    """Dates of the season under way that may move it, and those further than FARTHEST from its middle forecast: a slip
    of the pen, or flowers of autumn. Where nothing is forecast none is far."""
    known = events_of(found)
    near: list[OwnDate] = []
    far: list[OwnDate] = []
    for row in seen:
        days = known[row.event][:, traits.names.index(row.cultivar)]
        away = (
            row.date.timetuple().tm_yday - np.median(days[np.isfinite(days)])
            if np.isfinite(days).any()
            else 0.0
        )
        (far if abs(away) > FARTHEST else near).append(row)
    return near, far


def departures_of(
    what: str, own: Sequence[OwnDate], seasons: Seasons, traits: Traits, found: Forecast
) -> Departures:
    """All dates of bloom, or of harvest, that have a forecast near them."""
    known = events_of(found)
    at_year = {int(year): index for index, year in enumerate(seasons.years)}
    at_name = {name: index for index, name in enumerate(traits.names)}
    used = [row for row in dates_of(own, what) if row.date.year in at_year and row.cultivar in at_name]
    cultivar = np.array([at_name[row.cultivar] for row in used], dtype=np.int64)
    year = np.array([row.date.year for row in used], dtype=np.int64)
    row_of = np.array([at_year[row.date.year] for row in used], dtype=np.int64)
    days = np.array(
        [
            row.date.timetuple().tm_yday - known[row.event][at, column]
            for row, at, column in zip(used, row_of, cultivar, strict=True)
        ]
    )
    with np.errstate(invalid="ignore"):
        near = np.abs(days) <= FARTHEST
    pace, early = found.pace[row_of, cultivar], found.early[row_of, cultivar]
    return Departures(days, cultivar, year, pace, early).only(near)


def _learn_one(
    what: str,
    own: Sequence[OwnDate],
    seasons: Seasons,
    traits: Traits,
    found: Forecast,
    spread: DateSpread,
) -> Learned | None:
    dates = departures_of(what, own, seasons, traits, found)
    if not dates.days.size:
        return None
    step = step_in(dates)
    taken = dates.year >= step.year if step else np.ones(dates.days.size, dtype=bool)
    kept, size = dates.only(taken), len(traits.names)
    stage, rest = Teaching.OFFSET, kept.days
    if what == BLOOM:
        stage, rest = best_stage(kept, cultivars=size, spread=spread, reference=traits.reference)
    else:
        rest = left_out(kept, cultivars=size, spread=spread, reference=traits.reference, stage=stage)
    shift = learn_shift(kept, cultivars=size, spread=spread, reference=traits.reference, stage=stage)
    return Learned(what, kept.days.size, np.unique(kept.year).size, shift, step, dates, rest, taken)


def events_of(found: Forecast) -> dict[DateSeen, Array]:
    """The forecast of each event that can be seen, (years, cultivars)."""
    return {
        DateSeen.FIRST_BLOOM: found.first_bloom,
        DateSeen.FULL_BLOOM: found.full_bloom,
        DateSeen.PETAL_FALL: found.petal_fall,
        DateSeen.FIRST_PICK: found.harvest_first,
    }
