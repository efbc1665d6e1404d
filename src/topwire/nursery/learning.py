"""Sharpening the take rate with the grower's own counts.

The rate of a step is held as a beta distribution. Before any count it is what people of that skill reach, with the
weight of some grafts; every lot counted adds its successes and failures. With several lots the correlation inside a
lot is found from how much more the lots differ than chance alone would have it.
"""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class TakeRow:
    """A row of records/takes.csv: one lot of wood grafted at home, so many started, so many alive in June."""

    lot: str
    cultivar: str | None
    year: int | None
    started: int
    good: int
    remark: str | None


@dataclass(frozen=True)
class Rate:
    """A share that is not known for certain, as a beta distribution."""

    alpha: float
    beta: float

    @property
    def mean(self) -> float:
        return self.alpha / (self.alpha + self.beta)

    @property
    def weight(self) -> float:
        """Grafts' worth of experience behind it."""
        return self.alpha + self.beta

    def quantile(self, chance: float) -> float:
        from scipy.special import betaincinv  # late: questions are read without a sum

        return float(betaincinv(self.alpha, self.beta, chance))

    @property
    def range_80(self) -> tuple[float, float]:
        """10th and 90th percentile."""
        return self.quantile(0.1), self.quantile(0.9)


@dataclass(frozen=True)
class Lot:
    """One lot counted: so many started, so many alive."""

    started: int
    good: int

    def __post_init__(self) -> None:
        if not 0 <= self.good <= self.started or self.started == 0:
            raise ValueError(
                f"{self.good} good of {self.started} started is no count; write for instance 18 of 25"
            )


def rate_before(mean: float, weight: float = 20.0) -> Rate:
    """Rate of people of that skill, worth `weight` grafts of own experience (proposal: 20)."""
    if not 0 < mean < 1:
        raise ValueError(f"a rate of {mean} leaves nothing to learn; it lies between 0 and 1")
    return Rate(mean * weight, (1 - mean) * weight)


def learned(before: Rate, lots: tuple[Lot, ...], correlation: float = 0.0) -> Rate:
    """Rate after counting `lots`.

    Grafts of a correlated lot carry less news than as many single ones: a lot of n counts as n / (1 + (n - 1) rho),
    the usual design effect of a cluster.
    """
    alpha, beta = before.alpha, before.beta
    for lot in lots:
        share = 1 / (1 + (lot.started - 1) * correlation)
        alpha += lot.good * share
        beta += (lot.started - lot.good) * share
    return Rate(alpha, beta)


def lot_correlation(lots: tuple[Lot, ...]) -> float | None:
    """Correlation between grafts of a lot, by the analysis of variance; None with fewer than three lots.

    The one-way estimator for shares (between against within lots), cut at 0.
    """
    if len(lots) < 3:
        return None
    started = np.array([lot.started for lot in lots], dtype=float)
    good = np.array([lot.good for lot in lots], dtype=float)
    total, mean = started.sum(), good.sum() / started.sum()
    if mean in (0.0, 1.0) or total <= len(lots):
        return None
    typical = (total - (started**2).sum() / total) / (len(lots) - 1)
    between = (started * (good / started - mean) ** 2).sum() / (len(lots) - 1)
    within = (good * (1 - good / started)).sum() / (total - len(lots))
    spread = between + (typical - 1) * within
    return float(np.clip((between - within) / spread, 0.0, 0.99)) if spread > 0 else 0.0
