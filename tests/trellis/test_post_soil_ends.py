import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.trellis import ends, post, soil
from topwire.trellis.end_choice import beam_moment, guy_force, guy_geometry
from topwire.trellis.ground_post import even_spring, fixed_post, ground_post
from topwire.trellis.holding import HoldingGround


def test_stiff_ground_and_no_ground_give_the_cantilever() -> None:
    heights, bending = [1.0, 2.0, 3.0], 5e4
    held = ground_post(heights, depth=1.0, bending=bending, spring=even_spring(1e15), steps=150).flexibility
    assert held == pytest.approx(np.linalg.inv(fixed_post(heights, bending)), rel=0.05)


def test_weight_on_a_leaning_post_adds_moment_and_too_much_buckles_it() -> None:
    light = ground_post([3.0], depth=1.2, bending=5e4, spring=even_spring(2e6))
    heavy = ground_post([3.0], depth=1.2, bending=5e4, spring=even_spring(2e6), thrust=[2000.0])
    assert heavy.greatest_moment([1000.0]) > light.greatest_moment([1000.0])
    with pytest.raises(ValueError, match="buckles"):
        ground_post([3.0], depth=1.2, bending=5e4, spring=even_spring(2e6), thrust=[1e6])
    with pytest.raises(ValueError, match="above the ground"):
        ground_post([-1.0], depth=1.2, bending=5e4, spring=even_spring(2e6))


@settings(deadline=None)
@given(load=st.floats(0.2, 5), low=st.floats(0, 1.5), band=st.floats(0.1, 1.5), at=st.floats(0.1, 3))
def test_band_deflection_is_the_sum_of_its_strips(load: float, low: float, band: float, at: float) -> None:
    edges = np.linspace(low, low + band, 2001)
    middles, width = (edges[1:] + edges[:-1]) / 2, band / 2000
    summed = (post.flexibility(at, middles, 1e4) * load * width).sum()
    assert post.band_deflection(at, low, low + band, load, 1e4) == pytest.approx(summed, rel=1e-4)


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
@given(force=st.floats(50, 3000))
def test_code_formula_and_its_inverse_agree(force: float) -> None:
    needed = soil.code_depth_free(force, 1.9, width=0.12, bearing=47e3)
    if needed < 10:
        assert soil.code_force_free(needed, 1.9, width=0.12, bearing=47e3) == pytest.approx(force, rel=1e-6)
    assert np.all(np.diff(soil.code_force_free([0.5, 1.0, 1.5], 1.9, width=0.12, bearing=47e3)) > 0)


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


@settings(deadline=None)
@given(
    t=st.lists(st.floats(100, 4000), min_size=4, max_size=4), lean=st.floats(0, 30), angle=st.floats(30, 70)
)
def test_tie_back_is_in_equilibrium(t: list[float], lean: float, angle: float) -> None:
    z = [0.9, 1.6, 2.3, 3.0]
    end = ends.tie_back(t, z, guy_height=3.0, lean=lean, guy_angle=angle)
    top = -3.0 * np.tan(np.radians(lean))
    # moment about the foot: the guy pulls the top back and down
    turned = end.anchor_horizontal * 3.0 - end.anchor_uplift * top
    assert turned == pytest.approx(float(np.dot(t, z)))
    assert end.foot + end.anchor_horizontal == pytest.approx(sum(t))


def test_row_ends_and_their_vector_forms_agree() -> None:
    t, z = np.array([[900.0, 1100.0, 1200.0, 1500.0]]), np.array([0.9, 1.6, 2.3, 3.0])
    slope, _ = guy_geometry(3.0, 17.0)
    one = ends.tie_back(t[0], z, guy_height=3.0, lean=17.0, guy_angle=float(np.degrees(np.arctan(slope))))
    assert guy_force(t @ z, 3.0, 17.0)[0] == pytest.approx(one.member)
    assert beam_moment(t, z, 3.0)[0] / np.cos(np.radians(17.0)) == pytest.approx(one.post_moment)
