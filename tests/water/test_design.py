"""Both examples watered: uniform, within their source, and honest where a source is too small."""

import numpy as np
import pytest
from pydantic import TypeAdapter

from topwire.layout.findings import Layout
from topwire.notices import Faults, Severity
from topwire.sources import bibliography
from topwire.water.bill import PUMP_EFFICIENCY
from topwire.water.design import plan_water
from topwire.water.result import WaterPlan

SMALL = "compensating line 16 mm, 1.0 L/h every 0.5 m"


@pytest.fixture(params=["valley", "ridge"])
def example(request: pytest.FixtureRequest):  # type: ignore[no-untyped-def]
    return request.getfixturevalue(request.param)


def test_uniform_and_within_the_source(example) -> None:  # type: ignore[no-untyped-def]
    water, plan = example.result, example.inputs.plan.water
    assert water.source_enough
    assert min(zone.uniformity for zone in water.zones) >= 0.90
    assert water.pump_head <= water.source_head
    assert water.mains_flow <= plan.flow
    assert water.hours_at_peak <= plan.hours_per_day


def test_every_tree_is_in_one_zone(example) -> None:  # type: ignore[no-untyped-def]
    water = example.result
    addresses = [address for zone in water.zones for address in zone.rows]
    assert len(addresses) == len(set(addresses))
    assert sum(zone.trees for zone in water.zones) == int((example.layout.cultivar >= 0).sum())


def test_survives_json(example) -> None:  # type: ignore[no-untyped-def]
    adapter = TypeAdapter(WaterPlan)
    text = adapter.dump_json(example.result)
    again = adapter.validate_json(text)
    assert adapter.dump_json(again) == text
    assert again.zones == example.result.zones


def test_twice_the_same(fence) -> None:  # type: ignore[no-untyped-def]
    adapter = TypeAdapter(WaterPlan)
    assert adapter.dump_json(fence.again()) == adapter.dump_json(fence.result)


def test_notices_cite_known_sources(example) -> None:  # type: ignore[no-untyped-def]
    for notice in example.result.notices:
        assert not notice.source or notice.source in bibliography(), notice
    for item in example.result.quality:
        assert item.source in bibliography()


def test_need_grows_with_the_trees_and_follows_the_years(example) -> None:  # type: ignore[no-untyped-def]
    water = example.result
    assert water.need_by_leaf.size == 15
    assert water.need_by_leaf[0] < water.need_by_leaf[5] == water.need_by_leaf[14]
    assert water.season_need.shape == water.years.shape
    assert water.season_need.std() > 0
    low, middle, high = water.peak_need_l_per_tree
    assert 5 < low <= middle <= high < 40
    assert 0.5 < high / water.table_peak_l_per_tree < 1.2


def test_first_leaf_drinks_little_and_often(example) -> None:  # type: ignore[no-untyped-def]
    needs = {(need.block, need.leaf): need for need in example.result.blocks}
    for block in {need.block for need in example.result.blocks}:
        young, grown = needs[block, 1], needs[block, 6]
        assert young.litres_each < 0.3 * grown.litres_each
        assert young.waterings > grown.waterings
        assert young.readily_available < 0.2 * grown.readily_available


def test_dry_year_runs_longer_than_a_normal_one(example) -> None:  # type: ignore[no-untyped-def]
    water = example.result
    normal, dry, hot = water.weekly_hours.sum(axis=1)
    assert water.weekly_hours.shape == (3, 52)
    assert dry > normal > 0
    assert hot > 0
    assert water.zone_hours.shape == (len(water.zones), 6, 3, 52)
    assert water.zone_hours[:, 5].mean(axis=0) == pytest.approx(water.weekly_hours)


def test_hours_carry_the_season(example) -> None:  # type: ignore[no-untyped-def]
    """Hours times flow is the water of the scenario year."""
    water = example.result
    for position, year in enumerate(water.scenario_years):
        volume = sum(
            zone.flow * 3600 * float(water.zone_hours[number, 5, position].sum())
            for number, zone in enumerate(water.zones)
        )
        assert volume == pytest.approx(float(water.season_need[water.years == year][0]), rel=1e-6)


def test_pump_power_is_the_equation(example) -> None:  # type: ignore[no-untyped-def]
    water = example.result
    wanted = 1000 * 9.80665 * water.mains_flow * water.pump_head / PUMP_EFFICIENCY
    assert water.pump_power == pytest.approx(wanted)
    assert sum(head for _, head in water.losses) == pytest.approx(water.pump_head)


def test_bill_adds_up_and_has_what_a_system_needs(example) -> None:  # type: ignore[no-untyped-def]
    water, ground = example.result, example.ground
    assert water.cost == pytest.approx(sum(line.quantity * line.price for line in water.bill))
    text = " ".join(line.item for line in water.bill)
    for wanted in ("filter", "valve", "regulator", "meter", "air release", "flush", "controller", "gauge"):
        assert wanted in text
    rows = sum(len(zone.rows) for zone in water.zones)
    ends = next(line for line in water.bill if line.item == "flush valve for a line end")
    assert ends.quantity == rows
    low_wire = example.inputs.plan.trellis.low_wire
    post_to_post = sum(row.length + low_wire for block in ground.blocks for row in block.rows)
    tube = next(line for line in water.bill if line.item == water.emitter)
    assert post_to_post <= tube.quantity <= 1.05 * post_to_post


