"""Ends that yield, against the closed form of one span between them."""

import numpy as np
import pytest
from trellis_support import Yard, a_row

from topwire.trellis.cases import STILL, LoadCase
from topwire.trellis.kinds import CaseName
from topwire.trellis.row_frame import WIRE_SLIP, RowFrame, case_loads, row_frame, run_case
from topwire.trellis.search import END_GIVES
from topwire.trellis.wire import loaded_tension, yielding_stiffness
from topwire.trellis.yielding import after_storm, run_yielding

SPAN, TOP = 9.0, 2.0
DEMAND = a_row(length=SPAN, heights=[TOP], canopy_top=2.3, crop=20.0, crop_on_wires=0.4)


GIVES = 1 / (1 / END_GIVES + WIRE_SLIP)


def loaded(row: RowFrame) -> float:
    """Load per metre: crop, own weight and the lean [N/m]."""
    return float(np.hypot(*case_loads(row, DEMAND, STILL, 0.0, 0.5)[0, 1:]))


def one_span(yard: Yard) -> RowFrame:
    wire, post = yard.stock.wires[0], yard.stock.posts[-1]
    return row_frame(
        DEMAND, positions=np.array([0.0, SPAN]), low_wire=None, wire=wire, pretension=900.0, post=post, depth=1.2,
        end_post=post, end_depth=1.2, end_gives=END_GIVES, soil=yard.stock.soil,
    )  # fmt: skip


def test_ends_that_hold_are_the_elastic_closed_form(yard: Yard) -> None:
    row = one_span(yard)
    found = run_yielding(row, DEMAND, STILL, holds=(1e9, 1e9), gust=0.0, drag=0.5)
    assert found is not None
    assert found.turned == (0.0, 0.0)
    stiff = yielding_stiffness(row.wire.stiffness, SPAN, GIVES)
    expected = float(loaded_tension(900.0, loaded(row), SPAN, stiff))
    assert found.solution.force[0] == pytest.approx(expected, rel=2e-3)
    assert found.moments[0] == pytest.approx(expected * TOP, rel=2e-3)


@pytest.mark.parametrize("share", [0.95, 0.8, 0.6])
def test_yielding_ends_turn_as_the_parabola_asks(yard: Yard, share: float) -> None:
    """H is what the ends hold; (H - T0) L / EA + 2 u = w^2 L^3 / (24 H^2), u = (H - T0) / k + turn z."""
    row = one_span(yard)
    elastic = run_yielding(row, DEMAND, STILL, holds=(1e9, 1e9), gust=0.0, drag=0.5)
    assert elastic is not None
    holds = share * elastic.moments[0]
    found = run_yielding(row, DEMAND, STILL, holds=(holds, holds), gust=0.0, drag=0.5)
    assert found is not None
    h, load = holds / TOP, loaded(row)
    moved = (load**2 * SPAN**3 / (24 * h**2) - (h - 900.0) * SPAN / row.wire.stiffness) / 2
    turn = (moved - (h - 900.0) / GIVES) / TOP
    assert found.moments == pytest.approx((holds, holds), rel=1e-3)
    assert found.turned == pytest.approx((turn, turn), rel=0.03, abs=1.5e-4)
    before, after = after_storm(row, DEMAND, STILL, found, drag=0.5)
    assert before == pytest.approx(elastic.moments[0] / TOP, rel=1e-3)
    assert after == pytest.approx(h, rel=1e-3)


def test_one_weak_end_gives_alone(yard: Yard) -> None:
    row = one_span(yard)
    elastic = run_yielding(row, DEMAND, STILL, holds=(1e9, 1e9), gust=0.0, drag=0.5)
    assert elastic is not None
    found = run_yielding(row, DEMAND, STILL, holds=(0.8 * elastic.moments[0], 1e9), gust=0.0, drag=0.5)
    assert found is not None
    assert found.turned[0] > 0
    assert found.turned[1] == 0


def test_a_row_at_rest_keeps_its_pretension(yard: Yard) -> None:
    row = one_span(yard)
    bare = run_case(row, DEMAND, LoadCase(CaseName.HOT, leafed=False), gust=0.0, drag=0.5)
    assert bare.force[0] == pytest.approx(900.0, rel=1e-3)
