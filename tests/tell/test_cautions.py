"""Cautions stand where the risk is: whoever builds, grafts, presses, preserves or runs water is told, in words."""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from nursery.invented import catalogue, choice, layout, plan

from topwire.choice.needs import WeeklyNeed
from topwire.choice.telling import _food
from topwire.nursery.asked import NurseryQuestion
from topwire.nursery.findings import BatchTrouble, Policy, Trouble, Way
from topwire.nursery.question import question
from topwire.nursery.telling import order_notices
from topwire.nursery.ways import NOTHING, Order
from topwire.records.read import NO_RECORDS
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.trellis.telling import _standing_cautions
from topwire.values.notice import Measured, Notice, Severity
from topwire.values.quantities import Plain
from topwire.values.terms import Use
from topwire.values.traits import Right, UnionRisk
from topwire.values.units import UnitSystem

BUILDING = [
    "trellis.no_engineering", "trellis.digging", "trellis.wire_whips", "trellis.drivers", "trellis.ladders",
    "trellis.treated_wood", "trellis.knots", "trellis.leaning_row", "trellis.storm_coming",
]  # fmt: skip


def building(top: float, slope: float | None) -> list[Notice]:
    asked = SimpleNamespace(wire_heights=(0.9, 2.0, top))
    rows = [] if slope is None else [SimpleNamespace(row=SimpleNamespace(slope=slope))]
    sized = [SimpleNamespace(like=SimpleNamespace(rows=rows))]
    return list(_standing_cautions(asked, sized))  # type: ignore[arg-type]


def codes(notices: list[Notice]) -> list[str]:
    return [notice.code for notice in notices]


def test_whoever_builds_is_told_every_danger() -> None:
    told = building(3.0, 0.0)
    assert codes(told) == BUILDING
    assert {notice.severity for notice in told} == {Severity.CAUTION}
    for line in all_told(told, Reader(UnitSystem.METRIC)):
        assert len(line.says) > 20, line
    text = " ".join(str(line) for line in all_told(told, Reader(UnitSystem.US)))
    for danger in (
        "licensed engineer",
        "eye protection",
        "ladder",
        "buried utilities",
        "power lines",
        "storm",
    ):
        assert danger in text.lower(), danger


@pytest.mark.parametrize(
    ("top", "slope", "more"),
    [
        (3.3, None, []),
        (3.31, None, ["trellis.high_wire"]),
        (3.0, 0.1, ["trellis.steep"]),
        (3.0, 0.099, []),
        (3.5, 0.3, ["trellis.steep", "trellis.high_wire"]),
    ],
)
def test_steep_ground_and_high_wires_are_told(top: float, slope: float | None, more: list[str]) -> None:
    told = building(top, slope)
    assert codes(told) == BUILDING + more
    assert {notice.severity for notice in told} == {Severity.CAUTION}


def test_sources_and_settings_of_the_dangers() -> None:
    told = {notice.code: notice for notice in building(3.5, 0.2)}
    assert told["trellis.wire_whips"].source == "TENSION-PRACTICE"
    assert told["trellis.knots"].source == "KNOTS"
    assert told["trellis.leaning_row"].source == "GFG-101"
    assert told["trellis.storm_coming"].source == "GFG-2016"
    assert told["trellis.steep"].source == "ASCE7-16"
    assert told["trellis.steep"].setting == "trellis.hill"
    assert told["trellis.steep"].facts["slope"] == Measured(0.2, Plain.SHARE)
    assert told["trellis.high_wire"].setting == "trellis.wire_heights"


@pytest.mark.parametrize(
    ("use", "told"),
    [
        (Use.CIDER, ["choice.pressed_is_food"]),
        (Use.JUICE, ["choice.pressed_is_food"]),
        (Use.SAUCE, ["choice.preserves_are_food"]),
        (Use.BUTTER, ["choice.preserves_are_food"]),
        (Use.FRESH, []),
        (Use.PIE, []),
    ],
)
def test_whoever_presses_or_preserves_is_told_that_it_is_food(use: Use, told: list[str]) -> None:
    need = WeeklyNeed(use=use, weight=1.0, weeks=(40, 41), weekly=None, total=50.0, start=270.0, end=290.0)
    found = _food([need])
    assert codes(found) == told
    assert all(notice.severity is Severity.CAUTION for notice in found)
    assert {notice.source for notice in found if "preserves" in notice.code} <= {"NCHFP-YEAR"}
    text = " ".join(str(line) for line in all_told(found, Reader(UnitSystem.METRIC)))
    assert ("patulin" in text) == ("choice.pressed_is_food" in told)
    assert ("food law" in text) == bool(told)


