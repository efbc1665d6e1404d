"""The chance that a row goes over: monotone in all that makes it stouter, and the same by two methods."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.trellis.failing import MEAN_RUPTURE, Bay, Footing, failure_gust
from topwire.trellis.gust_load import canopy_band, drag, gust_for, profile
from topwire.trellis.known_builds import KNOWN, KnownBuild, known_middle
from topwire.trellis.losses import expected_loss
from topwire.trellis.row_risk import RowAge, RowUnderStorms, risk_by_draws, risk_by_integration
from topwire.trellis.standing import (
    bay_strength,
    clay_push,
    post_limits,
    root_moment,
    sand_push,
    soil_limit,
    wood_limit,
)
from topwire.trellis.storm_year import YEAR, GustClimate, storm_kinds

MPH = 0.44704
GROUNDS = (Footing(False, 50e3, 18e3, False), Footing(False, 28e3, 18e3, True))
AGES = (RowAge(3, 0.025, 2.0, 2.1), RowAge(3, 0.045, 12.0, 2.9), RowAge(14, 0.055, 20.0, 3.1))


def a_row(build: KnownBuild, gust: float, *, outer: bool = True) -> RowUnderStorms:
    kinds = storm_kinds(YEAR, outer=outer)
    return RowUnderStorms(KNOWN[build].bay, GROUNDS, AGES, kinds, GustClimate.of(gust * MPH))


@given(
    diameter=st.floats(0.07, 0.2), depth=st.floats(0.5, 1.8), cohesion=st.floats(8e3, 1.5e5), trunk=st.floats(0, 0.09),
    spacing=st.floats(1.8, 12), crop=st.floats(0, 40), top=st.floats(2, 4), more=st.floats(1.001, 1.5),
    sand=st.booleans(), soaked=st.booleans(),
)  # fmt: skip
@settings(max_examples=60, deadline=None)
def test_stouter_parts_never_go_over_sooner(
    diameter: float, depth: float, cohesion: float, trunk: float, spacing: float, crop: float, top: float, more: float,
    sand: bool, soaked: bool,
) -> None:  # fmt: skip
    bay = Bay(diameter, depth, spacing, MEAN_RUPTURE, 0.9, trunk, canopy_band(top), 12.0)
    ground = Footing(sand, 20 + cohesion / 1e4 if sand else cohesion, 18e3, soaked)

    def gust(bay: Bay, ground: Footing = ground, crop: float = crop, shelter: float = 1.0) -> float:
        return float(failure_gust(bay, ground, crop=crop, shelter=shelter).first)

    now, least = gust(bay), 1e-6
    strength = float(ground.strength)  # type: ignore[arg-type]
    assert gust(replace(bay, diameter=diameter * more)) >= now - least
    assert gust(replace(bay, depth=depth * more)) >= now - least
    assert gust(replace(bay, trunk=trunk * more)) >= now - least
    assert gust(replace(bay, rupture=MEAN_RUPTURE * more)) >= now - least
    assert gust(bay, replace(ground, strength=strength * more)) >= now - least
    assert gust(bay, crop=crop * more) <= now + least
    assert gust(bay, shelter=0.5) >= now - least
    assert gust(replace(bay, spacing=spacing * more)) <= now + least + (
        0.03 * now
    )  # a wider gust is a weaker one


@given(speed=st.floats(0.5, 120), at_10=st.floats(0.3, 1.5), falls=st.floats(0.2, 0.95))
def test_the_gust_for_a_load_is_the_loads_inverse(speed: float, at_10: float, falls: float) -> None:
    load = speed**2 * drag(speed * np.sqrt(profile(2.0)), at_10, falls)
    assert float(gust_for(load, at_10, falls)) == pytest.approx(speed, rel=1e-9)


def test_a_stiff_post_in_even_ground_turns_where_moments_balance() -> None:
    """p over the whole depth L, load at e: x^2 + 2 e x = L^2 / 2 + e L, H = p (2 x - L)."""
    p, depth, height = 3 * 50e3 * 0.1, 1.0, 1.9
    turn = -height + np.sqrt(height**2 + depth**2 / 2 + height * depth)
    push = clay_push(0.1, 50e3, grows=0.0, rate=1.0)
    assert float(soil_limit(push, depth, height)) == pytest.approx(p * (2 * turn - depth), rel=1e-6)
    # a post that breaks at M = H e + H^2 / (2 p), where the ground has taken the shear
    force = p * (-height + np.sqrt(height**2 + 2 * 4000.0 / p))
    assert float(wood_limit(push, 5.0, height, 4000.0)) == pytest.approx(force, rel=1e-6)
    assert wood_limit(push, 0.2, height, 9000.0) == np.inf


def test_sand_grows_with_the_cube_of_depth_and_more() -> None:
    push = sand_push(0.1, 31.0, 10e3)
    assert float(soil_limit(push, 1.2, 1.9)) > 2.5 * float(soil_limit(push, 0.8, 1.9))


def test_post_and_roots_bear_together() -> None:
    push, roots = clay_push(0.1, 28e3), 10 * float(root_moment(0.055, soaked=True))
    post = post_limits(push, depth=0.9, height=1.77, rupture=4700.0)
    alone = bay_strength(post, height=1.77, roots=0.0)
    both = bay_strength(post, height=1.77, roots=roots)
    assert float(both.tipping) == pytest.approx(float(alone.tipping) + roots)
    assert float(both.snapping - alone.snapping) == pytest.approx(0.7 * roots)
    assert float(root_moment(0.055, union=5e6)) < float(root_moment(0.055))  # a weak union caps them


def test_the_usual_the_sturdy_and_the_fallen_come_out_as_told() -> None:
    told = {
        (KnownBuild.USUAL, True): (74, 78), (KnownBuild.USUAL, False): (90, 94), (KnownBuild.STURDY, True): (115, 135),
        (KnownBuild.WASHINGTON, True): (40, 55), (KnownBuild.MICHIGAN, False): (38, 55),
    }  # fmt: skip
    for (build, soaked), (low, high) in told.items():
        assert low < known_middle(build, soaked=soaked) / MPH < high, build


@pytest.mark.parametrize("build", [KnownBuild.USUAL, KnownBuild.LIGHT, KnownBuild.CLOSER])
@pytest.mark.parametrize("outer", [True, False])
def test_two_methods_give_the_same_chance(build: KnownBuild, outer: bool) -> None:
    row = a_row(build, 90, outer=outer)
    summed, drawn = risk_by_integration(row), risk_by_draws(row, rows=24_000)
    assert float(drawn.in_life) == pytest.approx(float(summed.in_life), rel=0.15)
    assert float(drawn.snaps) == pytest.approx(float(summed.snaps), rel=0.15)
    assert float(drawn.by_year_with_crop.sum()) == pytest.approx(
        float(summed.by_year_with_crop.sum()), rel=0.15
    )
    assert float(summed.tips + summed.snaps) == pytest.approx(float(summed.in_life))


def test_draws_are_the_same_each_time() -> None:
    row = a_row(KnownBuild.USUAL, 80)
    assert float(risk_by_draws(row, rows=500).in_life) == float(risk_by_draws(row, rows=500).in_life)


def test_chance_and_loss_rise_with_the_gust_and_fall_with_shelter() -> None:
    gusts = (60, 70, 80, 90, 100)
    risks = [risk_by_integration(a_row(KnownBuild.USUAL, gust)) for gust in gusts]
    lives = [float(risk.in_life) for risk in risks]
    losses = [float(expected_loss(risk, posts=100.0, trees=100.0, interest=0.04)) for risk in risks]
    assert lives == sorted(lives)
    assert losses == sorted(losses)
    assert float(risk_by_integration(a_row(KnownBuild.USUAL, 90, outer=False)).in_life) < lives[3]
    stouter = risk_by_integration(a_row(KnownBuild.STURDY, 90))
    assert float(stouter.in_life) < 0.3 * lives[3]
