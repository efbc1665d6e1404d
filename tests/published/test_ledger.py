"""Rates of return against the roots of the polynomial, by an independent way."""

import numpy as np
import pytest

from topwire.ledger.money import internal_rate, net_present_value


@pytest.mark.parametrize("seed", range(6))
def test_internal_rate_is_the_polynomials_root(seed: int) -> None:
    random = np.random.default_rng(seed)
    flow = np.concatenate([[-random.uniform(50, 150)], random.uniform(2, 25, 20)])
    roots = np.roots(flow)  # in 1 + r, since NPV (1+r)^T is a polynomial in it
    real = roots[(np.abs(roots.imag) < 1e-8) & (roots.real > 0)].real
    ours = internal_rate(flow)
    assert ours is not None
    assert np.abs(real - 1 - ours).min() < 1e-8


def test_present_value_is_the_polynomials_value() -> None:
    flow = np.array([-45_000.0, -9_000, -3_000, 4_000, 12_000])
    assert float(net_present_value(flow, 0.07)) == pytest.approx(
        np.polynomial.polynomial.polyval(1 / 1.07, flow)
    )
