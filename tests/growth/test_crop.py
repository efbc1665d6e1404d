from dataclasses import replace

import numpy as np
import pytest
from growth.worlds import asked, forecast, own_row, record
from nursery.invented import NAMES, ground, layout
from pydantic import TypeAdapter

from topwire.growth.answer import answer
from topwire.growth.findings import CropForecast, TrialFigure
from topwire.growth.stand import first_flowering_leaf, stand_of
from topwire.growth.training import TrainingJob
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.values.key import key_of
from topwire.values.notice import CannotAnswer, Notice, Severity
from topwire.values.quantities import kinds_of
from topwire.values.traits import Grade, StockPrecocity
from topwire.values.units import UnitSystem


def told(crop: CropForecast, code: str) -> list[Notice]:
    return [notice for notice in crop.notices if notice.code == code]


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
    assert 1.5 < crop.mature_crop[1] < 4.5
    assert (crop.full_crop_kg_per_tree >= crop.kg_per_tree[:, :, 1].max(axis=1)).all()


def test_areas_have_their_names() -> None:
    crop = forecast()
    assert crop.areas.blocks == 640.0
    assert crop.areas.tree_ground == pytest.approx(140 * 3.3 * 0.92)
    assert crop.areas.fenced == 640.0
    assert crop.crop_on_ground[12, 1] == pytest.approx(crop.orchard_kg[12, 1] / crop.areas.tree_ground)


def test_an_own_mature_yield_changes_the_sum_and_the_words() -> None:
    """Trees the kitchen does not count on stand at the row of crop_load.csv; so does what is told."""
    own = asked(tables=own_row("crop_load", "mature yield", load="20"))
    usual = asked()
    no_kitchen = [
        replace(each, trees=tuple(replace(line, kitchen_crop=None) for line in each.trees))
        for each in (usual, own)
    ]
    full = [stand_of(each).full_crop for each in no_kitchen]
    assert full[1] == pytest.approx(full[0] * 2 / 3)
    crops = [answer(each) for each in (usual, own)]
    said = [told(crop, "years.rests_on")[0].facts["crop"] for crop in crops]
    assert [fact.value for fact in said] == pytest.approx([3.0, 2.0])  # type: ignore[union-attr]
    trial = [line for line in crops[0].trials if line.figure is TrialFigure.CROP_TO_LEAF_5]
    other = [line for line in crops[1].trials if line.figure is TrialFigure.CROP_TO_LEAF_5]
    assert other[-1].as_cropped.value < trial[-1].as_cropped.value


def test_an_own_load_changes_the_fruits_to_leave() -> None:
    light = forecast(tables=own_row("crop_load", "Honeycrisp", load="2"))
    at = light.cultivars.index("Honeycrisp")
    assert (light.gauge_fruits[at] < forecast().gauge_fruits[at]).all()


def test_leader_is_held_at_the_wall() -> None:
    assert forecast().height.max() <= ground().wall_height + 1e-9


def test_weak_pairs_are_told_and_a_stronger_stock_mends_them() -> None:
    weak = forecast(stocks={"Honeycrisp": "B.9"})
    assert np.isnan(weak.reaches_wire[2, 1])
    (notice,) = told(weak, "years.never_at_wire")
    assert "Honeycrisp on B.9" in notice.concerns
    assert notice.severity is Severity.WARNING
    strong = forecast(stocks={"Honeycrisp": "G.890"}, nursery={"seasons": 2})
    assert strong.reaches_wire[2, 1] <= 5
    slow = told(strong, "years.never_at_wire") + told(strong, "years.slow_to_wire")
    assert not any("Honeycrisp" in name for notice in slow for name in notice.concerns)


def test_feathered_trees_reach_the_wire_sooner() -> None:
    feathered, whips = forecast(nursery={"seasons": 2}), forecast(nursery={"seasons": 1})
    assert feathered.reaches_wire[0, 1] < whips.reaches_wire[0, 1]
    assert told(whips, "years.whips")
    assert not told(feathered, "years.whips")


def test_poor_soil_is_slower() -> None:
    place = {"latitude": 39.2, "longitude": -78.2, "elevation": "200 m"}
    poor = forecast(place=place | {"soil": {"fertility": "poor", "depth": "0.4 m", "texture": "sand"}})
    assert (poor.vigour < forecast().vigour).all()
    assert poor.rules[0].leaf_at_wire > forecast().rules[0].leaf_at_wire  # type: ignore[operator]


def test_replanted_ground_costs_vigour_by_the_stock() -> None:
    place = {"latitude": 39.2, "longitude": -78.2, "elevation": "200 m", "soil": {"replant": True}}
    for stock, left in (("G.41", 1.0), ("M.9 NAKBT337", 0.7)):
        ratio = forecast(stocks=stock, place=place).vigour / forecast(stocks=stock).vigour
        assert ratio == pytest.approx(left)


