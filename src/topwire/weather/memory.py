"""How temperature remembers: two days of quick memory and weeks of slow memory, both by month.

Normal scores of a day's lowest and highest are the sum of two parts. The quick one follows from the two days before,
the slow one fades over weeks. By month, because weather changes faster in April than in January, and a chain with one
memory for all the year makes the springs of different years too unlike.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.values.running import running_sum

Array = npt.NDArray[np.float64]
Integers = npt.NDArray[np.int64]

SLOW_DAYS = 40.0  # [d] over which the slow part falls to 1/e
_MEAN_OF = 30  # [d] length of the means whose variance the slow part makes good
_HALF_WINDOW = 45  # [d] either side of a month's middle, for covariances
_HALF_MONTH = 20  # [d] the same for the means of 30 days
_YEARS_BY_MONTH = 12.0  # with fewer years of record the slow part is the same in all months
_MOST_SLOW = 0.5  # largest share of the variance that may be slow


@dataclass(frozen=True)
class Memory:
    """Quick chain and slow part, by month.

    Attributes
    ----------
    chain : (12, 2, 4) weights of the quick part of yesterday (lowest, highest) and of the day before
    shock : (12, 2, 2) covariance of what is new each day
    slow : (12, 2, 2) covariance of the slow part
    """

    chain: Array
    shock: Array
    slow: Array


def fit_memory(normal: Array, of_year: Integers) -> Memory:
    """Memory of normal scores.

    The slow part takes the variance of 30-day means that the quick chain leaves unexplained; the chain is fitted to
    what is left of the covariances of the same day, one and two days apart (Yule and Walker).

    Parameters
    ----------
    normal : (2, days) NaN where missing
    of_year : (days,) day of year, 0 first
    """
    near = [_apart(of_year, month) <= _HALF_WINDOW for month in range(12)]
    lagged = [[_covariance(normal, lag, here) for lag in range(3)] for here in near]
    means = [_covariance_of_means(normal, _apart(of_year, month) <= _HALF_MONTH) for month in range(12)]
    if np.isfinite(normal).all(axis=0).sum() / 365.25 < _YEARS_BY_MONTH:
        lagged = [[np.mean([row[lag] for row in lagged], axis=0) for lag in range(3)]] * 12
        means = [np.mean(means, axis=0)] * 12
    fitted = [_split(rows[0], rows[1], rows[2], mean) for rows, mean in zip(lagged, means, strict=True)]
    chain, shock, slow = (np.array(part) for part in zip(*fitted, strict=True))
    return Memory(chain, shock, slow)


def drawn_scores(memory: Memory, month: Integers, draws: Array) -> Array:
    """Normal scores that remember. (2, days)

    Parameters
    ----------
    month : (days,) 0 to 11
    draws : (4, days) independent standard normal numbers: two for the quick part, two for the slow
    """
    quick_root = np.array([_root(covariance) for covariance in memory.shock])
    slow_root = np.array([_root(covariance) for covariance in memory.slow])
    fresh = np.einsum("dij,jd->di", quick_root[month], draws[:2])
    slow = np.einsum("dij,jd->id", slow_root[month], slow_wave(draws[2:]))
    quick = _chained_quick(memory.chain, month, fresh)
    scores: Array = quick + slow
    return scores


def _chained_quick(chain: Array, month: Integers, fresh: Array) -> Array:
    """The quick part. Every day hangs on the two before it: a loop over plain numbers is the quick way."""
    weights = chain.reshape(12, 8).tolist()
    low = high = low_before = high_before = 0.0
    lows, highs = [], []
    for of_month, (new_low, new_high) in zip(month.tolist(), fresh.tolist(), strict=True):
        a, b, c, d, e, f, g, h = weights[of_month]
        next_low = a * low + b * high + c * low_before + d * high_before + new_low
        next_high = e * low + f * high + g * low_before + h * high_before + new_high
        low_before, high_before, low, high = low, high, next_low, next_high
        lows.append(low)
        highs.append(high)
    return np.array([lows, highs])


def slow_wave(draws: Array) -> Array:
    """Waves of unit variance with the slow memory, out of independent normal draws along the last axis."""
    keeps = float(np.exp(-1 / SLOW_DAYS))
    return running_sum(float(np.sqrt(1 - keeps**2)) * draws, keeps)


def _split(same: Array, one: Array, two: Array, means: Array) -> tuple[Array, Array, Array]:
    """Chain (2, 4), shock (2, 2) and slow part (2, 2) out of covariances at 0, 1, 2 days and of 30-day means."""
    keeps = float(np.exp(-1 / SLOW_DAYS))
    slow_mean = _variance_of_mean([keeps**lag * np.eye(2) for lag in range(_MEAN_OF)])[0, 0]
    slow = np.zeros((2, 2))
    for _ in range(16):
        chain, _, covariances = _yule_walker(same - slow, one - keeps * slow, two - keeps**2 * slow)
        wanted = _not_negative((means - _variance_of_mean(covariances)) / slow_mean)
        most = _MOST_SLOW * np.trace(same) / max(np.trace(wanted), 1e-9)
        slow = (slow + wanted * min(1.0, most)) / 2
    chain, shock, _ = _yule_walker(same - slow, one - keeps * slow, two - keeps**2 * slow)
    return chain, shock, slow


def _yule_walker(same: Array, one: Array, two: Array) -> tuple[Array, Array, list[Array]]:
    """Second-order chain of two series: weights (2, 4), shock (2, 2), and its covariances at 0 to 29 days."""
    block = np.block([[same, one], [one.T, same]])
    chain = np.linalg.solve(block.T, np.hstack([one, two]).T).T
    shock = _not_negative(same - chain @ np.hstack([one, two]).T)
    covariances = [same, one]
    while len(covariances) < _MEAN_OF:
        covariances.append(chain[:, :2] @ covariances[-1] + chain[:, 2:] @ covariances[-2])
    return chain, shock, covariances


def _variance_of_mean(covariances: list[Array]) -> Array:
    """Covariance of the mean of as many days as there are lags, from the covariances by lag. (2, 2)"""
    days = len(covariances)
    total = days * covariances[0]
    for lag in range(1, days):
        total = total + (days - lag) * (covariances[lag] + covariances[lag].T)
    return total / days**2


def _apart(of_year: Integers, month: int) -> Array:
    """Days between each day of year and the middle of the month, the short way round."""
    distance: Array = np.abs((of_year - (15 + 30.5 * month) + 183) % 366 - 183)
    return distance


def _covariance(normal: Array, lag: int, here: npt.NDArray[np.bool_]) -> Array:
    """Covariance of the days `here` with those `lag` days before, where both are known. (2, 2)"""
    now, before = normal[:, lag:], normal[:, : normal.shape[1] - lag]
    known = np.isfinite(now).all(axis=0) & np.isfinite(before).all(axis=0) & here[lag:]
    product: Array = now[:, known] @ before[:, known].T / known.sum()
    return product


def _covariance_of_means(normal: Array, here: npt.NDArray[np.bool_]) -> Array:
    """Covariance of means of 30 days about the days `here`; means with a tenth missing are left out. (2, 2)"""
    known = np.isfinite(normal).all(axis=0)
    total = np.cumsum(np.where(known, normal, 0.0), axis=1, dtype=float)
    count: Integers = np.cumsum(known)
    sums = total[:, _MEAN_OF:] - total[:, :-_MEAN_OF]
    counts: Integers = count[_MEAN_OF:] - count[:-_MEAN_OF]
    middle = here[_MEAN_OF // 2 + 1 : _MEAN_OF // 2 + 1 + counts.size]
    use = (counts >= 0.9 * _MEAN_OF) & middle
    means = sums[:, use] / counts[use]
    product: Array = means @ means.T / max(means.shape[1], 1)
    return product


def _not_negative(matrix: Array) -> Array:
    """The nearest symmetric matrix without negative variance."""
    values, vectors = np.linalg.eigh((matrix + matrix.T) / 2)
    fixed: Array = (vectors * np.maximum(values, 0)) @ vectors.T
    return fixed


def _root(covariance: Array) -> Array:
    values, vectors = np.linalg.eigh(covariance)
    root: Array = (vectors * np.sqrt(np.maximum(values, 0))) @ vectors.T
    return root
