import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.ledger.findings import Moved, Sensitivity
from topwire.ledger.money import (
    break_even_amount,
    break_even_price,
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


def test_at_break_even_nothing_is_left() -> None:
    amount = break_even_amount(500, fixed=7767.41, per_unit=320.105)
    assert amount is not None
    assert break_even_price(amount, fixed=7767.41, per_unit=320.105) == pytest.approx(500)
    assert break_even_amount(300, fixed=7767.41, per_unit=320.105) is None


def test_widest_swing_first() -> None:
    swings = [Sensitivity(Moved.WAGE, 1, 2), Sensitivity(Moved.BILLS, 1, 2), Sensitivity(Moved.CROP, 5, -5)]
    assert [swing.moved for swing in widest_first(swings)] == [Moved.CROP, Moved.BILLS, Moved.WAGE]
