import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.ledger.money import (
    Swing,
    break_even_yield,
    grower_return,
    internal_rate,
    net_present_value,
    payback_year,
    widest_first,
)

FLOW = np.array([-100.0, 30, 40, 50, 60])


@given(st.floats(0, 0.5))
@settings(deadline=None)
def test_interest_lowers_what_comes_late(interest: float) -> None:
    assert net_present_value(FLOW, interest + 0.01) < net_present_value(FLOW, interest)


def test_years_on_the_last_axis() -> None:
    both = net_present_value(np.stack([FLOW, 2 * FLOW]), 0.05)
    assert both[1] == pytest.approx(2 * both[0])
    assert net_present_value(FLOW, 0.0) == pytest.approx(80)
    with pytest.raises(ValueError, match="no present value"):
        net_present_value(FLOW, -1.0)


@given(st.lists(st.floats(1, 1000), min_size=1, max_size=30), st.floats(1, 5000))
@settings(deadline=None)
def test_at_the_internal_rate_nothing_is_left(later: list[float], spent: float) -> None:
    flow = np.array([-spent, *later])
    rate = internal_rate(flow)
    if rate is not None:
        assert float(net_present_value(flow, rate)) == pytest.approx(0, abs=1e-5 * spent)
    elif sum(later) > spent:
        pytest.fail("money came back, so there is a rate")


def test_no_rate_without_a_change_of_sign() -> None:
    assert internal_rate([-1.0, -2, -3]) is None
    assert internal_rate([1.0, 2, 3]) is None
    assert internal_rate([-100.0, 1, 1]) is not None  # a loss has a negative rate
    assert internal_rate([-100.0, 1, 1]) == pytest.approx(-0.895, abs=0.01)


def test_payback() -> None:
    assert payback_year(FLOW) == 3
    assert payback_year(FLOW, 0.2) == 4
    assert payback_year([-100.0, 1, 1]) is None
    assert payback_year([-10.0, 20, -30, 40]) == 1


def test_cost_line_faults() -> None:
    with pytest.raises(ValueError, match="no yield breaks even"):
        break_even_yield(300, fixed=7767.41, per_bin=320.105)
    rows = grower_return(np.array([[20.0], [45.0]]), np.array([350.0, 500.0]), fixed=7767.41, per_bin=320.105)
    assert rows.shape == (2, 2)


def test_widest_swing_first() -> None:
    ranked = widest_first([Swing("b", 1, 2), Swing("a", 1, 2), Swing("c", 5, -5)])
    assert [swing.assumption for swing in ranked] == ["c", "a", "b"]
