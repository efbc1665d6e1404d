"""Learning from dates: a place's and a cultivar's shift from a grower's own few.

Everything is a posterior with a stated prior, so that three years help and do no harm.
"""

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]


@dataclass(frozen=True)
class DateSpread:
    """Standard deviations [d] that share out an observed date's distance from the forecast.

    Attributes
    ----------
    place : of the place from what the parameters say
    cultivar : of a cultivar's offset from the catalogue's
    year : of a year, all cultivars together
    single : of a single date: who looked, which tree
    drift : of a cultivar's date against the forecast over one year, growing with the root of the years [d/sqrt(year)]
    """

    place: float
    cultivar: float
    year: float
    single: float
    drift: float = 0.0


# Bloom: place is the spread of the four fitted places' means about the shared need, year what all cultivars of the
# Rhineland share in a year, single what is left to one of them; the harvest's year and single likewise
# (benchmarks/fit_dates.py prints them). Cultivar 2.5 and harvest 10 are the disagreement between published lists
# (catalogue notes); the harvest's place is an assumption.
BLOOM_SPREAD = DateSpread(place=4.5, cultivar=2.5, year=3.5, single=1.5)
# What counts as ripe wanders with pickers, trees and buyers, each cultivar by itself: with that drift the Rhineland's
# harvests, each year told from earlier ones only, miss least; half or double of it is a tenth of a day worse.
HARVEST_SPREAD = DateSpread(place=5.0, cultivar=10.0, year=3.0, single=3.5, drift=1.5)
# Where winters bring little chill both are larger: on the one fitted record of such winters, with some 65 portions, a
# year misses by 6 days and the place by 9, against 3.5 and 4.5 on the three with 80 and more.
FITTED_CHILL, WARM_CHILL = 80.0, 65.0  # [portions]
WARM_YEAR, WARM_PLACE = 6.0, 9.0  # [d]


def bloom_spread(portions: float) -> DateSpread:
    """Spread of bloom where the middle winter brings so many portions of chill to 31 March."""
    warm = float(np.interp(portions, (WARM_CHILL, FITTED_CHILL), (1.0, 0.0)))
    return replace(
        BLOOM_SPREAD,
        place=BLOOM_SPREAD.place + warm * (WARM_PLACE - BLOOM_SPREAD.place),
        year=BLOOM_SPREAD.year + warm * (WARM_YEAR - BLOOM_SPREAD.year),
    )


# A date's noise doubles with every fifteen years of its age: trees, observers and the climate change (design).
DOUBLING = 15.0  # [years]
SLOPE_SD = (
    0.15  # days of a spring's departure that a place may follow more or less than the model says (assumption)
)
STEP_YEARS, STEP_DAYS, STEP_SURE = (
    4,
    4.0,
    3.5,
)  # years on either side, [d], standard errors, from which a step is told


class Teaching(StrEnum):
    """How far a place's dates carry: each stage takes in the ones before."""

    OFFSET = "offset"  # so many days
    NEED = "need"  # so much heat: more days in a slow spring
    RESPONSE = "response"  # and a spring's departure followed more or less


# Years of dates from which a stage is tried; whether it is taken its errors in years left out decide.
FROM_YEARS = {Teaching.OFFSET: 1, Teaching.NEED: 5, Teaching.RESPONSE: 12}
BETTER = 0.97  # times the error of the stage before, for a stage to be taken


@dataclass(frozen=True)
class Departures:
    """Dates seen beside the forecast, (dates,) each.

    Attributes
    ----------
    days : observed minus forecast [d]
    cultivar, year : index of the cultivar, calendar year
    pace : [d] that the heat of an ordinary day takes in that spring
    early : [d] the forecast's departure from the cultivar's usual date
    """

    days: Array
    cultivar: Index
    year: Index
    pace: Array
    early: Array

    def only(self, keep: npt.NDArray[np.bool_]) -> "Departures":
        parts = (self.days, self.cultivar, self.year, self.pace, self.early)
        return Departures(*(part[keep] for part in parts))  # type: ignore[arg-type]


@dataclass(frozen=True)
class Shift:
    """What a set of dates says: days to add, with standard deviations.

    Attributes
    ----------
    place, place_sd : [d] for every cultivar
    cultivar, cultivar_sd : (cultivars,) [d] on top
    together_sd : (cultivars,) [d] of the two together, less than of each by itself: what is known is their sum
    slope : of a spring's departure, on top of what the forecast follows
    stage : with NEED and beyond the days are those of an ordinary day's heat
    """

    place: float
    place_sd: float
    cultivar: Array
    cultivar_sd: Array
    together_sd: Array
    slope: float = 0.0
    stage: Teaching = Teaching.OFFSET

    def of(self, dates: Departures) -> Array:
        """Days to add to the forecast of each date."""
        days = self.place + self.cultivar[dates.cultivar]
        scale = dates.pace if self.stage is not Teaching.OFFSET else np.ones(days.size)
        found: Array = days * scale + self.slope * dates.early
        return found


