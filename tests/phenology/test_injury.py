"""Zones, winter injury, sunburn."""

import numpy as np
import pytest

from topwire.phenology import injury


@pytest.mark.parametrize(
    ("coldest", "zone"),
    [(-8.6, "8b"), (-27.1, "5a"), (-5.0, "9a"), (-17.7, "7a"), (-17.9, "6b"), (-70, "1a"), (30, "13b")],
)
def test_zone_of_the_mean_minimum(coldest: float, zone: str) -> None:
    assert injury.hardiness_zone([coldest - 2, coldest + 2]) == zone


def test_no_year_no_zone() -> None:
    assert injury.hardiness_zone([np.nan]) == ""


def test_tender_wood_is_hurt_more_often() -> None:
    coldest = np.array([-20.0, -29.0, -33.0, -36.0])
    lethal = [injury.WOOD_LETHAL[name] for name in ("very tender", "tender", "medium", "hardy")]
    np.testing.assert_allclose(injury.winters_below(coldest, lethal), [0.75, 0.5, 0.25, 0.0])


def test_sunburn_from_32_degrees() -> None:
    assert injury.sunburn_days([[31.9, 32.0, 38.0]])[0] == 2
    assert injury.sunburn_days([[31.9, 32.0, 39.0]], surface_over_air=7.0)[0] == 1
    years = injury.sunburn_days([[[31.9, 30.0, 32.0], [33.0, 34.0, 35.0]]])  # days run along the last axis
    assert years.tolist() == [[1.0, 3.0]]
    assert years.dtype == float


def test_soil_follows_the_air_slowly() -> None:
    tmin, tmax = np.zeros((1, 60)), np.full((1, 60), 4.0)
    tmin[0, 30], tmax[0, 30] = -38.0, -20.0  # a single cold day
    assert injury.coldest_soil(tmin, tmax)[0] == pytest.approx(2.0 + (-29.0 - 2.0) / 10)
    even = injury.coldest_soil(np.zeros((2, 12)), np.full((2, 12), 4.0))
    assert even.tolist() == pytest.approx([2.0, 2.0])
    ends = np.full((1, 12), 4.0)
    ends[0, -1] = -16.0  # the last day counts
    assert injury.coldest_soil(ends, ends)[0] == pytest.approx(2.0)
