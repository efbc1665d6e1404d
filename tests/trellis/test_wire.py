import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.trellis import wire

EA = float(wire.axial_stiffness(2.515e-3))


@settings(deadline=None)
@given(t0=st.floats(0, 2000), load=st.floats(0, 500), span=st.floats(1, 15), warmer=st.floats(-40, 60))
def test_tension_solves_its_equation(t0: float, load: float, span: float, warmer: float) -> None:
    h = float(wire.loaded_tension(t0, load, span, EA, warmer=warmer))
    if load < 0.1:
        return
    left = (h - t0) / EA + wire.STEEL_EXPANSION * warmer
    assert left == pytest.approx(load**2 * span**2 / (24 * h**2), rel=1e-6, abs=1e-10)


@settings(deadline=None)
@given(t0=st.floats(50, 2000), load=st.floats(0.5, 400), more=st.floats(1.01, 2), span=st.floats(1, 15))
def test_more_load_more_tension_and_yielding_less(t0: float, load: float, more: float, span: float) -> None:
    tension = wire.loaded_tension(t0, load, span, EA)
    assert wire.loaded_tension(t0, load * more, span, EA) > tension
    soft = wire.yielding_stiffness(EA, 100.0, 5e4)
    assert wire.loaded_tension(t0, load, span, soft) <= tension


def test_scalars_and_arrays_agree() -> None:
    spans = np.array([6.0, 9.0, 12.0])
    together = wire.loaded_tension(1112.06, 100.0, spans, EA)
    assert together == pytest.approx([float(wire.loaded_tension(1112.06, 100.0, s, EA)) for s in spans])


def test_stringing_table_falls_with_warmth_and_meets_the_pretension() -> None:
    days = np.array([-5.0, 5.0, 15.0, 25.0, 35.0])
    table = wire.stringing_tension(
        days, pretension=1000, at_temperature=15, span=9, stiffness=EA, own_weight=0.3824
    )
    assert np.all(np.diff(table) < 0)
    assert table[2] == pytest.approx(1000)


def test_no_pretension_is_refused() -> None:
    with pytest.raises(ValueError, match="hangs loose"):
        wire.stringing_tension(20.0, pretension=0, at_temperature=15, span=9, stiffness=EA, own_weight=0.38)
    with pytest.raises(ValueError, match="no negative pretension"):
        wire.loaded_tension(-5.0, 10.0, 9.0, EA)


def test_a_wires_section_and_weight() -> None:
    """A 2.515 mm wire (12.5 gauge): 4.968 mm2 of steel, 993.6 kN for a strain of one, 0.382 N/m."""
    assert pytest.approx(np.pi / 4 * 2.515e-3**2 * 2.0e11, rel=1e-12) == EA
    assert pytest.approx(993.6e3, rel=1e-4) == EA
    assert wire.axial_stiffness(2.515e-3, 1.0e11) == pytest.approx(EA / 2)
    assert wire.self_weight(2.515e-3) == pytest.approx(0.3824, abs=1e-4)
    assert wire.self_weight(2.515e-3, 7850.0 / 2) == pytest.approx(0.1912, abs=1e-4)


def test_limits_stand_as_the_trade_has_them() -> None:
    """250 lbf on the stringing day (TENSION-PRACTICE, UFL-CIR851); half of the breaking load in service."""
    assert pytest.approx(250 * 4.4482216, rel=1e-6) == wire.GREATEST_PRETENSION
    assert (wire.SERVICE_SHARE, wire.STORM_SHARE) == (0.5, 0.75)


def test_what_makes_no_wire_is_refused() -> None:
    for span, stiffness in ((0.0, EA), (9.0, 0.0), (-1.0, EA)):
        with pytest.raises(ValueError, match="a span and a stiffness above zero"):
            wire.loaded_tension(100.0, 10.0, span, stiffness)
    assert wire.loaded_tension(0.0, 10.0, 1e-3, EA) > 0
    with pytest.raises(ValueError, match="hangs loose"):
        wire.stringing_tension(20.0, pretension=-1, at_temperature=15, span=9, stiffness=EA, own_weight=0.38)
    assert (
        wire.stringing_tension(15.0, pretension=1, at_temperature=15, span=9, stiffness=EA, own_weight=0.38)
        > 0
    )


def test_ends_that_give_stretch_the_wire() -> None:
    """Two springs of 50 kN/m at the ends of 100 m: L / (L/EA + 2/k)."""
    assert wire.yielding_stiffness(EA, 100.0, 5e4) == pytest.approx(100.0 / (100.0 / EA + 2 / 5e4))
    assert wire.yielding_stiffness(EA, 100.0, 1e15) == pytest.approx(EA)


def test_a_stringing_table_solves_the_change_of_state() -> None:
    own = 0.3824
    for day in (-10.0, 30.0):
        h = float(
            wire.stringing_tension(
                day, pretension=900, at_temperature=15, span=9, stiffness=EA, own_weight=own
            )
        )
        left = (h - 900) / EA + wire.STEEL_EXPANSION * (day - 15)
        assert left == pytest.approx((own * 9) ** 2 / 24 * (1 / h**2 - 1 / 900**2), rel=1e-6, abs=1e-12)
    other = wire.stringing_tension(
        30.0, pretension=900, at_temperature=15, span=9, stiffness=EA, own_weight=own, expansion=0.0
    )
    assert other == pytest.approx(900)


def test_area_of_a_round_wire() -> None:
    assert wire.round_area(2.5e-3) == pytest.approx(4.9087e-6, rel=1e-4)  # pi d2 / 4
