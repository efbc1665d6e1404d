"""Learning from dates: a place's and a cultivar's shift from a grower's own few.

Everything is a posterior with a stated prior, so that three years help and do no harm.
"""

from dataclasses import dataclass, replace

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
    """

    place: float
    cultivar: float
    year: float
    single: float


# Bloom: place is the spread of the four fitted places' means about the shared need, year what all cultivars of the
# Rhineland share in a year, single what is left to one of them; the harvest's year and single likewise
# (benchmarks/fit_dates.py prints them). Cultivar 2.5 and harvest 10 are the disagreement between published lists
# (catalogue notes); the harvest's place is an assumption.
BLOOM_SPREAD = DateSpread(place=4.5, cultivar=2.5, year=3.5, single=1.5)
HARVEST_SPREAD = DateSpread(place=5.0, cultivar=10.0, year=3.5, single=4.5)
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
