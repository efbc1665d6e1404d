from dataclasses import replace
from math import ceil, prod
from pathlib import Path

import pytest
from nursery.invented import NAMES, TREES, blank, catalogue, choice, layout, plan
from pydantic import TypeAdapter

from topwire.catalogue.model import Catalogue, Right
from topwire.choice.findings import Batch, Batches, Choice
from topwire.engine.orchard import Orchard
from topwire.layout.findings import Layout
from topwire.nursery.answer import answer, graft_cost
from topwire.nursery.asked import NurseryQuestion
from topwire.nursery.findings import NurseryFindings, NurseryJob, Trouble, Way
from topwire.nursery.question import question
from topwire.plan.model import Plan
from topwire.records.read import NO_RECORDS, Records, read_records
from topwire.show.nursery_sheets import compared, remark, sheets
from topwire.show.summary import found_by
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.values.fault import Faults
from topwire.values.notice import CannotAnswer, Severity
from topwire.values.units import UnitSystem


def order_trees(
    plan: Plan, catalogue: Catalogue, choice: Choice, layout: Layout, records: Records = NO_RECORDS
) -> NurseryFindings:
    return answer(question(plan, catalogue, choice, layout, records))


def said(order: NurseryFindings) -> list[str]:
    return [str(told) for told in all_told(order.notices, Reader(UnitSystem.METRIC))]


def test_orders_what_the_layout_wants() -> None:
    order = order_trees(plan(nursery={"jointly": False}), catalogue(), choice(), layout())
    assert [(line.cultivar, line.trees) for line in order.lines] == list(zip(NAMES, TREES, strict=True))
    assert all(line.grafts > line.trees and line.chance >= 0.95 for line in order.lines)
    assert order.joint_chance == pytest.approx(prod(line.chance for line in order.lines))
    grafts = sum(line.grafts for line in order.lines)
    assert sum(stock.number for stock in order.stocks) == pytest.approx(grafts * 1.03, abs=1)
    assert order.nursery_area == pytest.approx(grafts * 0.3 * 1.0)
    assert order.chain == pytest.approx(0.9 * 0.97 * 0.88 * 0.98)


def test_jointly_is_surer_and_dearer() -> None:
    alone = order_trees(plan(nursery={"jointly": False}), catalogue(), choice(), layout())
    joint = order_trees(plan(), catalogue(), choice(), layout())
    assert alone.joint_chance < 0.95 <= joint.joint_chance
    assert [policy.chosen for policy in alone.policies] == [True, False, False, False]
    assert any("jointly" in line for line in said(alone))
    chosen = next(policy for policy in joint.policies if policy.chosen)
    sure = [policy for policy in joint.policies if policy.joint_chance >= 0.95]
    assert chosen.cost == min(policy.cost for policy in sure)
    assert joint.cost == pytest.approx(chosen.cost)
    assert "Cheaper" in compared(joint)


def test_the_pool_is_of_one_stock_and_its_stocks_are_ordered() -> None:
    order = order_trees(plan(), catalogue(), choice(), layout({"Honeycrisp": "G.214"}))
    chosen = next(policy for policy in order.policies if policy.chosen)
    assert chosen.way is Way.POOLED
    assert order.spare_stock == "G.41"
    ordered = {stock.rootstock: stock.number for stock in order.stocks}
    grafts = {stock: sum(line.grafts for line in order.lines if line.rootstock == stock) for stock in ordered}
    assert ordered["G.41"] >= grafts["G.41"] + order.spare_stocks
    assert grafts["G.214"] <= ordered["G.214"] <= 1.04 * grafts["G.214"] + 1


def test_bad_luck_of_a_whole_batch_is_told() -> None:
    order = order_trees(plan(), catalogue(), choice(), layout())
    assert [line.trouble for line in order.troubles] == list(Trouble)
    assert all(line.joint_chance < order.joint_chance for line in order.troubles)
    assert any("share their luck" in line for line in said(order))
    assert any("missing" in line and "bought" in line for line in said(order))


def test_protected_and_unknown_are_bought_with_the_reason() -> None:
    rights = {"Gala": Right.LICENSED, "GoldRush": Right.UNKNOWN}
    order = order_trees(plan(), catalogue(**rights), choice(), layout())
    gala, goldrush = order.lines[:2]
    assert (gala.own_graft, gala.grafts, gala.bought_trees, gala.scion_sticks) == (False, 0, 30, 0)
    assert "protected" in remark(gala)
    assert (goldrush.grafts, goldrush.bought_trees) == (0, 24)
    assert "ask" in remark(goldrush)
    told = [notice for notice in order.notices if "Gala" in notice.concerns]
    assert told
    assert told[0].severity is Severity.CAUTION
    plain = order_trees(plan(), catalogue(), choice(), layout())
    assert sum(s.number for s in order.stocks) < sum(s.number for s in plain.stocks)


