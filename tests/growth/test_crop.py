import numpy as np
import pytest
from nursery.invented import NAMES, catalogue, choice, ground, layout, plan, seasons
from pydantic import TypeAdapter

from topwire.growth.crop import first_flowering_leaf, foresee_crop
from topwire.growth.result import CropForecast
from topwire.notices import Severity


def forecast(**sections: object) -> CropForecast:
    stocks = sections.pop("stocks", "G.41")
    return foresee_crop(
        plan(**sections),
        catalogue(),
        seasons(0.9),
        ground(),
        choice(),
        layout(stocks),  # type: ignore[arg-type]
    )


def test_shapes_and_order() -> None:
    crop = forecast()
    assert crop.cultivars == NAMES
    assert crop.height.shape == crop.kg_per_tree.shape == (6, 15, 3)
    assert crop.orchard_kg.shape == (15, 3)
    for band in (crop.height, crop.kg_per_tree, crop.orchard_kg, crop.row_kg):
        assert (np.diff(band, axis=-1) >= 0).all()
    assert (crop.kg_per_tree[:, 0] == 0).all()


def test_rows_cultivars_and_orchard_add_up() -> None:
    crop = forecast()
    by_cultivar = (crop.kg_per_tree[:, 12, 1] * crop.trees).sum()
    assert crop.row_kg[:, 12, 1].sum() == pytest.approx(by_cultivar, rel=0.05)
    assert crop.orchard_kg[12, 1] == pytest.approx(by_cultivar, rel=0.05)
    assert crop.rows == ("South 1", "South 2", "South 3", "South 4")


def test_full_grown_it_gives_what_the_kitchen_counted_on() -> None:
    crop = forecast()
    assert crop.kg_per_tree[0, 12, 1] == pytest.approx(9.0 * 0.9, rel=0.12)  # frost leaves nine tenths
    assert 15 < crop.mature_t_per_ha[1] < 45
    assert (crop.full_crop_kg_per_tree >= crop.kg_per_tree[:, :, 1].max(axis=1)).all()


def test_leader_is_held_at_the_wall() -> None:
    assert forecast().height.max() <= ground().wall_height + 1e-9


def test_weak_pairs_are_told_and_a_stronger_stock_mends_them() -> None:
    weak = forecast(stocks={"Honeycrisp": "B.9"})
    assert np.isnan(weak.reaches_wire[2, 1])
    told = [n for n in weak.notices if "Honeycrisp on B.9" in n.says]
    assert told
    assert told[0].severity is Severity.WARNING
    strong = forecast(stocks={"Honeycrisp": "G.890"}, nursery={"seasons": 2})
    assert strong.reaches_wire[2, 1] <= 5
    assert not any("Honeycrisp on" in notice.says for notice in strong.notices)


def test_feathered_trees_reach_the_wire_sooner() -> None:
    assert (
        forecast(nursery={"seasons": 2}).reaches_wire[0, 1]
        < forecast(nursery={"seasons": 1}).reaches_wire[0, 1]
    )


def test_poor_soil_is_slower() -> None:
    place = {"latitude": 39.2, "longitude": -78.2, "elevation": "200 m"}
    poor = forecast(place=place | {"soil": {"fertility": "poor", "depth": "0.4 m", "texture": "sand"}})
    assert (poor.vigour < forecast().vigour).all()
    assert poor.rules[0].leaf_at_wire > forecast().rules[0].leaf_at_wire  # type: ignore[operator]


def test_the_growers_rule_beside_a_light_crop() -> None:
    strict, light = forecast().rules
    assert strict.chosen
    assert not light.chosen
    assert strict.kg_to_leaf_5 < light.kg_to_leaf_5
    assert strict.leaf_at_wire is not None
    assert light.leaf_at_wire is not None
    assert strict.leaf_at_wire < light.leaf_at_wire


def test_standing_trees_stay_out() -> None:
    crop = foresee_crop(plan(), catalogue(), seasons(0.9), ground(), choice(), layout(standing=14))
    assert crop.trees.sum() == 126
    assert any("already stand" in notice.says for notice in crop.notices)


def test_seedling_stock_waits() -> None:
    rows = catalogue().rootstock
    named = catalogue().cultivar
    assert 7 <= first_flowering_leaf(rows["Seedling (domestic)"], named["Gala"]) <= 10
    assert first_flowering_leaf(rows["G.41"], named["Gala"]) == 2
    assert first_flowering_leaf(rows["MM.111"], named["Gala"]) >= 4
    assert first_flowering_leaf(None, named["Gala"]) == 2


def test_goes_to_json_and_back() -> None:
    adapter = TypeAdapter(CropForecast)
    text = adapter.dump_json(forecast())
    assert adapter.dump_json(adapter.validate_json(text)) == text


def test_trials_stand_beside() -> None:
    crop = forecast()
    assert len(crop.trials) == 27
    assert {name.split(":")[0] for name, _, _ in crop.beside_trials} == {line.trial for line in crop.trials}
    assert any("trial stocks" in notice.says for notice in crop.notices)


def test_size_and_flowers_against_load() -> None:
    crop = forecast()
    assert crop.mass_by_load.shape == crop.flowers_by_load.shape == (6, 9)
    assert (np.diff(crop.mass_by_load) < 0).all()
    assert (np.diff(crop.flowers_by_load) < 0).all()
    honeycrisp, gala = crop.cultivars.index("Honeycrisp"), crop.cultivars.index("Gala")
    assert (crop.flowers_by_load[honeycrisp] < crop.flowers_by_load[gala]).all()


def test_rules_of_training_and_thinning_come_along() -> None:
    crop = forecast()
    assert len(crop.training) >= 10
    assert {rule.mark for rule in crop.thinning} <= {"READ", "proposal"}


def test_a_cultivar_with_its_own_load_turns_at_as_much_more() -> None:
    crop = forecast()
    dabinett, honeycrisp = crop.cultivars.index("Dabinett"), crop.cultivars.index("Honeycrisp")
    at_seven = list(crop.load_steps).index(7.0)
    at_four = list(crop.load_steps).index(4.0)
    assert crop.flowers_by_load[dabinett, at_seven] > crop.flowers_by_load[honeycrisp, at_seven]
    assert crop.flowers_by_load[honeycrisp, at_four] > 0.5
    assert crop.bearing_index[dabinett] < 0.2