def test_the_growers_rule_beside_a_light_crop() -> None:
    strict, light = forecast().rules
    assert strict.chosen
    assert not light.chosen
    assert strict.kg_to_leaf_5 < light.kg_to_leaf_5
    assert strict.leaf_at_wire is not None
    assert light.leaf_at_wire is not None
    assert strict.leaf_at_wire < light.leaf_at_wire


def test_standing_trees_stay_out() -> None:
    crop = forecast(rows=layout(standing=14))
    assert crop.trees.sum() == 126
    assert told(crop, "years.standing")
    assert crop.areas.tree_ground == pytest.approx(126 * 3.3 * 0.92)


def test_seedling_stock_waits() -> None:
    assert 7 <= first_flowering_leaf(StockPrecocity.LATE, Grade.MEDIUM) <= 10
    assert first_flowering_leaf(StockPrecocity.EARLY, Grade.MEDIUM) == 2
    assert first_flowering_leaf(StockPrecocity.LATE_MEDIUM, Grade.MEDIUM) >= 4
    assert first_flowering_leaf(None, None) == 2


def test_no_weather_year_no_forecast() -> None:
    with pytest.raises(CannotAnswer) as refused:
        answer(replace(asked(), years=np.zeros(0, dtype=np.int64)))
    assert [notice.code for notice in refused.value.notices] == ["years.no_year"]


def test_the_key_hangs_on_what_the_sums_need_only() -> None:
    usual = key_of(asked())
    assert usual == key_of(asked(name="Renamed", units="metric", money={"currency": "EUR"}))
    assert usual != key_of(asked(nursery={"seasons": 2}))
    assert usual != key_of(asked(tables=own_row("crop_load", "mature yield", load="20")))


def test_goes_to_json_and_back() -> None:
    adapter = TypeAdapter(CropForecast)
    text = adapter.dump_json(forecast())
    assert adapter.dump_json(adapter.validate_json(text)) == text


def test_every_figure_says_what_it_measures() -> None:
    found = kinds_of(CropForecast)
    assert {"height", "kg_per_tree", "mature_crop", "gauge_width", "trunk_width"} <= set(found)


def test_trials_stand_beside() -> None:
    crop = forecast()
    assert len(crop.trials) == 27
    (notice,) = told(crop, "years.beside_trials")
    assert notice.facts["stocks"] == 9


def test_thinning_buys_size_and_flowers() -> None:
    sizes = {line.cultivar: line for line in forecast().sizes}
    for line in sizes.values():
        assert line.mass_overloaded < line.mass
        assert line.width_overloaded < line.width
        assert line.flowers_overloaded < line.flowers_next_year
    assert sizes["Honeycrisp"].flowers_next_year > 0.5
    # Small cider fruit hangs denser.
    assert sizes["Dabinett"].load > sizes["Gala"].load


def test_a_cultivar_with_its_own_load_turns_at_as_much_more() -> None:
    crop = forecast()
    assert crop.bearing_index[crop.cultivars.index("Dabinett")] < 0.2


def test_rules_of_training_and_thinning_come_along() -> None:
    crop = forecast()
    assert {rule.first_leaf for rule in crop.training} >= {0, 1, 2, 3, 4, 7}
    assert {rule.mark for rule in crop.thinning} <= {"READ", "proposal"}
    (strip,) = (rule for rule in crop.training if rule.job is TrainingJob.STRIP_BELOW_WIRE)
    assert strip.last_leaf == min(5, np.nan_to_num(crop.reaches_wire[:, 1], nan=5).max())


@pytest.mark.parametrize("system", list(UnitSystem))
def test_notices_are_told_in_the_readers_units(system: UnitSystem) -> None:
    crop = forecast(rows=layout({"Honeycrisp": "B.9"}, standing=14), nursery={"seasons": 1})
    said = " ".join(str(one) for one in all_told(crop.notices, Reader(system)))
    assert ("ton/acre" in said) is (system is UnitSystem.US)
    assert ("t/ha" in said) is (system is UnitSystem.METRIC)
    assert ("\u00a0ft" in said) is (system is UnitSystem.US)


def test_kept_findings_ask_the_same_question() -> None:
    """What is read back from the store has the key of what was kept, so that no later step runs anew."""
    adapter = TypeAdapter(CropForecast)
    found = forecast(weather=record())
    assert key_of(adapter.validate_json(adapter.dump_json(found))) == key_of(found)


def test_biennial_cider_fruit_is_told_apart_from_the_gauge() -> None:
    base = asked()
    trees = tuple(replace(line, for_cider=line.cultivar == "GoldRush") for line in base.trees)
    crop = answer(replace(base, trees=trees))
    (table,), (cider,) = told(crop, "years.biennial"), told(crop, "years.biennial_cider")
    assert cider.concerns == ("GoldRush",)
    assert "GoldRush" not in table.concerns
    (said,) = all_told([cider], Reader(UnitSystem.METRIC))
    assert "gauge by trunk says" not in str(said)
