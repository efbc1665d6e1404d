import numpy as np
import pytest

from topwire.nursery.learning import Lot, learned, lot_correlation, rate_before


def test_counts_pull_the_rate_and_narrow_it() -> None:
    before = rate_before(0.90)
    after = learned(before, (Lot(100, 70),))
    assert 0.70 < after.mean < before.mean
    low, high = after.range_80
    assert high - low < before.range_80[1] - before.range_80[0]


def test_a_correlated_lot_tells_less() -> None:
    lots = (Lot(100, 60),)
    assert learned(rate_before(0.9), lots, 0.1).mean > learned(rate_before(0.9), lots).mean


def test_correlation_is_found_again() -> None:
    random = np.random.default_rng(6)
    share = random.beta(0.8 * 9, 0.2 * 9, 400)  # correlation 0.1
    lots = tuple(Lot(30, int(random.binomial(30, p))) for p in share)
    assert lot_correlation(lots) == pytest.approx(0.1, abs=0.03)


def test_correlation_of_even_lots_is_none() -> None:
    assert lot_correlation((Lot(20, 16), Lot(20, 16), Lot(20, 16))) == 0.0
    assert lot_correlation((Lot(20, 16), Lot(20, 10))) is None
    assert lot_correlation((Lot(20, 20), Lot(20, 20), Lot(20, 20))) is None


def test_faults() -> None:
    with pytest.raises(ValueError, match="18 of 25"):
        Lot(10, 11)
    with pytest.raises(ValueError, match="nothing to learn"):
        rate_before(1.0)