def order(**line: object) -> list[Notice]:
    """What is told with an order whose first cultivar is as given."""
    asked: NurseryQuestion = question(plan(), catalogue(), choice(), layout(), NO_RECORDS)
    plain = [
        replace(one, right=Right.FREE, union=None, virus_sensitive=False, trade_marks=())
        for one in asked.wanted
    ]
    wanted = (replace(plain[0], **line), *plain[1:])  # type: ignore[arg-type]
    asked = replace(asked, wanted=wanted)
    steps = SimpleNamespace(take=0.9, overwinter=0.97, grade=0.88, transplant=0.98)
    chosen = Policy(Way.TOGETHER, 9, 0, 0.0, 0.99, 0.0, 1.0, 40.0, True)
    trouble = BatchTrouble(Trouble.BAD_WEEK, 0.5, 3.0)
    order = Order({one.cultivar: 3 for one in wanted}, {}, 0, "", (chosen,), (trouble,))
    return order_notices(asked, steps, None, order, (), ())  # type: ignore[arg-type]


def test_every_word_of_an_order_points_to_its_setting_and_source() -> None:
    asked = question(plan(), catalogue(), choice(), layout(), NO_RECORDS)
    first = asked.wanted[0]
    one, stock = (first.cultivar,), (first.rootstock,)
    pair = (f"{first.cultivar} on {first.rootstock}",)
    told = order(right=Right.LICENSED, union=UnionRisk.BREAK, virus_sensitive=True, trade_marks=("Mark",))
    found = {notice.code: notice for notice in (*told, *order(right=Right.UNKNOWN))}
    caution, warning = Severity.CAUTION, Severity.WARNING
    for notice in (
        Notice("nursery.knives", caution),
        Notice("nursery.wood_carries_disease", caution),
        Notice("nursery.free_is_no_advice", caution, source="PPATENT"),
        Notice("nursery.protected", caution, concerns=one, source="PPATENT"),
        Notice("nursery.trade_marks", caution, "catalogue/cultivars.csv", one),
        Notice("nursery.right_unknown", warning, "catalogue/cultivars.csv", one),
        Notice("nursery.union_breaks", warning, "trees.rootstock_for", pair, source="ROOT-S7"),
        Notice("nursery.union_weak", caution, concerns=stock, source="ROOT-S7"),
        Notice("nursery.virus", warning, "trees.rootstock", stock),
        Notice(
            "nursery.route",
            Severity.REMARK,
            "nursery.seasons",
            facts={
                "spring": str(asked.planting_year - asked.seasons + 1),
                "autumn": str(asked.planting_year),
                "seasons": asked.seasons,
            },
            source="GFTREES",
        ),
    ):
        assert found[notice.code] == notice
    assert found["nursery.chain"].facts["lots"] == 0
    assert [notice.code for notice in order()][-1] == [notice.code for notice in told][-1]


def test_nothing_grafted_no_word_on_knives() -> None:
    asked = question(plan(), catalogue(), choice(), layout(), NO_RECORDS)
    steps = SimpleNamespace(take=0.9, overwinter=0.97, grade=0.88, transplant=0.98)
    told = codes(order_notices(asked, steps, None, NOTHING, (), ()))  # type: ignore[arg-type]
    assert not {
        "nursery.knives",
        "nursery.wood_carries_disease",
        "nursery.free_is_no_advice",
        "nursery.chain",
    } & set(told)


def test_whoever_grafts_is_told_of_knives_and_disease() -> None:
    found = {notice.code: notice for notice in order()}
    for code in ("nursery.knives", "nursery.wood_carries_disease", "nursery.free_is_no_advice"):
        assert found[code].severity is Severity.CAUTION
    assert not {"nursery.protected", "nursery.union_weak", "nursery.union_breaks", "nursery.virus"} & set(
        found
    )


@pytest.mark.parametrize(
    ("line", "code", "severity"),
    [
        ({"right": Right.LICENSED}, "nursery.protected", Severity.CAUTION),
        ({"right": Right.UNKNOWN}, "nursery.right_unknown", Severity.WARNING),
        ({"union": UnionRisk.BREAK}, "nursery.union_breaks", Severity.WARNING),
        ({"union": UnionRisk.WEAK}, "nursery.union_weak", Severity.CAUTION),
        ({"virus_sensitive": True}, "nursery.virus", Severity.WARNING),
    ],
)
def test_what_a_line_of_the_order_risks_is_told(
    line: dict[str, object], code: str, severity: Severity
) -> None:
    (notice,) = [notice for notice in order(**line) if notice.code == code]
    assert notice.severity is severity
    asked = question(plan(), catalogue(), choice(), layout(), NO_RECORDS)
    named = (
        asked.wanted[0].cultivar
        if code not in ("nursery.union_weak", "nursery.virus")
        else asked.wanted[0].rootstock
    )
    assert any(str(named) in concern for concern in notice.concerns)
