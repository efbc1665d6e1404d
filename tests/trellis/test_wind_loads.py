import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.plan.model import Plan
from topwire.plan.read import parse_plan
from topwire.plan.trees import Hill
from topwire.trellis import loads, orography, storm, wind
from topwire.trellis.demand import crop_of_row, row_demand
from topwire.trellis.kinds import WindForm
from topwire.trellis.places import post_positions
from topwire.trellis.question import storm_of
from topwire.values.fault import Faults


@settings(deadline=None)
@given(
    heights=st.lists(st.floats(0.5, 4.0), min_size=1, max_size=6, unique=True).map(sorted),
    above=st.floats(0.0, 0.6),
    inner=st.booleans(),
)
def test_wires_take_the_whole_moment_of_the_canopy(heights: list[float], above: float, inner: bool) -> None:
    high = heights[-1] + above + 0.2
    low = min(0.6, heights[-1] / 2)
    if len(heights) > 1 and min(np.diff(heights)) < 1e-3:
        return
    shares = wind.wire_shares(heights, low, high, inner=inner)
    _, moment = wind.band_force(low, high, inner=inner)
    assert shares @ np.asarray(heights) == pytest.approx(moment)


def test_an_inner_row_is_sheltered_below_only() -> None:
    assert wind.shelter(1.0) == 0.4
    assert wind.shelter(2.0) == 0.65
    assert wind.shelter(3.0) == 1.0


def test_wind_at_an_angle_presses_less() -> None:
    assert wind.normal_share(0.0) == pytest.approx(1)
    assert wind.normal_share(60.0) == pytest.approx(0.25)
    assert wind.normal_share(90.0) == pytest.approx(0, abs=1e-12)


def test_gentle_slopes_do_not_speed_the_wind_up() -> None:
    assert wind.slope_speed_up(0.08) == 1.0
    assert wind.slope_speed_up(0.12) > 1.3
    assert wind.slope_speed_up(0.6) == wind.slope_speed_up(0.25)  # the code's cap


def test_a_hill_speeds_the_wind_up_most_at_its_crest() -> None:
    def at(distance: float, height: float = 0.0, rise: float = 30.0) -> float:
        return wind.hill_speed_up(
            wind.HILL_SHAPES["ridge"], wind.WindExposure.C, rise=rise, half_length=100.0, distance=distance,
            height=height,
        )  # fmt: skip

    assert at(0.0) == pytest.approx((1 + 1.45 * 0.3) ** 2)
    assert at(75.0) == pytest.approx((1 + 1.45 * 0.3 / 2) ** 2)
    assert at(150.0) == 1.0
    assert at(0.0, 3.0) < at(0.0)
    assert at(0.0, rise=10.0) == 1.0  # gentle
    assert at(0.0, rise=500.0) == at(0.0, rise=50.0)  # the cap


def test_thinner_air_presses_less() -> None:
    assert wind.gust_pressure(30.0, coefficient=1.0, elevation=1500.0) < wind.gust_pressure(
        30.0, coefficient=1.0
    )


def test_wind_along_a_row_loads_face_and_sides() -> None:
    assert wind.end_force(100.0, height=3.0, width=1.0, length=50.0) == pytest.approx(100 * 3 * (1 + 4))


def test_a_wet_leafy_tree_is_heavier() -> None:
    bare = loads.tree_mass(0.9, 3.6, leafed=False, wet=False)
    dry = loads.tree_mass(0.9, 3.6, leafed=True, wet=False)
    wet = loads.tree_mass(0.9, 3.6, leafed=True, wet=True)
    assert bare < dry < wet
    assert 11 <= wet <= 17  # kg/m, the range worked out from parts


def test_crop_hangs_until_its_own_harvest() -> None:
    kg = np.array([20.0] * 20)
    same = crop_of_row(kg, np.full(20, 150.0), 1.0)
    mixed = crop_of_row(kg, np.array([100.0, 200.0] * 10), 1.0)
    assert same == pytest.approx(20.0)
    # on day 100 the early trees hang full and the late ones half: 15 kg/m; later only the late ones: 10
    assert mixed == pytest.approx(15.0)
    assert crop_of_row(np.zeros(5), np.full(5, 150.0), 1.0) == 0.0


def test_the_heaviest_stretch_counts_not_the_mean() -> None:
    kg = np.concatenate([np.full(20, 5.0), np.full(10, 30.0), np.full(20, 5.0)])
    assert crop_of_row(kg, np.full(50, 150.0), 1.0) == pytest.approx(30.0)


@settings(deadline=None)
@given(
    length=st.floats(4.0, 400.0),
    spacing=st.floats(0.6, 2.5),
    first=st.floats(0.1, 1.5),
    widest=st.floats(1.8, 12.0),
)
def test_no_span_is_wider_than_allowed(length: float, spacing: float, first: float, widest: float) -> None:
    posts = post_positions(length, first_tree=first, tree_spacing=spacing, widest=widest)
    assert posts[0] == 0
    assert posts[-1] == length
    assert np.all(np.diff(posts) > 0)
    assert np.diff(posts).max() <= widest * (1 + 1e-9)


def test_posts_stand_between_trees() -> None:
    posts = post_positions(60.0, first_tree=0.5, tree_spacing=1.0, widest=8.0)
    assert np.allclose((posts[1:-1] - 0.5) % 1.0, 0.5)


