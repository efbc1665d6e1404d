import numpy as np
import pytest

from topwire.growth import carbon


def test_light_saturates_and_darkness_makes_nothing() -> None:
    light = np.array([0.0, 2, 4, 8, 16])
    made = carbon.canopy_photosynthesis(light, 14.5, 2.0)
    assert made[0] == 0
    assert (np.diff(made) > 0).all()
    assert (np.diff(made) / np.diff(light))[-1] < (np.diff(made) / np.diff(light))[0]
    assert carbon.canopy_photosynthesis(0.0, 0.0, 2.0) == 0


def test_what_is_not_known_stays_not_known() -> None:
    assert np.isnan(carbon.canopy_photosynthesis(np.nan, 14.5, 2.0))
    assert np.isnan(carbon.sugar_wanted(np.nan, 2.0))


def test_leaves_are_half_grown_at_their_warmth() -> None:
    assert float(carbon.leaf_area_index(carbon.HALF_GROWN)) == pytest.approx(carbon.LARGEST_LEAF_AREA / 2)
    assert (np.diff(carbon.leaf_area_index(np.arange(0.0, 600, 50))) > 0).all()


def test_warmth_wants_more_and_twice_the_leaves_twice_as_much() -> None:
    wanted = carbon.sugar_wanted([2.0, 10.0, 20.0, 30.0], 1.0)
    assert (np.diff(wanted) > 0).all()
    assert carbon.sugar_wanted([2.0, 10.0, 20.0, 30.0], 2.0) == pytest.approx(2 * wanted)
