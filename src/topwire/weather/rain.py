"""Rain as a chain of wet and dry days with a mixture of amounts, all by time of year.

Chain of first order and amounts as Richardson (1981, source RICHARDSON1981); two exponentials in place of one, for the
heavy days (Wilks 1999, source WILKS1999). Such chains make the months of different years too alike; a slow wave in the
amounts gives them back the spread of the record.
"""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from topwire.weather.memory import slow_wave

Array = npt.NDArray[np.float64]
Integers = npt.NDArray[np.int64]
Booleans = npt.NDArray[np.bool_]

WET = 0.25  # [mm] least rain of a wet day: a hundredth of an inch, rounded down
_RATE_WINDOW = 30  # [d] either side, for the chances of rain
_AMOUNT_WINDOW = 45  # [d] either side, for the amounts
_PSEUDO_DAYS = 2.0  # days of the yearly rate added to each time of year, so that no chance is 0 or 1
_FEWEST_YEARS = 8  # of a record, for its spread between years to be believed
_TRIAL_YEARS = 200  # drawn to see what spread the chain alone gives
_TRIAL_SEED = 20
_MOST_WAVE = 0.6  # largest standard deviation of the logarithm of the slow wave


@dataclass(frozen=True)
class RainClimate:
    """Rain of a place; day axes have 366 rows.

    Attributes
    ----------
    wet_after_dry, wet_after_wet : (366,) chance of a wet day
    amounts : (12, 3) by month: share of the smaller of two exponentials, their two means above WET [mm]
    wave : standard deviation of the logarithm of the slow wave in the amounts [-]
    """

    wet_after_dry: Array
    wet_after_wet: Array
    amounts: Array
    wave: float


def fit_rain(of_year: Integers, month: Integers, rain: Array) -> RainClimate:
    """Rain of a record.

    Parameters
    ----------
    of_year, month : (days,) day of year and month, 0 first
    rain : (days,) [mm], NaN where missing; days unbroken
    """
    measured = np.isfinite(rain)
    wet = measured & (rain >= WET)
    after_dry, after_wet = _chain(of_year, wet, measured)
    plain = RainClimate(after_dry, after_wet, _amounts(of_year, month, rain, wet), 0.0)
    if measured.sum() < 365.25 * _FEWEST_YEARS or not wet.any():
        return plain
    return replace(plain, wave=_wave(plain, month, rain))


def drawn_rain(climate: RainClimate, of_year: Integers, month: Integers, draws: np.random.Generator) -> Array:
    """Rain of consecutive days. [mm], shape (days,)"""
    days = of_year.size
    wet = _wet_days(climate, of_year, draws)
    share, small, large = climate.amounts[month].T
    mean = np.where(draws.random(days) < share, small, large)
    height = mean * draws.exponential(size=days)
    slow = np.exp(climate.wave * slow_wave(draws.standard_normal(days)) - climate.wave**2 / 2)
    rain: Array = np.where(wet, WET + height * slow, 0.0)
    return rain


def _wave(plain: RainClimate, month: Integers, rain: Array) -> float:
    """Spread of the slow wave that makes good what months drawn without it lack of the record's spread.

    A factor common to a month adds its variance times the square of the month's mean; over 30 days the wave keeps some
    four fifths of its own.
    """
    lengths = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
    trial_month = np.tile(np.repeat(np.arange(12), lengths), _TRIAL_YEARS)
    trial_day = np.tile(np.arange(365), _TRIAL_YEARS)
    trial = drawn_rain(plain, trial_day, trial_month, np.random.default_rng(_TRIAL_SEED))
    mean, held = _monthly_totals(month, rain)
    _, made = _monthly_totals(trial_month, trial)
    lacking = np.nansum(held - made) / np.nansum(mean**2)
    return float(np.clip(np.sqrt(np.log1p(max(lacking, 0.0) / 0.8)), 0.0, _MOST_WAVE))


