"""A figure of the catalogue, moved by what was seen as far as that is sure: shrinkage of a log ratio.

What was seen of a figure is held as the natural logarithm of seen over stated, so that “a third more” and “a third
less” weigh alike. Before anything is seen the true ratio is 1, known to `before`; what one cultivar (or task) showed in
one year is its truth and an error of that year, one draw: a hundred lots of one autumn are not a hundred autumns. The
posterior of a normal truth under normal errors is exact; something seen that only says “at least so much” (a lot still
sound when it was last looked at) enters by the chance to be beyond it, and the posterior is then summed over a grid.

Bayesian linear model with known variances: Gelman and others, Bayesian Data Analysis, 3rd ed. 2013, section 2.5 (from
memory); how far figures of the trade err, and how far years differ, are proposals of ours, stated beside each.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

REACH = 2.5  # of the log ratio, either way: from a twelfth to twelve times; what is farther off is a slip of the pen
_GRID = np.linspace(-REACH, REACH, 2001)


@dataclass(frozen=True)
class YearSeen:
    """What one year showed of one figure.

    Attributes
    ----------
    log_ratio : of seen over stated
    error : [1] standard deviation of the year's log ratio about the truth
    beyond : it was at least so much, and nobody knows how much
    """

    year: int
    log_ratio: float
    error: float
    beyond: bool = False


@dataclass(frozen=True)
class Shrunk:
    """The posterior of a log ratio."""

    log_ratio: float
    error: float

    @property
    def ratio(self) -> float:
        """Seen over stated, its middle."""
        return float(np.exp(self.log_ratio))

    @property
    def range_80(self) -> tuple[float, float]:
        """10th and 90th percentile of the ratio."""
        reach = 1.2815515655446004 * self.error  # 90th percentile of the normal distribution
        return float(np.exp(self.log_ratio - reach)), float(np.exp(self.log_ratio + reach))


def shrunk(years: Sequence[YearSeen], *, before: float) -> Shrunk:
    """The posterior of the log ratio.

    Parameters
    ----------
    years : what was seen, in any order; nothing seen leaves the stated figure
    before : [1] standard deviation of the log ratio before anything is seen
    """
    known = [one for one in years if not one.beyond]
    precision = before**-2 + sum(one.error**-2 for one in known)
    middle = sum(one.log_ratio * one.error**-2 for one in known) / precision
    if len(known) == len(years):
        return Shrunk(float(middle), float(precision**-0.5))
    from scipy.special import log_ndtr  # late: most figures need no grid

    log_chance = -0.5 * precision * (_GRID - middle) ** 2
    for one in years:
        if one.beyond:
            log_chance = log_chance + log_ndtr((_GRID - one.log_ratio) / one.error)
    weight = np.exp(log_chance - log_chance.max())
    weight /= weight.sum()
    mean = float((weight * _GRID).sum())
    return Shrunk(mean, float(np.sqrt((weight * (_GRID - mean) ** 2).sum())))


@dataclass(frozen=True)
class YearScore:
    """How far a year missed: the stated figure, and the one that knew only the years before. Natural logarithms."""

    year: int
    stated: float
    learnt: float


def scored(years: Sequence[YearSeen], *, before: float) -> tuple[YearScore, ...]:
    """Each year against the figure as it was known when the year began; years that only say “at least” are no score."""
    return tuple(
        YearScore(
            one.year,
            one.log_ratio,
            one.log_ratio - shrunk([old for old in years if old.year < one.year], before=before).log_ratio,
        )
        for one in sorted(years, key=lambda one: one.year)
        if not one.beyond
    )