@pytest.mark.parametrize("heights", [[-0.5, 1.0], [1.0, 1.0], [2.0, 1.0]])
def test_impossible_wires_are_refused(heights: list[float]) -> None:
    with pytest.raises(ValueError, match="wire heights are above the ground"):
        row_demand(
            length=50, tree_spacing=1, first_tree=0.5, row_spacing=3.5, inner=False, heights=heights, canopy_top=3,
            crop=20, crop_on_wires=0.5, pressure_at_1=0.4,
        )  # fmt: skip


def a_plan(**place: str) -> Plan:
    return parse_plan(
        "name: Test\nunits: metric\n"
        "place: {latitude: 50, longitude: 5, elevation: 0 m"
        + "".join(f", {key}: {value}" for key, value in place.items())
        + "}\nground:\n  blocks:\n    - {name: A, rectangle: {length: 90 m, width: 30 m}}\n"
        "kitchen:\n  needs:\n    - {use: fresh, amount: 9 kg/week, from: 1 Sep, to: 1 Dec}\nyears: {planting: 2028}\n"
    )


def test_a_mean_wind_is_loaded_by_the_european_form() -> None:
    # EN 1991-1-4: 25 m/s in terrain II give 640.6 Pa at 3 m
    plan = a_plan(mean_wind="25 m/s")
    gust = storm_of(plan).gust_50
    assert storm.pressure_at_1(storm_of(plan), 0.0) * gust**2 == pytest.approx(640.6, abs=0.1)
    assert storm.gust_of(storm_of(plan), 25) / gust == pytest.approx(0.9597, abs=1e-4)
    assert storm_of(plan).form is WindForm.MEAN


def test_a_gust_is_loaded_by_the_american_form() -> None:
    plan = a_plan(gust="40 m/s")
    assert storm.pressure_at_1(storm_of(plan), 0.0) * 40**2 == pytest.approx(
        708.6, rel=0.01
    )  # ASCE 7-16, exposure C, sea level
    assert storm.gust_of(storm_of(plan), 100) / 40 == pytest.approx(1.069, abs=1e-3)


def test_one_storm_is_stated_once() -> None:
    with pytest.raises(Faults, match="keep the one of your wind map"):
        a_plan(gust="40 m/s", mean_wind="25 m/s")


def test_rising_ground_speeds_the_mean_up_by_the_annex() -> None:
    assert orography.windward(0.0, 0.0) == pytest.approx(1.0124)
    assert orography.windward(-1.0, 0.0) == pytest.approx(1.0124 * np.exp(-2.6456))
    assert orography.windward(0.0, 0.5) == pytest.approx(0.4125, abs=1e-4)
    assert orography.lee_of_hill(1.0, 0.0) == pytest.approx(1.0124 * np.exp(-1.7637))
    # both sides of a cliff's edge meet, and its lee fades to nothing: 0.84 windward, 0.86 in the formula of the lee
    assert orography.lee_of_cliff(0.1, 0.1) == pytest.approx(orography.windward(0.0, 0.1), rel=0.03)
    assert orography.lee_of_cliff(1.0, 0.1) == pytest.approx(0.3552, abs=1e-3)
    assert 0 < orography.lee_of_cliff(3.4, 0.1) < 0.1
    assert orography.lee_of_cliff(3.6, 0.1) == 0.0
    # c_o: 1 on level ground, 1 + 2 slope s, never above 1 + 0.6 s
    assert orography.orography_factor(0.04, 1.0) == 1.0
    assert orography.orography_factor(0.2, 0.5) == pytest.approx(1.2)
    assert orography.orography_factor(0.9, 1.0) == pytest.approx(1.6)


@pytest.mark.parametrize("hill", ["ridge", "escarpment", "hill"])
@pytest.mark.parametrize("stated", ["gust: 40 m/s", "mean_wind: 27 m/s"])
def test_a_higher_or_nearer_rise_never_presses_less(hill: str, stated: str) -> None:
    key, _, value = stated.partition(": ")
    flat = storm.pressure_at_1(storm_of(a_plan(**{key: value})), 0.0)

    def pressure(height: float, distance: float) -> float:
        plan = a_plan(**{key: value})
        rise = {
            "hill": Hill(hill),
            "hill_height": height,
            "hill_half_length": 100.0,
            "crest_distance": distance,
        }
        risen = plan.model_copy(update={"trellis": plan.trellis.model_copy(update=rise)})
        return storm.pressure_at_1(storm_of(risen), 0.0)

    by_height = [pressure(height, 30.0) for height in (2, 5, 10, 20, 25, 30, 40, 50, 55, 70, 100)]
    assert by_height == sorted(by_height)
    by_distance = [pressure(40.0, distance) for distance in (0, 5, 20, 60, 150, 400, 2000)]
    assert by_distance == sorted(by_distance, reverse=True)
    assert by_height[0] == by_distance[-1] == flat
    assert by_distance[0] > flat * 1.2


def test_the_mean_form_takes_the_annex_and_not_the_other_code() -> None:
    # crest of a slope of 20 %: c_o = 1.4; terrain II at 3 m, ln(3/0.05) = 4.094
    level, slope = (storm.pressure_at_1(storm_of(a_plan(mean_wind="25 m/s")), s) for s in (0.0, 0.2))
    log = np.log(3 / 0.05)
    assert slope / level == pytest.approx(1.4**2 * (1 + 7 / (1.4 * log)) / (1 + 7 / log))
