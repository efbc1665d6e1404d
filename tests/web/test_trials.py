"""Trials stand on a shelf beside the plan; one press makes one the plan, another takes it back."""

from html import unescape
from pathlib import Path

import pytest
from click.testing import CliRunner
from faces import invented
from web.desk import Browser

from topwire.choice.what_if import Changed
from topwire.cli import main
from topwire.engine.shelf import MOST, Otherwise, as_plan, drop_trial, keep_trial, trials
from topwire.engine.what_if import Compared
from topwire.plan.read import parse_plan
from topwire.plan.starter import starter_text
from topwire.values.notice import warning
from topwire.values.units import UnitSystem
from topwire.web.trial_pages import asked


def compared() -> Compared:
    choice = invented.orchard().choice
    assert choice is not None
    trees = {line.name: line.trees for line in choice.chosen}
    gone = choice.chosen[-1].name
    trees = {name: count for name, count in trees.items() if name != gone} | {"Newcomer": 7}
    tight = warning("choice.ground_too_small", setting="trees.total", wanted=90, places=60)
    return Compared(choice, Changed(trees, choice.needs, 120.0, 40.0, 0.004, (tight,)))


def test_a_trial_of_another_version_is_not_passed_over_in_silence(desk: Browser, yard: Path) -> None:
    keep_trial(yard, "More pie", Otherwise(), compared())
    (kept,) = (yard / ".topwire/trials").iterdir()
    kept.write_bytes(kept.read_bytes().replace(b'"found"', b'"once_found"'))
    said = unescape(desk.get("/trials").text)
    assert "One trial was made by another version" in said
    assert "Nothing on the shelf yet" not in said


def test_a_trial_is_kept_shown_made_the_plan_and_taken_back(desk: Browser, yard: Path) -> None:
    before = (yard / "plan.yaml").read_text()
    change = Otherwise(("taste.most_trees=4",), ("GoldRush",), ("Liberty",), 11)
    keep_trial(yard, "Fewer & <b>", change, compared())
    said = unescape(desk.get("/trials").text)
    for words in (
        "with GoldRush; without Liberty; 11 trees; taste: most trees 4",
        "Newcomer",
        "comes in",
        "goes out",
        "90 trees are to be planted, but the ground has 60 free places",
    ):
        assert words in said
    assert "Fewer & <b>" in said
    assert "<b>" not in desk.get("/trials").text
    assert desk.fill("/trials/adopt", {"name": "Fewer & <b>"}).status_code == 200
    plan = parse_plan((yard / "plan.yaml").read_text())
    assert plan.taste.must_have == ["GoldRush"]
    assert plan.taste.must_not_have == ["Liberty"]
    assert (plan.trees.total, plan.taste.most_trees) == (11, 4)
    desk.fill("/run/stop")
    assert "The plan has changed since this was tried" in desk.get("/trials").text
    assert desk.fill("/plan/undo").status_code == 200
    assert (yard / "plan.yaml").read_text() == before
    assert desk.fill("/trials/drop", {"name": "Fewer & <b>"}).status_code == 200
    assert trials(yard) == []


def test_what_cannot_be_tried_is_said_before_anything_runs(desk: Browser) -> None:
    for fields, words in (
        ({"with": "GoldRushh"}, "Did you mean GoldRush"),
        ({"trees": "many"}, "no number of trees"),
        ({"trees": "12,5"}, "no number of trees"),
        ({"setting0": "taste.most_tree", "value0": "4"}, "most_trees"),
        ({"setting0": "kitchen.needs[9].amount", "value0": "4 kg/week"}, "nothing above it"),
        ({}, "Say what would be otherwise"),
    ):
        answer = desk.fill("/trials", fields)
        assert answer.status_code == 422, fields
        assert words in unescape(answer.text), fields
        assert all(f'value="{value}"' in answer.text for name, value in fields.items())
    assert "Nothing is at work" in desk.get("/run").text


def test_more_guests_are_a_field_and_no_path() -> None:
    found = {one.says: (one.path, one.now) for one in asked(starter_text(UnitSystem.METRIC))}
    assert found["table apple: seats"] == ("kitchen.needs[1].dishes.seats", "60")
    assert found["sauce: amount"] == ("kitchen.needs[3].amount", "400 kg/season")
    text = starter_text(UnitSystem.METRIC)
    for path, now in found.values():
        as_plan(text, Otherwise((f"{path}={now.replace('4', '5')}",), (), (), None))  # each is a setting
    assert asked("kitchen: [") == []


def test_what_is_wrong_is_told_by_its_fields_words_and_as_it_was_typed(desk: Browser, yard: Path) -> None:
    needs = asked((yard / "plan.yaml").read_text())
    number = next(at for at, one in enumerate(needs) if one.path.endswith("amount"))
    for typed, quoted in (
        ("120", "“120” does not say how often"),
        ("60 lb/week, weight: 9", "“60 lb/week, weight: 9”"),
    ):
        said = unescape(desk.fill("/trials", {f"need{number}": typed}).text)
        assert f"<li>{needs[number].says}: {quoted}" in said
        assert "plan.yaml, line" not in said
    path = needs[number].path
    said = unescape(desk.fill("/trials", {"setting0": path, "value0": "60 lb/week, weight: 9"}).text)
    assert "this has to be one value" in said
    assert "{'" not in said
    assert "<li>So many trees: “900000” is out of bounds" in unescape(
        desk.fill("/trials", {"trees": "900,000"}).text
    )


def test_a_need_left_as_it_stands_is_no_change(desk: Browser, yard: Path) -> None:
    fields = {f"need{number}": one.now for number, one in enumerate(asked((yard / "plan.yaml").read_text()))}
    assert fields
    assert "Say what would be otherwise" in desk.fill("/trials", fields).text


def test_a_change_is_written_as_a_grower_would() -> None:
    text = starter_text(UnitSystem.US)
    new = as_plan(text, Otherwise(("money.wage=20",), ("GoldRush", "Winesap"), (), 900))
    gone = [line for line in text.splitlines() if line not in new.splitlines()]
    come = [line for line in new.splitlines() if line not in text.splitlines()]
    assert len(gone) == len(come) == 3
    assert any("must_have: [GoldRush, Winesap]" in line for line in come)
    back = parse_plan(as_plan(new, Otherwise((), (), ("GoldRush",), None)))
    assert back.taste.must_have == ["Winesap"]
    assert back.taste.must_not_have == ["GoldRush"]


def test_the_shelf_holds_so_many_and_survives_a_damaged_one(yard: Path) -> None:
    for number in range(MOST + 3):
        keep_trial(yard, f"trial {number}", Otherwise(trees=number + 1), compared())
    assert len(trials(yard)) == MOST
    next(iter((yard / ".topwire/trials").glob("*.json"))).write_text("{broken")
    assert len(trials(yard)) == MOST - 1
    drop_trial(yard, "no such trial")


def test_the_command_keeps_a_what_if(yard: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("topwire.engine.what_if.compare", lambda *_, **__: compared())
    done = CliRunner().invoke(main, ["plan", str(yard), "--trees", "9", "--keep", "Nine"])
    assert done.exit_code == 0, done.output
    assert [(one.name, one.change.trees) for one in trials(yard)] == [("Nine", 9)]
