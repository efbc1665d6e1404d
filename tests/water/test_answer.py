"""Both examples watered: uniform, within their source, and honest where a source is too small."""

from dataclasses import replace

import numpy as np
import pytest
from pydantic import TypeAdapter

from topwire.layout.findings import Layout
from topwire.sources import bibliography
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.values.calendar import week_of_day
from topwire.values.key import key_of
from topwire.values.notice import CannotAnswer, Measured, Severity
from topwire.values.units import UnitSystem
from topwire.water.answer import answer, of_planted, watered
from topwire.water.bill import PUMP_EFFICIENCY
from topwire.water.findings import NeedChange, Shortcoming, WaterJob, WaterPlan
from topwire.water.question import question
from topwire.water.wetting import AT_TRUNK

SMALL = "compensating line 16 mm, 1.0 L/h every 0.5 m"


@pytest.fixture(params=["valley", "ridge"])
def example(request: pytest.FixtureRequest):  # type: ignore[no-untyped-def]
    return request.getfixturevalue(request.param)


def test_uniform_and_within_the_source(example) -> None:  # type: ignore[no-untyped-def]
    water, plan = example.result, example.inputs.plan.water
    assert water.source_enough
    assert min(zone.uniformity for zone in water.zones) >= 0.90
    assert water.pressure_wanted <= water.source_pressure
    assert water.most_flow <= plan.flow
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
    low, middle, high = water.peak_need
    assert 0.005 < low <= middle <= high < 0.04
    table = next(notice for notice in water.notices if notice.code == "water.need").facts["table"]
    assert isinstance(table, Measured)
    assert 0.5 < high / table.value < 1.2


def test_first_leaf_drinks_little_and_often(example) -> None:  # type: ignore[no-untyped-def]
    needs = {(need.block, need.leaf): need for need in example.result.blocks}
    for block in {need.block for need in example.result.blocks}:
        young, grown = needs[block, 1], needs[block, 6]
        assert young.each * young.wetting.roots < 0.3 * grown.each * grown.wetting.roots
        assert young.hours_each < grown.hours_each <= example.result.hours_allowed + 1e-9
        assert young.wetting.roots < grown.wetting.roots
        assert young.waterings > grown.waterings
        assert young.readily_available < 0.2 * grown.readily_available


def test_water_is_kept_account_of(example) -> None:  # type: ignore[no-untyped-def]
    """What is emitted is what the roots get, what lies beside or below them, and what the drip loses."""
    for need in example.result.blocks:
        found = need.wetting
        assert found.roots + found.beside + found.below + found.lost == pytest.approx(1.0)
        assert found.below <= 0.1


def test_an_emitter_stands_at_every_trunk(example) -> None:  # type: ignore[no-untyped-def]
    """The usual half metre does not meet trees three feet apart."""
    assert all(need.wetting.to_trunk <= AT_TRUNK for need in example.result.blocks)
    assert not any(notice.code == "water.away" for notice in example.result.notices)
    away = {tried.name for tried in example.result.lines_tried if Shortcoming.AWAY in tried.misses}
    assert "plain line 16 mm, 2.0 L/h every 0.5 m" in away


def test_a_named_line_out_of_step_is_told(valley) -> None:  # type: ignore[no-untyped-def]
    result = valley.again(emitter=SMALL)
    assert result.emitter == SMALL
    assert any(notice.code == "water.away" for notice in result.notices)


def test_one_season_for_every_leaf(example) -> None:  # type: ignore[no-untyped-def]
    """Every hour of every leaf and year lies between the first watering and the day the lines are emptied."""
    water = example.result
    days = {entry.job: entry.day for entry in water.calendar}
    assert len([entry for entry in water.calendar if entry.job is WaterJob.EMPTY]) == 1
    weeks = np.flatnonzero(water.zone_hours.max(axis=(0, 1, 2)) > 0)
    assert weeks[0] >= week_of_day(days[WaterJob.BEGIN]) - 1
    assert weeks[-1] <= week_of_day(days[WaterJob.EMPTY]) - 1
    assert days[WaterJob.OPEN] < days[WaterJob.BEGIN] < days[WaterJob.LAST] <= days[WaterJob.EMPTY]


def test_a_first_summer_drinks_what_gardens_are_told(valley) -> None:  # type: ignore[no-untyped-def]
    """Four to ten US gallons a tree and week in its first season (advice to gardeners; common practice, no source)."""
    first = valley.result.blocks[0]
    flow = valley.result.zones[0].flow_per_tree * 3600
    july = valley.result.zone_hours[0, 0, 0, 26:31] * flow * 1000 / 3.785
    assert first.leaf == 1
    assert 4 <= july.mean() <= 10


def test_nine_years_in_ten_want_more_than_the_middle_one(example) -> None:  # type: ignore[no-untyped-def]
    hours = example.result.zone_hours
    assert hours.shape == (len(example.result.zones), 6, 2, 52)
    assert (hours[:, :, 1] >= hours[:, :, 0]).all()
    assert (hours.sum(axis=-1) > 0).all()


