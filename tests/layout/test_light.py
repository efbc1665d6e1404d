"""Light on and in a wall: geometry, limits, and the two pictures against each other."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from topwire.layout.light import (
    Wall,
    beam_caught,
    beam_light,
    diffuse_caught,
    diffuse_light,
    season_caught,
    trace,
)
from topwire.layout.sunpath import season_sun

TALL = Wall(0.5, 3.4, 1.0, 3.5)


def test_noon_sun_along_the_row_lights_only_the_top() -> None:
    assert beam_caught(TALL, np.radians(60), np.radians(180), 0.0) == pytest.approx(1.0 / 3.5)


def test_low_sun_across_the_row_is_caught_whole() -> None:
    assert beam_caught(TALL, np.radians(10), np.radians(90), 0.0) == 1.0


@given(st.floats(2, 88), st.floats(0, 360), st.floats(0, 180))
def test_bearings_are_the_same_both_ways(elevation: float, azimuth: float, bearing: float) -> None:
    e, az = np.radians(elevation), np.radians(azimuth)
    assert beam_caught(TALL, e, az, bearing) == pytest.approx(beam_caught(TALL, e, az, bearing + 180))


def test_dense_leaves_catch_what_an_opaque_wall_does() -> None:
    sun = season_sun(45.0)
    for bearing in (0.0, 45.0, 90.0):
        dense = beam_light(Wall(0, 2.9, 1.0, 3.5, leaf_area_index=500), *sun, bearing).caught
        assert dense == pytest.approx(season_caught(Wall(0, 2.9, 1.0, 3.5), *sun, bearing), abs=0.01)
    assert diffuse_light(Wall(0, 2.9, 1.0, 3.5, leaf_area_index=500)).caught == pytest.approx(
        0.7346, abs=0.01
    )


def test_no_leaves_catch_nothing_and_everything_is_lit() -> None:
    bare = beam_light(Wall(0, 2.9, 1.0, 3.5, leaf_area_index=1e-9), *season_sun(45.0), 0.0)
    assert bare.caught == pytest.approx(0.0, abs=1e-6)
    assert bare.zones == pytest.approx((1, 1, 1), abs=1e-6)


def test_more_leaves_catch_more_and_light_less_below() -> None:
    sun = season_sun(45.0)
    found = [
        beam_light(Wall(0.5, 3.4, 1, 3.5, leaf_area_index=leaves), *sun, 0.0) for leaves in (0.5, 1.5, 3.0)
    ]
    assert found[0].caught < found[1].caught < found[2].caught
    assert found[0].zones[2] > found[1].zones[2] > found[2].zones[2]
    for light in found:
        assert light.zones[0] > light.zones[1] > light.zones[2] > 0


def test_closed_canopy_follows_beers_law() -> None:
    closed = Wall(0, 2.0, 3.0, 3.0, leaf_area_index=2.0, extinction=0.5)
    caught, _ = trace(closed, np.array([0.0]), np.array([1.0]))
    assert caught[0] == pytest.approx(1 - np.exp(-0.5 * 2.0))


def test_light_taken_is_light_met_times_leaves() -> None:
    """What foliage takes equals the mean light on it times its fading: no light is lost in the counting."""
    caught, light = trace(TALL, np.array([0.3, 1.0, 6.0]), np.array([1.1, 1.5, 6.2]))
    volume = TALL.width * TALL.height / TALL.pitch  # [m3/m2]
    path = np.array([1.1, 1.5, 6.2])
    np.testing.assert_allclose(light.mean(axis=(1, 2)) * TALL.fading * path * volume, caught, rtol=0.03)


def test_sides_of_a_north_south_wall_are_alike_and_of_an_east_west_wall_are_not() -> None:
    sun = season_sun(40.0)
    left, right = beam_light(TALL, *sun, 0.0).sides
    assert left == pytest.approx(right, rel=0.02)
    north, south = beam_light(TALL, *sun, 90.0).sides
    assert south > north


def test_diffuse_of_touching_walls_is_all() -> None:
    assert diffuse_caught(Wall(0, 2, 3, 3)) == 1.0
