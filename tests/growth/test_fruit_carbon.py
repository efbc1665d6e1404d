import numpy as np
import pytest

from topwire.growth import carbon, fruit
from topwire.growth.pollen_tube import share_grown, tube_growth


def test_expolinear_figures_are_found_again() -> None:
    days = np.array([15.0, 25, 40, 60, 80, 100, 120])
    masses = fruit.expolinear(days, most=1.7, relative=0.14, lost=33)
    found = fruit.fit_expolinear(days, masses)
    assert found == pytest.approx((1.7, 0.14, 33), rel=1e-3)


def test_expolinear_runs_straight_late_and_never_overflows() -> None:
    late = fruit.expolinear(np.array([150.0, 151, 152]), most=1.9, relative=0.12, lost=35)
    assert np.diff(late) == pytest.approx([1.9, 1.9], abs=1e-5)
    assert np.isfinite(fruit.expolinear(1e5, most=1.9, relative=0.12, lost=35))
    with pytest.raises(ValueError, match="four or more"):
        fruit.fit_expolinear(np.array([1.0, 2]), np.array([1.0, 2]))


def test_logistic_diameter_ends_at_its_final() -> None:
    grown = fruit.logistic_diameter(np.array([0.0, 500, 5000]), final=75, offset=20, rate=0.004)
    assert (np.diff(grown) > 0).all()
    assert grown[-1] == pytest.approx(75, abs=0.01)


def test_cold_stops_fruitlets_and_heat_does_not_run_away() -> None:
    assert fruit.early_diameter_rate(2.0) == 0
    assert fruit.early_diameter_rate(40.0) == fruit.early_diameter_rate(22.0)


@pytest.mark.parametrize(
    ("target", "says"),
    [(50, "thin on"), (125, "leave the trees"), (300, "stop thinning"), (None, "Count clusters")],
)
def test_growth_rate_method_advises(target: float | None, says: str) -> None:
    growths = np.concatenate([np.full(20, 4.0), np.full(20, 3.0), np.full(40, 0.5)])
    found = fruit.set_from_growth(growths, fruitlets_per_cluster=5, clusters_per_tree=50, target=target)
    assert found.persisting == 40
    assert found.share == 0.5
    assert found.fruits_per_tree == 125
    assert says in found.advice


def test_fallen_fruitlets_count_as_measured() -> None:
    assert fruit.set_from_growth([3.0, 3.0, 0.0, 0.0], fastest=2).share == 0.5


def test_growth_rate_faults() -> None:
    with pytest.raises(ValueError, match="needs more"):
        fruit.set_from_growth([1.0, 2.0], fastest=20)
    with pytest.raises(ValueError, match="no fruitlet grew"):
        fruit.set_from_growth([0.0] * 20)


def test_light_saturates_and_darkness_makes_nothing() -> None:
    light = np.array([0.0, 2, 4, 8, 16])
    made = carbon.canopy_photosynthesis(light, 14.5, 2.0)
    assert made[0] == 0
    assert (np.diff(made) > 0).all()
    assert (np.diff(made) / np.diff(light))[-1] < (np.diff(made) / np.diff(light))[0]
    assert carbon.canopy_photosynthesis(0.0, 0.0, 2.0) == 0


def test_respiration_doubles_with_ten_degrees() -> None:
    assert float(carbon.respiration(2.0, 0.5, 25)) == pytest.approx(1.0)
    assert float(carbon.respiration(2.0, 0.5, 35)) == pytest.approx(2.0)


def test_warm_and_dim_is_a_deficit_cool_and_bright_a_surplus() -> None:
    days = 20
    light, warm = np.full(days, 8.0), np.full(days, 15.0)
    light[8:12], warm[8:12] = 3.0, 24.0
    light[14:18], warm[14:18] = 11.0, 10.0
    index = carbon.carbohydrate_index(light, np.full(days, 14.5), warm, np.linspace(200, 400, days))
    assert index[8] == np.nanmin(index)
    assert index[14] == np.nanmax(index)
    assert index[8] < 0 < index[14]
    assert np.isnan(index[-3:]).all()  # no four days ahead


def test_index_of_many_years_is_that_of_each() -> None:
    random = np.random.default_rng(0)
    light, warm = random.uniform(3, 11, (2, 30)), random.uniform(8, 24, (2, 30))
    both = carbon.carbohydrate_index(light, 14.0, warm, np.linspace(150, 400, 30))
    assert both.shape == (2, 30)


def test_published_table_ends_in_not_thinning() -> None:
    assert [carbon.thinner_rate_change(b) for b in (0.1, 0.0, -20.0, -59, -80.0)] == [
        0.30,
        0.0,
        0.0,
        -0.30,
        -0.50,
    ]
    assert carbon.thinner_rate_change(-80.1) is None


def test_tubes_stand_still_in_cold_and_heat() -> None:
    assert tube_growth([5.0, 6.3, 43.7, 50.0]).tolist() == pytest.approx([0, 0, 0, 0], abs=1e-12)
    assert tube_growth(28.6) == pytest.approx(1)


def test_tubes_take_about_three_days_at_fifteen_degrees() -> None:
    done = share_grown(np.full(24 * 6, 15.0))
    assert 2.0 < np.argmax(done >= 1) / 24 < 3.5