def test_the_week_is_no_single_year(example) -> None:  # type: ignore[no-untyped-def]
    """The sum of the weeks' middles stands near the middle of the seasons, the nine in ten above it."""
    water = example.result
    flow = np.array([zone.flow * 3600 for zone in water.zones])
    middle, nine = (float((water.zone_hours[:, -1, which].sum(axis=-1) * flow).sum()) for which in (0, 1))
    assert middle == pytest.approx(float(np.median(water.season_need)), rel=0.25)
    assert nine > float(np.percentile(water.season_need, 90))


def test_hours_fit_what_the_plan_allows(valley) -> None:  # type: ignore[no-untyped-def]
    short = valley.again(hours_per_day=3.0, emitter=SMALL)
    sets: dict[int, list[int]] = {}
    for number, zone in enumerate(short.zones):
        sets.setdefault(zone.runs_in_set, []).append(number)
    together = sum(short.zone_hours[members].max(axis=0) for members in sets.values())
    assert together.max() <= 7 * 3.0 + 1e-9
    assert all(need.hours_each <= 3.0 + 1e-9 for need in short.blocks)


def test_pump_power_is_the_equation(example) -> None:  # type: ignore[no-untyped-def]
    water = example.result
    assert water.booster_power == water.booster_pressure == 0.0  # the source has the pressure
    assert not any("pump" in line.item for line in water.bill)
    assert sum(loss.pressure for loss in water.losses) == pytest.approx(water.pressure_wanted)


def test_bill_adds_up_and_has_what_a_system_needs(example) -> None:  # type: ignore[no-untyped-def]
    water, ground = example.result, example.ground
    assert water.cost == pytest.approx(sum(line.cost for line in water.bill))
    text = " ".join(line.item for line in water.bill)
    for wanted in (
        "filter",
        "electric valve",
        "valve box",
        "valve wire",
        "regulator",
        "meter",
        "air release",
        "flush",
        "drain valve",
        "controller",
        "gauge",
        "reducer",
        "tee",
    ):
        assert wanted in text
    rows = sum(len(zone.rows) for zone in water.zones)
    ends = next(line for line in water.bill if line.item == "flush valve for a line end")
    assert ends.quantity == rows
    low_wire = example.inputs.plan.trellis.low_wire
    post_to_post = sum(row.length + low_wire for block in ground.blocks for row in block.rows)
    buttons = "buttons" in water.emitter
    tube = next(line for line in water.bill if line.item == ("blank tube 16" if buttons else water.emitter))
    assert post_to_post <= tube.quantity <= 1.05 * post_to_post


def test_pond_needs_a_store_and_a_media_filter(ridge) -> None:  # type: ignore[no-untyped-def]
    water = ridge.again(storage=None)
    dry = float(np.percentile(water.season_need, 90))
    assert 0.5 * dry < water.storage_wanted < 2 * dry
    assert water.store.size == water.storage_wanted
    assert water.store.dry_years <= 0.1 * len(water.years)
    assert any("media filter" in line.item for line in water.bill)
    assert "water.pond" in {notice.code for notice in water.notices}
    enough = ridge.again(storage=2 * water.storage_wanted)
    assert "water.store_at_hand" in {notice.code for notice in enough.notices}
    small = ridge.again(storage=0.5 * water.storage_wanted)
    assert small.store.dry_years > water.store.dry_years


def test_a_pond_without_land_that_drains_into_it_never_fills(ridge) -> None:  # type: ignore[no-untyped-def]
    dry = ridge.again(storage=None, catchment=1.0)
    assert dry.storage_wanted is None
    assert "water.never_full" in {notice.code for notice in dry.notices}
    wet = ridge.again(storage=None, catchment=2e6)
    assert ridge.again(storage=None, catchment=2e7).storage_wanted <= wet.storage_wanted
    assert wet.store.carries_over


def test_too_few_hours_gives_the_smallest_change(valley) -> None:  # type: ignore[no-untyped-def]
    short = valley.again(hours_per_day=2.0, emitter=SMALL)
    assert not short.source_enough
    said = next(n for n in short.notices if n.code == "water.too_little")
    assert said.severity is Severity.WARNING
    (told,) = all_told([said], Reader(UnitSystem.US))
    assert told.remedy.startswith("Smallest change:")
    enough = valley.again(hours_per_day=short.hours_at_peak + 0.05, emitter=SMALL)
    assert enough.source_enough


def test_too_little_flow_names_the_flow_that_would_do(valley) -> None:  # type: ignore[no-untyped-def]
    short = valley.again(flow=2.0e-4, emitter=SMALL)
    assert not short.source_enough
    flow = next(n for n in short.notices if n.code == "water.too_little").facts["flow"].value
    assert flow > 2.0e-4
    assert valley.again(flow=1.01 * flow, emitter=SMALL).source_enough
    assert not valley.again(flow=0.9 * flow, emitter=SMALL).source_enough


