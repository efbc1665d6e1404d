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