def test_all_protected_leaves_nothing_to_graft() -> None:
    rights = {name.replace(" ", "_"): Right.LICENSED for name in NAMES}
    order = order_trees(plan(), catalogue(**rights), choice(), layout())
    assert order.stocks == ()
    assert order.dates == ()
    assert order.nursery_area == 0
    assert order.policies == ()
    assert order.cost == pytest.approx(sum(TREES) * (12.0 + 1.5))
    assert not any("knives" in line for line in said(order))


def test_weak_pairs_take_worse_and_are_told() -> None:
    order = order_trees(plan(), catalogue(), choice(), layout("G.41"))
    by_name = {line.cultivar: line for line in order.lines}
    assert by_name["Honeycrisp"].success < by_name["Gala"].success
    assert any("Honeycrisp on G.41" in line for line in said(order))
    better = order_trees(plan(), catalogue(), choice(), layout({"Honeycrisp": "G.214"}))
    assert not any("Honeycrisp on" in line for line in said(better))
    assert any(stock.protected for stock in better.stocks if stock.rootstock == "G.214")


def test_own_take_rate_counts() -> None:
    poor, good = (
        order_trees(plan(nursery={"take_rate": rate, "jointly": False}), catalogue(), choice(), layout())
        for rate in (0.6, 0.95)
    )
    assert sum(line.grafts for line in poor.lines) > 1.4 * sum(line.grafts for line in good.lines)


def test_standing_trees_are_not_ordered_again() -> None:
    order = order_trees(plan(), catalogue(), choice(), layout(standing=14))
    assert "Esopus Spitzenburg" not in [line.cultivar for line in order.lines]


def test_another_currency_is_said_and_not_converted() -> None:
    order = order_trees(plan(money={"currency": "EUR"}), catalogue(), choice(), layout())
    (told,) = [line for line in said(order) if "never converted" in line]
    assert "currency EUR" in told


def test_goes_to_json_and_back() -> None:
    order = order_trees(plan(), catalogue(), choice(), layout())
    adapter = TypeAdapter(NurseryFindings)
    assert adapter.validate_json(adapter.dump_json(order)) == order


def test_same_input_same_order() -> None:
    assert order_trees(plan(), catalogue(), choice(), layout()) == order_trees(
        plan(), catalogue(), choice(), layout()
    )


def test_a_hopeless_take_rate_is_a_fault_with_a_remedy() -> None:
    with pytest.raises(CannotAnswer, match="out_of_reach"):
        order_trees(plan(nursery={"take_rate": 0.051, "chance": 0.9998}), catalogue(), choice(), layout())


def with_takes(folder: Path, *rows: str) -> Records:
    """Own lots, as a folder of the orchard has them."""
    (folder / "records").mkdir()
    text = "lot,started,good\n" + "\n".join(rows) + "\n"
    (folder / "records/takes.csv").write_text(text, encoding="utf-8")
    return read_records(folder, catalogue())


def test_own_counts_teach_the_order(tmp_path: Path) -> None:
    plain = order_trees(plan(), catalogue(), choice(), layout())
    lots = with_takes(tmp_path, "a,60,39", "b,50,34", "c,40,20", "d,30,24")
    taught = order_trees(plan(), catalogue(), choice(), layout(), lots)
    assert plain.take_range is None
    assert taught.take_range is not None
    low, high = taught.take_range
    assert low < taught.steps.take < high < 0.9
    assert sum(line.grafts for line in taught.lines) > sum(line.grafts for line in plain.lines)
    assert taught.lot_correlation != plain.lot_correlation
    assert any("4 lots of your own" in line for line in said(taught))


def test_the_plans_own_rate_stands_above_the_counts(tmp_path: Path) -> None:
    stated = order_trees(
        plan(nursery={"take_rate": 0.8}), catalogue(), choice(), layout(), with_takes(tmp_path, "a,60,39")
    )
    assert stated.steps.take == 0.8
    assert stated.take_range is None


def test_a_count_that_cannot_be_is_a_fault(tmp_path: Path) -> None:
    with pytest.raises(Faults, match=r"takes\.csv, line 3, column started"):
        with_takes(tmp_path, "a,60,39", "b,10,12")