def _monthly_totals(month: Integers, rain: Array) -> tuple[Array, Array]:
    """Mean and variance of the totals of each calendar month, months with a day missing left out. (12,), (12,)"""
    starts = np.flatnonzero(np.diff(month, prepend=-1))
    total = np.add.reduceat(rain, starts)
    ends = np.append(starts[1:], rain.size)
    whole = np.isfinite(total) & (ends - starts >= 28)
    mean, variance = np.full(12, np.nan), np.full(12, np.nan)
    for one in range(12):
        own = total[whole & (month[starts] == one)]
        if own.size > 2:
            mean[one], variance[one] = own.mean(), own.var(ddof=1)
    return mean, variance


def _wet_days(climate: RainClimate, of_year: Integers, draws: np.random.Generator) -> Booleans:
    """The chain of wet and dry days. Each hangs on the one before: a loop over plain numbers is the quick way."""
    drawn = draws.random(of_year.size)
    wet_if_dry = (drawn < climate.wet_after_dry[of_year]).tolist()
    wet_if_wet = (drawn < climate.wet_after_wet[of_year]).tolist()
    wet, days = False, []
    for if_dry, if_wet in zip(wet_if_dry, wet_if_wet, strict=True):
        wet = if_wet if wet else if_dry
        days.append(wet)
    return np.array(days)


def _window_sums(of_year: Integers, weights: Array, half: int) -> Array:
    """Sum of the weights by day of year, with triangular weight over `half` days either side. Shape (366,)"""
    daily = np.bincount(of_year, weights=weights, minlength=366)
    kernel = 1 - np.abs(np.arange(-half, half + 1)) / (half + 1)
    ring = np.concatenate([daily[-half:], daily, daily[:half]])
    return np.convolve(ring, kernel, mode="valid")


def _chain(
    of_year: Integers, wet: npt.NDArray[np.bool_], measured: npt.NDArray[np.bool_]
) -> tuple[Array, Array]:
    chances = []
    for before in (False, True):
        pairs = measured[1:] & measured[:-1] & (wet[:-1] == before)
        followed = (pairs & wet[1:]).astype(float)
        overall = followed.sum() / max(pairs.sum(), 1)
        count = _window_sums(of_year[1:], pairs.astype(float), _RATE_WINDOW)
        chances.append(
            (_window_sums(of_year[1:], followed, _RATE_WINDOW) + _PSEUDO_DAYS * overall)
            / (count + _PSEUDO_DAYS)
        )
    return chances[0], chances[1]


def _amounts(of_year: Integers, month: Integers, rain: Array, wet: npt.NDArray[np.bool_]) -> Array:
    """Mixture of two exponentials by month, its shape from three months, its mean from the month itself."""
    found = np.tile([1.0, 5.0, 5.0], (12, 1))
    if not wet.any():
        return found
    everything = rain[wet] - WET
    for one in range(12):
        apart = np.abs((of_year - (15 + 30.5 * one) + 183) % 366 - 183)
        near = rain[wet & (apart <= _AMOUNT_WINDOW)] - WET
        share, small, large = _two_exponentials(near if near.size >= 30 else everything)
        own = rain[wet & (month == one)] - WET
        mixed = share * small + (1 - share) * large
        scale = float(own.mean()) / mixed if own.size >= 15 else 1.0
        found[one] = share, small * scale, large * scale
    return found


def _two_exponentials(amount: Array) -> tuple[float, float, float]:
    """Share and means by expectation and maximisation, from a fixed start. [-], [mm], [mm]"""
    amount = np.maximum(amount, 0.01)
    mean = float(amount.mean())
    share, small, large = 0.5, 0.4 * mean, 1.6 * mean
    for _ in range(200):
        near = share / small * np.exp(-amount / small)
        far = (1 - share) / large * np.exp(-amount / large)
        belongs = near / (near + far)
        share = float(np.clip(belongs.mean(), 0.02, 0.98))
        small = float((belongs * amount).sum() / belongs.sum())
        large = float(((1 - belongs) * amount).sum() / (1 - belongs).sum())
    return share, small, large
