"""Shrinkage of a log ratio against the textbook, numerical integration, and figures whose truth is known."""

import numpy as np
import pytest
from scipy import integrate, stats

from topwire.learning.shrunk import Shrunk, YearSeen, scored, shrunk


def test_nothing_seen_leaves_the_stated_figure() -> None:
    assert shrunk([], before=0.3) == Shrunk(0.0, 0.3)


def test_the_textbooks_normal_posterior() -> None:
    """Gelman and others, Bayesian Data Analysis, 3rd ed. 2013, equations 2.11 and 2.12 (from memory)."""
    seen = [YearSeen(year, value, 0.25) for year, value in enumerate((0.1, 0.4, 0.25))]
    found = shrunk(seen, before=0.3)
    precision = 1 / 0.3**2 + 3 / 0.25**2
    assert found.log_ratio == pytest.approx(3 * 0.25 / 0.25**2 / precision)
    assert found.error == pytest.approx(precision**-0.5)


def test_at_least_so_much_agrees_with_integration() -> None:
    seen = [YearSeen(1, 0.1, 0.25), YearSeen(2, 0.5, 0.25, beyond=True)]

    def chance(truth: float) -> float:
        return float(
            stats.norm.pdf(truth, 0.0, 0.3)
            * stats.norm.pdf(0.1, truth, 0.25)
            * stats.norm.sf(0.5, truth, 0.25)
        )

    whole = integrate.quad(chance, -3, 3)[0]
    mean = integrate.quad(lambda truth: truth * chance(truth), -3, 3)[0] / whole
    square = integrate.quad(lambda truth: (truth - mean) ** 2 * chance(truth), -3, 3)[0] / whole
    found = shrunk(seen, before=0.3)
    assert found.log_ratio == pytest.approx(mean, abs=1e-4)
    assert found.error == pytest.approx(square**0.5, abs=1e-4)


def test_low_to_high_holds_four_truths_of_five_and_learning_misses_less() -> None:
    draw = np.random.default_rng(3)
    inside, stated, learnt = [], [], []
    for _ in range(600):
        truth = draw.normal(0.0, 0.3)
        years = [YearSeen(year, truth + draw.normal(0.0, 0.25), 0.25) for year in range(4)]
        low, high = shrunk(years, before=0.3).range_80
        inside.append(low < np.exp(truth) < high)
        last = scored(years, before=0.3)[-1]
        stated.append(abs(last.stated))
        learnt.append(abs(last.learnt))
    assert 0.76 < np.mean(inside) < 0.84
    assert np.mean(learnt) < 0.85 * np.mean(stated)


def test_a_years_score_knows_only_the_years_before() -> None:
    years = [YearSeen(1, 0.3, 0.25), YearSeen(2, 0.3, 0.25), YearSeen(3, 0.3, 0.25, beyond=True)]
    first, second = scored(years, before=0.3)
    assert (first.stated, first.learnt) == (0.3, 0.3)
    assert second.learnt == pytest.approx(0.3 - shrunk(years[:1], before=0.3).log_ratio)
