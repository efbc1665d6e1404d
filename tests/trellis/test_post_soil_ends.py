import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.checks.trellis_frames import clamped_post
from topwire.trellis import soil
from topwire.trellis.end_choice import brace_forces, guy_force
from topwire.trellis.ground_post import even_spring, ground_post
from topwire.trellis.holding import HoldingGround


def test_stiff_ground_and_no_ground_give_the_cantilever() -> None:
    heights, bending = [1.0, 2.0, 3.0], 5e4
    held = ground_post(heights, depth=1.0, bending=bending, spring=even_spring(1e15), steps=150).flexibility
    assert held == pytest.approx(np.linalg.inv(clamped_post(heights, bending)), rel=0.05)


def test_weight_on_a_leaning_post_adds_moment_and_too_much_buckles_it() -> None:
    light = ground_post([3.0], depth=1.2, bending=5e4, spring=even_spring(2e6))
    heavy = ground_post([3.0], depth=1.2, bending=5e4, spring=even_spring(2e6), thrust=[2000.0])
    assert heavy.greatest_moment([1000.0]) > light.greatest_moment([1000.0])
    with pytest.raises(ValueError, match="buckles"):
        ground_post([3.0], depth=1.2, bending=5e4, spring=even_spring(2e6), thrust=[1e6])
    with pytest.raises(ValueError, match="above the ground"):
        ground_post([-1.0], depth=1.2, bending=5e4, spring=even_spring(2e6))


@settings(deadline=None)
@given(
    depth=st.floats(0.4, 2),
    height=st.floats(0.5, 3),
    width=st.floats(0.06, 0.25),
    strength=st.floats(5e3, 1.5e5),
)
def test_clay_balance_of_moments_closes(depth: float, height: float, width: float, strength: float) -> None:
    hu = float(soil.clay_ultimate(depth, height, width=width, cohesion=strength))
    f = hu / (9 * strength * width)
    g = depth - 1.5 * width - f
    if depth <= 1.5 * width:
        assert hu == 0
    else:
        assert hu * (height + 1.5 * width + f / 2) == pytest.approx(2.25 * width * g**2 * strength, rel=1e-6)


@settings(deadline=None)
@given(depth=st.floats(0.4, 3))
def test_code_formula_closes(depth: float) -> None:
    """d = A/2 (1 + sqrt(1 + 4.36 h/A)) with A = 2.34 P / (S1 b)."""
    force = float(soil.code_force_free(depth, 1.9, width=0.12, bearing=47e3))
    a = 2.34 * force / (47e3 * depth / 3 * 0.12)
    assert a / 2 * (1 + np.sqrt(1 + 4.36 * 1.9 / a)) == pytest.approx(depth, rel=1e-6)


@settings(deadline=None)
@given(
    strength=st.floats(3e3, 1.4e5),
    softer=st.floats(0.3, 0.99),
    depth=st.floats(0.6, 2),
    width=st.floats(0.08, 0.2),
)
def test_softer_ground_holds_less(strength: float, softer: float, depth: float, width: float) -> None:
    firm, soft = HoldingGround(False, strength, 18e3), HoldingGround(False, strength * softer, 18e3)
    assert soft.post(depth, 1.9, width) <= firm.post(depth, 1.9, width)
    assert soft.uplift(depth, width) < firm.uplift(depth, width)
    assert soft.step_down().strength <= firm.step_down().strength


def test_frost_lifts_more_than_a_shallow_post_holds() -> None:
    assert soil.frost_heave(0.114, 0.5) > soil.skin_holding(0.114, 0.9, 0.5, friction=15e3)
    assert soil.skin_holding(0.114, 0.4, 0.5, friction=15e3) == 0
    held = soil.depth_held(0.114, 0.5, friction=15e3)
    assert soil.skin_holding(0.114, held, 0.5, friction=15e3) == pytest.approx(
        soil.frost_heave(0.114, 0.5, adfreeze=6.5e4)
    )
    assert held > 2.0  # no driven post stands so deep


@settings(deadline=None)
@given(moment=st.floats(100, 30000), lean=st.floats(0, 30), slope=st.floats(0.6, 3))
def test_a_guy_holds_the_wires_moment(moment: float, lean: float, slope: float) -> None:
    """About the foot the guy pulls the leaning top back and down."""
    guy, angle = float(guy_force(moment, 3.0, lean, slope)), np.arctan(slope)
    back, down = guy * np.cos(angle), guy * np.sin(angle)
    assert back * 3.0 + down * 3.0 * np.tan(np.radians(lean)) == pytest.approx(moment)


@settings(deadline=None)
@given(moment=st.floats(100, 30000), level=st.floats(1, 3), reach=st.floats(1, 5))
def test_a_brace_holds_the_wires_moment(moment: float, level: float, reach: float) -> None:
    push, member, lift = (float(force) for force in brace_forces(np.asarray(moment), level, reach))
    assert push * level == pytest.approx(moment)
    assert lift * reach == pytest.approx(moment)
    assert member == pytest.approx(np.hypot(push, lift))