def test_pond_needs_a_store_and_a_media_filter(ridge) -> None:  # type: ignore[no-untyped-def]
    water = ridge.again(storage=None)
    dry = float(water.season_need[water.years == water.scenario_years[1]][0])
    assert water.storage_wanted == pytest.approx(1.25 * dry)
    assert any("media filter" in line.item for line in water.bill)
    assert any("from the pond" in notice.says for notice in water.notices)
    assert any("at hand" in n.says for n in ridge.again(storage=2 * water.storage_wanted).notices)


def test_too_few_hours_gives_the_smallest_change(valley) -> None:  # type: ignore[no-untyped-def]
    short = valley.again(hours_per_day=2.0, emitter=SMALL)
    assert not short.source_enough
    said = next(n for n in short.notices if "gives too little" in n.says)
    assert said.severity is Severity.WARNING
    assert said.remedy.startswith("Smallest change:")
    enough = valley.again(hours_per_day=short.hours_at_peak + 0.05, emitter=SMALL)
    assert enough.source_enough


def test_too_little_flow_names_the_flow_that_would_do(valley) -> None:  # type: ignore[no-untyped-def]
    from topwire.values.units import Kind, parse

    short = valley.again(flow=2.0e-4, emitter=SMALL)
    assert not short.source_enough
    said = next(n for n in short.notices if "gives too little" in n.says)
    flow = parse(said.remedy.split("a source of ")[1].split(" gpm")[0].split("\u00a0")[0] + " gpm", Kind.FLOW)
    assert flow > 2.0e-4
    assert valley.again(flow=1.01 * flow, emitter=SMALL).source_enough
    assert not valley.again(flow=0.9 * flow, emitter=SMALL).source_enough


def test_too_little_pressure_asks_for_a_booster(valley) -> None:  # type: ignore[no-untyped-def]
    weak = valley.again(pressure=1.2e5, emitter=SMALL)
    assert not weak.source_enough
    said = next(n for n in weak.notices if "pressure is too low" in n.says)
    assert "booster" in said.remedy
    assert any("booster" in line.item for line in weak.bill)
    wanted = weak.pump_head * 9806.65
    assert valley.again(pressure=wanted * 1.001, emitter=SMALL).source_enough


def test_drinking_water_is_guarded_and_paid(fence) -> None:  # type: ignore[no-untyped-def]
    water = fence.result
    assert water.source_enough
    assert any("backflow assembly" in line.item for line in water.bill)
    assert any("flow back" in n.says and n.severity is Severity.CAUTION for n in water.notices)
    assert any("backflow" in entry.title for entry in water.calendar)
    assert water.water_cost_per_year == pytest.approx(1.8 * float(np.median(water.season_need)))


def test_bare_alley_with_mulch_needs_less(fence) -> None:  # type: ignore[no-untyped-def]
    plain = float(np.median(fence.result.season_need))
    mulched = fence.again(mulch=True)
    assert float(np.median(mulched.season_need)) < plain
    assert float(np.median(fence.again(mulch=True, grassed_alley=False).season_need)) < plain


def test_what_ifs_go_the_right_way(example) -> None:  # type: ignore[no-untyped-def]
    found = {item.name: item for item in example.result.what_ifs}
    plain = found["as planned"]
    assert found["mulch along the row"].season[1] < plain.season[1]
    assert found["roots 0.3 m deeper"].season[1] < plain.season[1]
    assert found["no watering"].season == (0.0, 0.0, 0.0)
    assert found["no watering"].transpiration_lost[2] > 0.1
    assert found["half water after the middle harvest"].season[1] <= plain.season[1]


def test_named_emitter_is_taken_and_an_unknown_one_refused(valley) -> None:  # type: ignore[no-untyped-def]
    name = "compensating line 20 mm, 1.6 L/h every 0.5 m"
    assert valley.again(emitter=name).emitter == name
    with pytest.raises(Faults, match="there is no emitter"):
        valley.again(emitter="garden hose")


def test_no_tree_no_water(valley, without_trees: Layout) -> None:  # type: ignore[no-untyped-def]
    inputs = valley.inputs
    with pytest.raises(Faults, match="no tree to water"):
        plan_water(
            inputs.plan, inputs.catalogue, inputs.weather, valley.seasons, valley.ground, without_trees
        )


def test_calendar_runs_through_the_year(example) -> None:  # type: ignore[no-untyped-def]
    days = [entry.day for entry in example.result.calendar]
    assert days == sorted(days)
    assert example.result.calendar[0].day < 150
    assert example.result.calendar[-1].title == "empty the irrigation"
