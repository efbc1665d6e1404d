"""Learning from dates: the two heat figures of the bloom model from a long record, and a place's and a cultivar's shift
from a grower's own few.

Everything is a posterior with a stated prior, so that three years help and do no harm.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from topwire.phenology.bloom import BloomNeed, bloom_hours, day_of_year

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
    """

    place: float
    cultivar: float
    year: float
    single: float


# Bloom: cultivar 2.5 and harvest 10 are the disagreement between published lists (catalogue notes); place and year are
# the bias between and the residual within the two fitted places, rounded up; single and the harvest's place and year
# are assumptions.
BLOOM_SPREAD = DateSpread(place=2.0, cultivar=2.5, year=3.5, single=1.5)
HARVEST_SPREAD = DateSpread(place=5.0, cultivar=10.0, year=4.0, single=3.0)


@dataclass(frozen=True)
class Shift:
    """What a set of dates says: days to add, with standard deviations.

    Attributes
    ----------
    place, place_sd : [d] for every cultivar
    cultivar, cultivar_sd : (cultivars,) [d] on top
    """

    place: float
    place_sd: float
    cultivar: Array
    cultivar_sd: Array


def learn_shift(
    departure: npt.ArrayLike,
    cultivar: Index,
    year: Index,
    *,
    cultivars: int,
    spread: DateSpread,
    reference: int | None = None,
) -> Shift:
    """Posterior of a place's and its cultivars' shift from observed minus forecast dates.

    The departure of a date is taken as place + cultivar + year + single, all normal with mean zero. Dates of one year
    share that year's error, so twenty cultivars seen in one spring do not count as twenty springs.

    Parameters
    ----------
    departure : (dates,) observed minus forecast [d]; not finite = left out
    cultivar, year : (dates,) index of the cultivar, and any number for the year
    cultivars : how many cultivars there are
    spread : the prior
    reference : the cultivar all offsets count from, whose own is 0 and not in doubt
    """
    seen = np.asarray(departure, dtype=float)
    keep = np.isfinite(seen)
    seen, cultivar, year = seen[keep], np.asarray(cultivar)[keep], np.asarray(year)[keep]
    design = np.zeros((seen.size, 1 + cultivars))
    design[:, 0] = 1.0
    design[np.arange(seen.size), 1 + cultivar] = 1.0
    noise = spread.year**2 * (year[:, np.newaxis] == year) + spread.single**2 * np.eye(seen.size)
    prior = np.array([spread.place**2] + [spread.cultivar**2] * cultivars)
    if reference is not None:
        prior[1 + reference] = 0.0
    shared = prior[:, np.newaxis] * design.T
    gain = np.linalg.solve(design @ shared + noise, shared.T).T
    mean = gain @ seen
    variance = prior - np.einsum("ij,ji->i", gain, shared.T)
    deviation = np.sqrt(np.maximum(variance, 0.0))
    return Shift(float(mean[0]), float(deviation[0]), mean[1:], deviation[1:])


def update_bloom_offset(departure: npt.ArrayLike, spread: DateSpread = BLOOM_SPREAD) -> tuple[float, float]:
    """Days to add to one cultivar's forecast bloom at this place, and their standard deviation.

    Parameters
    ----------
    departure : (years,) observed minus forecast full bloom [d], one date a year
    spread : the prior; with cultivar = 0 for the reference cultivar, whose offset is not in doubt
    """
    return _one_cultivar(departure, spread)


def update_harvest_offset(
    departure: npt.ArrayLike, spread: DateSpread = HARVEST_SPREAD
) -> tuple[float, float]:
    """Days to add to one cultivar's forecast first pick at this place, and their standard deviation.

    Parameters
    ----------
    departure : (years,) observed minus forecast first pick [d], one date a year
    spread : the prior, as for bloom
    """
    return _one_cultivar(departure, spread)


def _one_cultivar(departure: npt.ArrayLike, spread: DateSpread) -> tuple[float, float]:
    seen = np.asarray(departure, dtype=float)
    seen = seen[np.isfinite(seen)]
    prior = spread.place**2 + spread.cultivar**2
    noise = spread.year**2 + spread.single**2
    variance = 1.0 / (1.0 / prior + seen.size / noise)
    return float(variance * seen.sum() / noise), float(np.sqrt(variance))


@dataclass(frozen=True)
class BloomRecord:
    """One place's record of one cultivar.

    Attributes
    ----------
    years : (years,)
    chill, heat : (years, hours) running totals from 1 October [portions], [K h]
    observed : (years,) full bloom, day of the year
    """

    years: npt.NDArray[np.int64]
    chill: Array
    heat: Array
    observed: Array

    def only(self, keep: npt.NDArray[np.bool_]) -> "BloomRecord":
        return BloomRecord(self.years[keep], self.chill[keep], self.heat[keep], self.observed[keep])

    def forecast(self, need: BloomNeed) -> Array:
        """(years,) day of the year; NaN = chill not met."""
        return day_of_year(bloom_hours(self.chill, self.heat, need)[:, 0])


RESIDUAL = 4.0  # [d] error of a date about the model, for the weight of the prior against the dates
UNMET = 30.0  # [d] error put for a year that bloomed and whose chill the model calls not met
EXTRA_OVER_LEAST, EXTRA_FACTOR = (
    2.0,
    2.0,
)  # prior of extra / least: lognormal, median and factor of one deviation


def fit_need(records: Sequence[BloomRecord], start: BloomNeed) -> BloomNeed:
    """The two heat figures that are likeliest given the records and the prior; all else stays as in `start`.

    Two parameters only. `least` has a flat prior in its logarithm; the ratio extra / least a lognormal one, since
    records from cold winters hardly tell how steep the fall is.
    """
    from scipy.optimize import minimize

    def cost(logs: Array) -> float:
        need = replace(start, least=float(np.exp(logs[0])), extra=float(np.exp(logs[1])))
        errors = np.concatenate([record.forecast(need) - record.observed for record in records])
        squares = np.where(np.isfinite(errors), errors, UNMET) ** 2
        away = (logs[1] - logs[0] - np.log(EXTRA_OVER_LEAST)) / np.log(EXTRA_FACTOR)
        return float(squares.sum() / RESIDUAL**2 + away**2)

    begin = np.log([float(start.least), float(start.extra)])
    best = minimize(cost, begin, method="Nelder-Mead", options={"xatol": 1e-3, "fatol": 1e-3, "maxiter": 300})
    return replace(start, least=float(np.exp(best.x[0])), extra=float(np.exp(best.x[1])))


def leave_one_year_out(records: Sequence[BloomRecord], start: BloomNeed) -> list[Array]:
    """Forecast errors [d] of each record, each calendar year left out of the fit at all places at once."""
    errors = [np.full(record.years.size, np.nan) for record in records]
    full = fit_need(records, start)
    for year in np.unique(np.concatenate([record.years for record in records])):
        need = fit_need([record.only(record.years != year) for record in records], full)
        for record, error in zip(records, errors, strict=True):
            held = record.years == year
            error[held] = record.only(held).forecast(need) - record.observed[held]
    return errors


def leave_one_out_mean(observed: npt.ArrayLike) -> Array:
    """Errors [d] of the naive forecast: the mean date of the other years."""
    dates = np.asarray(observed, dtype=float)
    errors: Array = (dates.sum() - dates) / (dates.size - 1) - dates
    return errors


def root_mean_square(errors: npt.ArrayLike) -> float:
    """Over the finite errors."""
    finite = np.asarray(errors, dtype=float)
    finite = finite[np.isfinite(finite)]
    return float(np.sqrt(np.mean(finite**2)))
