"""Heat of stored fruit and the cider it makes."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from topwire.cellar.cider import brix_of_gravity, free_sulphite, gravity_of_brix, strength
from topwire.cellar.respiration import breathing_heat, field_heat, respiration


def test_warmer_fruit_breathes_faster() -> None:
    assert np.all(np.diff(respiration([0, 5, 10, 20])) > 0)
    assert respiration([0, 5, 10, 20]) == pytest.approx([4.6, 8.8, 14.7, 32.7], abs=0.1)


def test_heat_goes_with_mass() -> None:
    assert breathing_heat(2000, 5) == pytest.approx(2 * breathing_heat(1000, 5))
    assert field_heat(10, 18, 18) == 0


@given(st.floats(6, 20))
def test_gravity_and_sugar_are_inverse(brix: float) -> None:
    assert float(brix_of_gravity(gravity_of_brix(brix))) == pytest.approx(brix, abs=1e-6)


def test_strength_and_sulphite() -> None:
    assert strength(1.0) == 0
    assert float(free_sulphite(3.8)) > float(free_sulphite(3.2))