def test_standing_trees_could_be_grafted_over() -> None:
    order = order_trees(plan(), catalogue(), choice(), layout(standing=14))
    line = order.topworking[0]
    assert (line.cultivar, line.trees) == ("Esopus Spitzenburg", 14)
    assert line.scions == 14 * 3 * 4
    assert 0 < line.crop_lost < line.crop_lost_replanted
    assert order_trees(plan(), catalogue(), choice(), layout()).topworking == ()


def test_several_planting_autumns_share_the_grafts() -> None:
    name, trees = next((name, count) for name, count in zip(NAMES, TREES, strict=True) if count >= 2)
    whole = order_trees(plan(), catalogue(), choice(), layout())
    line = next(line for line in whole.lines if line.cultivar == name and line.own_graft)
    halves = tuple(Batch(year, ((name, part),), 0, ()) for year, part in ((2028, 1), (2029, trees - 1)))
    several = replace(choice(), batches=Batches(halves, True, 0.0, 0.0, 9))
    told = said(order_trees(plan(), catalogue(), several, layout()))
    shared = [line for line in told if "all planting autumns" in line]
    assert len(shared) == 2
    first = f"1 tree is for autumn 2028, from about {ceil(line.grafts / trees)} grafts in spring 2028"
    assert first in shared[0]
    assert f"{trees - 1} trees are for autumn 2029" in shared[1]
    assert not any("all planting autumns" in line for line in said(whole))


def test_scarce_wood_begins_a_winter_earlier_and_is_followed_to_the_last_graft() -> None:
    rich, name = order_trees(plan(), catalogue(), choice(), layout()), NAMES[0]
    poor = order_trees(plan(nursery={"wood": {name: 6}}), catalogue(), choice(), layout())
    assert not rich.wood
    first, last = poor.wood
    grafts = next(line.grafts for line in poor.lines if line.cultivar == name)
    assert (first.year, last.year) == (2026, 2027)
    assert (first.wanted, last.wanted, first.mothers, last.mothers) == (0, grafts, first.grafts, 0)
    assert last.own > 0
    assert last.short == 0
    assert poor.cost == pytest.approx(
        rich.cost + first.mothers * graft_cost(question_of({"wood": {name: 6}}))
    )
    assert [line.first for line in poor.dates if line.job is NurseryJob.MOTHER_ROW] == ["2026-01-15"]
    assert any("mother tree" in line for line in said(poor))


def test_wood_that_does_not_reach_is_told() -> None:
    order = order_trees(
        plan(nursery={"wood": {NAMES[0]: 1}, "wood_winters": 1}), catalogue(), choice(), layout()
    )
    assert order.wood[0].short > 0
    assert any("without a stick" in line for line in said(order))
    assert not any(line.job is NurseryJob.MOTHER_ROW for line in order.dates)


def test_whose_wood_is_many_sticks_is_asked_for_where_it_comes_from() -> None:
    asks = [
        line
        for line in said(order_trees(plan(), catalogue(), choice(), layout()))
        if "sticks of scion wood" in line
    ]
    assert len(asks) == 1
    assert NAMES[0] in asks[0]


def question_of(nursery: dict[str, object]) -> NurseryQuestion:
    return question(plan(nursery=nursery), catalogue(), choice(), layout())


def test_rootstocks_add_up_and_late_trees_are_within_the_chance() -> None:
    order = order_trees(plan(), catalogue(), choice(), layout())
    chosen = next(line for line in order.policies if line.chosen)
    assert chosen.late_trees >= 0.5
    stocks, culls = (sum(line.number for line in order.stocks), sum(line.culls for line in order.stocks))
    grafts = sum(line.grafts for line in order.lines)
    assert culls > 0
    assert stocks == grafts + order.spare_stocks + culls
    (line,) = [line for line in said(order) if "August buds a season younger" in line]
    assert f"about {chosen.late_trees:.0f} of them" in line
    told = found_by(blank(Orchard, nursery=order), Reader(UnitSystem.METRIC))["nursery"]
    assert f"{order.spare_stocks:,} spare for August buds and {culls:,} for culls among them" in told
    assert f"about {chosen.late_trees:.0f} of them as August buds" in told
    assert "missing: bought, or a winter later" in told
    sheet = next(
        sheet for sheet in sheets(order, Reader(UnitSystem.METRIC)) if sheet.name == "nursery.stocks"
    )
    assert [row[2] for row in sheet.rows] == [line.culls for line in order.stocks]
