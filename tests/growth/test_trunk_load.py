import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.growth import load, trunk


@given(st.floats(5, 200))
@settings(deadline=None)
def test_diameter_and_area_agree(diameter: float) -> None:
    area = trunk.area_of_diameter(diameter)
    assert float(trunk.diameter_of_area(area)) == pytest.approx(diameter)


def test_scalar_and_array_forms_agree() -> None:
    both = load.fruit_target(np.array([5.07, 20.27]), 6)
    assert both.tolist() == [float(load.fruit_target(5.07, 6)), float(load.fruit_target(20.27, 6))]
    assert trunk.trunk_growth(np.ones((3, 2)), np.zeros(2)).shape == (3, 2)


def test_crop_slows_the_trunk_and_never_shrinks_it() -> None:
    growth = trunk.trunk_growth(1.0, np.array([0.0, 4.0, 8.0, 100.0]))
    assert (np.diff(growth) < 0).all()
    assert growth[-1] > 0


@given(st.floats(0, 15), st.floats(0, 15))
@settings(deadline=None)
def test_fruit_gets_smaller_with_load(light: float, heavy: float) -> None:
    low, high = sorted((light, heavy))
    assert load.mass_under_load(180, high, 5) <= load.mass_under_load(180, low, 5) + 1e-9
    assert float(load.mass_under_load(180, 5, 5)) == pytest.approx(180)


def test_small_fruit_hangs_denser_up_to_nine() -> None:
    more = load.small_fruit(np.array([40.0, 110.0, 165.0, 250.0]), np.array([4.0, 4.0, 4.0, 4.0]))
    assert more.tolist() == pytest.approx([2.25, 1.5, 1.0, 1.0])
    assert float(load.small_fruit(40, 12)) == 1.0