def test_too_little_pressure_asks_for_a_booster(valley) -> None:  # type: ignore[no-untyped-def]
    weak = valley.again(pressure=1.2e5, emitter=SMALL)
    assert not weak.source_enough
    assert "water.low_pressure" in {notice.code for notice in weak.notices}
    assert any("pump" in line.item for line in weak.bill)
    assert weak.booster_pressure == pytest.approx(weak.pressure_wanted - 1.2e5)
    assert weak.booster_power == pytest.approx(weak.most_flow * weak.booster_pressure / PUMP_EFFICIENCY)
    strong = valley.again(pressure=weak.pressure_wanted * 1.001, emitter=SMALL)
    assert strong.source_enough
    assert strong.booster_power == 0


def test_drinking_water_is_guarded_and_paid(fence) -> None:  # type: ignore[no-untyped-def]
    water = fence.result
    assert water.source_enough
    assert any("vacuum breaker" in line.item for line in water.bill)  # a tap is enough for eight trees
    assert water.cost < 150
    assert "water.tap_flows_back" in {notice.code for notice in water.notices}
    assert WaterJob.TEST_BACKFLOW not in {entry.job for entry in water.calendar}
    far = fence.again(distance=60.0)
    assert any("backflow assembly" in line.item for line in far.bill)
    assert WaterJob.TEST_BACKFLOW in {entry.job for entry in far.calendar}
    assert far.cost > 4 * water.cost
    assert water.water_cost_per_year == pytest.approx(1.8 * float(np.median(water.season_need)))


def test_bare_alley_with_mulch_needs_less(fence) -> None:  # type: ignore[no-untyped-def]
    plain = float(np.median(fence.result.season_need))
    mulched = fence.again(mulch=True)
    assert float(np.median(mulched.season_need)) < plain
    assert float(np.median(fence.again(mulch=True, grassed_alley=False).season_need)) < plain


def test_what_ifs_go_the_right_way(example) -> None:  # type: ignore[no-untyped-def]
    found = {item.change: item for item in example.result.what_ifs}
    plain = found[NeedChange.AS_PLANNED]
    assert found[NeedChange.MULCH].season[1] < plain.season[1]
    assert found[NeedChange.DEEPER_ROOTS].season[1] < plain.season[1]
    assert found[NeedChange.NO_WATER].season == (0.0, 0.0, 0.0)
    assert found[NeedChange.NO_WATER].transpiration_lost[2] > 0.1
    assert found[NeedChange.HALF_AFTER_HARVEST].season[1] <= plain.season[1]


def test_named_emitter_is_taken_and_an_unknown_one_refused(valley) -> None:  # type: ignore[no-untyped-def]
    name = "compensating line 20 mm, 1.6 L/h every 0.5 m"
    assert valley.again(emitter=name).emitter == name
    with pytest.raises(CannotAnswer, match="unknown_emitter"):
        valley.again(emitter="garden hose")


def test_no_tree_no_water(valley, without_trees: Layout) -> None:  # type: ignore[no-untyped-def]
    inputs = valley.inputs
    with pytest.raises(CannotAnswer, match="no_tree"):
        question(inputs.plan, inputs.catalogue, inputs.weather, valley.seasons, valley.ground, without_trees)


def test_calendar_runs_through_the_year(example) -> None:  # type: ignore[no-untyped-def]
    days = [entry.day for entry in example.result.calendar]
    assert days == sorted(days)
    assert example.result.calendar[0].day < 150
    assert [entry.job for entry in example.result.calendar].count(WaterJob.EMPTY) == 1
    assert example.result.calendar[-1].job is WaterJob.EMPTY


@pytest.mark.parametrize("units", list(UnitSystem))
def test_every_notice_has_words(example, units: UnitSystem) -> None:  # type: ignore[no-untyped-def]
    for told in all_told(example.result.notices, Reader(units)):
        assert told.says
        assert "{" not in told.says + told.remedy


def test_other_cultivars_change_what_hangs_on_their_days_and_nothing_else(fence) -> None:  # type: ignore[no-untyped-def]
    """What comes of the rows alone is taken for them too: it must be whole without their days."""
    asked = fence.asked
    early = replace(asked, planted=replace(asked.planted, bloom=100.0, harvest=190.0, bloom_kill=0.5))
    ours, theirs = fence.result, answer(early)
    assert key_of(early.bare) == key_of(asked.bare)
    assert key_of(theirs) == key_of(of_planted(early, watered(asked.bare)))
    assert theirs.what_ifs != ours.what_ifs
    assert key_of(replace(theirs, what_ifs=ours.what_ifs, notices=ours.notices)) == key_of(ours)
