"""How often gusts find the ground soaked, out of a record of rain."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from topwire.trellis.storm_year import YEAR, storm_kinds
from topwire.trellis.wet_ground import drains_in, soaked_evenings, with_wetness


def test_a_bucket_by_hand() -> None:
    """Full at first; 10 mm runs through and drains for two days; 12 mm dry out and are filled before it runs again."""
    rain, wanted = [10, 0, 0, 0, 0, 0, 10, 12], [4, 4, 4, 4, 4, 0, 4, 0]
    found = soaked_evenings(rain, wanted, holds=100.0, drains=2)
    assert found.tolist() == [True, True, False, False, False, False, False, True]


@given(
    st.lists(st.floats(0, 60), min_size=30, max_size=80),
    st.floats(0, 6),
    st.floats(20, 200),
    st.floats(1.0, 2.0),
)
def test_more_rain_and_slower_draining_never_soak_less(
    rain: list[float], wanted: float, holds: float, more: float
) -> None:
    need = np.full(len(rain), wanted)
    now = soaked_evenings(rain, need, holds=holds, drains=2)
    wetter = soaked_evenings(np.array(rain) * more, need, holds=holds, drains=2)
    slower = soaked_evenings(rain, need, holds=holds, drains=3)
    assert np.all(wetter >= now)
    assert np.all(slower >= now)


def test_clay_drains_slowest() -> None:
    """FAO-56 chapter 8: field capacity is reached one to three days after wetting, by texture (MEMORY)."""
    days = [drains_in(texture) for texture in ("sand", "loamy sand", "silt loam", "sandy clay", "clay")]
    assert days == sorted(days)
    assert (days[0], days[-1]) == (1, 3)


def test_seasons_take_the_places_shares_and_keep_reports_where_it_has_too_few_days() -> None:
    rain = np.tile([30.0, 0.0, 0.0, 0.0], 200)
    soaked = np.tile([True, True, False, False], 200)
    season = np.where(np.arange(800) < 400, 0, 1)
    season[-20:] = 2
    bare, leafy, heavy = with_wetness(YEAR, season, rain, soaked)
    assert (bare.soaked, leafy.soaked) == (1.0, 1.0)
    assert leafy.soaked_before == pytest.approx(0.5, abs=0.01)
    assert heavy == YEAR[2]


def test_storms_stay_as_many_whatever_the_ground() -> None:
    wet = tuple(replace(state, soaked=0.9, soaked_before=0.1) for state in YEAR)
    for outer in (True, False):
        kinds = storm_kinds(wet, outer=outer)
        assert sum(kind.share for kind in kinds) == pytest.approx(1.0)
    burst = sum(kind.share for kind in storm_kinds(wet, outer=False) if kind.soaked and kind.shelter > 0.5)
    assert burst == pytest.approx(sum(0.1 * state.storms * state.downbursts for state in wet))