def learn_shift(
    dates: Departures,
    *,
    cultivars: int,
    spread: DateSpread,
    reference: int | None = None,
    stage: Teaching = Teaching.OFFSET,
    at: int | None = None,
) -> Shift:
    """Posterior of a place's and its cultivars' shift from observed minus forecast dates.

    The departure of a date is taken as place + cultivar + year + single, all normal with mean zero. Dates of one year
    share that year's error, so twenty cultivars seen in one spring do not count as twenty springs; old ones count less,
    and where a cultivar's date drifts it walks at random from the year in question.

    Parameters
    ----------
    dates : departures; not finite = left out
    cultivars : how many cultivars there are
    spread : the prior
    reference : the cultivar all offsets count from, whose own is 0 and not in doubt
    at : calendar year the shift is wanted for; None = the latest of the dates
    """
    dates = dates.only(np.isfinite(dates.days))
    scale = dates.pace if stage is not Teaching.OFFSET else np.ones(dates.days.size)
    design = np.zeros((dates.days.size, 2 + cultivars))
    design[:, 0] = scale
    design[np.arange(dates.days.size), 1 + dates.cultivar] = scale
    design[:, -1] = dates.early if stage is Teaching.RESPONSE else 0.0
    same = dates.year[:, np.newaxis] == dates.year
    noise = spread.year**2 * same + spread.single**2 * np.eye(dates.days.size)
    away = dates.year - (dates.year.max(initial=0) if at is None else at)
    age = 2.0 ** (np.abs(away) / DOUBLING)
    noise = noise * np.sqrt(np.outer(age, age)) + spread.drift**2 * _walked_together(dates.cultivar, away)
    prior = np.array([spread.place**2] + [spread.cultivar**2] * cultivars + [SLOPE_SD**2])
    if reference is not None:
        prior[1 + reference] = 0.0
    shared = prior[:, np.newaxis] * design.T
    gain = np.linalg.solve(design @ shared + noise, shared.T).T
    mean = gain @ dates.days
    variance = prior - np.einsum("ij,ji->i", gain, shared.T)
    deviation = np.sqrt(np.maximum(variance, 0.0))
    both = variance[0] + variance[1:-1] - 2.0 * gain[1:-1] @ shared[0]
    slope = float(mean[-1]) if stage is Teaching.RESPONSE else 0.0
    return Shift(
        float(mean[0]),
        float(deviation[0]),
        mean[1:-1],
        deviation[1:-1],
        np.sqrt(np.maximum(both, 0.0)),
        slope,
        stage,
    )


def _walked_together(cultivar: Index, away: Index) -> Array:
    """Years that a cultivar's walk to one date shares with its walk to another, (dates, dates)."""
    same = (cultivar[:, np.newaxis] == cultivar) & (np.sign(away)[:, np.newaxis] == np.sign(away))
    return np.where(same, np.minimum.outer(np.abs(away), np.abs(away)), 0.0)


def left_out(
    dates: Departures, *, cultivars: int, spread: DateSpread, reference: int | None, stage: Teaching
) -> Array:
    """What is left of each date's departure when its year is left out of the learning [d]."""
    rest = np.empty(dates.days.size)
    for year in np.unique(dates.year):
        out = dates.year == year
        shift = learn_shift(
            dates.only(~out),
            cultivars=cultivars,
            spread=spread,
            reference=reference,
            stage=stage,
            at=int(year),
        )
        held = dates.only(out)
        rest[out] = held.days - shift.of(held)
    return rest


def best_stage(
    dates: Departures, *, cultivars: int, spread: DateSpread, reference: int | None
) -> tuple[Teaching, Array]:
    """The stage these dates carry, and what it leaves of each in years left out [d]."""
    years = np.unique(dates.year).size
    found = Teaching.OFFSET
    rest = left_out(dates, cultivars=cultivars, spread=spread, reference=reference, stage=found)
    for stage in (Teaching.NEED, Teaching.RESPONSE):
        if years >= FROM_YEARS[stage]:
            then = left_out(dates, cultivars=cultivars, spread=spread, reference=reference, stage=stage)
            if np.sqrt(np.mean(then**2)) < BETTER * np.sqrt(np.mean(rest**2)):
                found, rest = stage, then
    return found, rest


@dataclass(frozen=True)
class Jump:
    """A jump in a record that weather does not explain: from `year` on dates lie `days` [d] later than before."""

    year: int
    days: float


def step_in(dates: Departures) -> Jump | None:
    """The clearest jump of the yearly mean departures, cultivars' own means taken out; None where none is clear."""
    days = dates.days.copy()
    for cultivar in np.unique(dates.cultivar):
        own = dates.cultivar == cultivar
        days[own] -= days[own].mean()
    years = np.unique(dates.year)
    mean = np.array([days[dates.year == year].mean() for year in years])
    best: tuple[float, Jump | None] = (STEP_SURE, None)
    for at in range(STEP_YEARS, years.size - STEP_YEARS + 1):
        before, after = mean[:at], mean[at:]
        spread = np.sqrt((before.var() * at + after.var() * after.size) / (years.size - 2))
        jump = float(after.mean() - before.mean())
        sure = abs(jump) / max(1e-9, float(spread) * np.sqrt(1.0 / at + 1.0 / after.size))
        if abs(jump) >= STEP_DAYS and sure > best[0]:
            best = sure, Jump(int(years[at]), jump)
    return best[1]
