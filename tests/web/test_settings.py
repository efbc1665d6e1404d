"""Forms and text write the file the grower could have written; nothing changed outside is overwritten."""

import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest
from engine import small
from web.desk import Browser, browsing

from topwire.plan.form import every_setting, part_of, sections
from topwire.plan.model import Plan
from topwire.plan.read import parse_yaml
from topwire.plan.starter import write_starter


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """The starter, whose remarks have to stay, on the small orchard's weather."""
    small.make(tmp_path / "yard", years=2)
    (tmp_path / "yard/plan.yaml").unlink()
    write_starter(tmp_path / "yard", "us")
    return tmp_path / "yard"


@pytest.fixture
def desk(yard: Path) -> Iterator[Browser]:
    with browsing(yard) as found:
        yield found


def sent(page: str) -> dict[str, str]:
    """What a browser would send of a page's form: every field as it stands."""
    form = page[page.index('class="settings"') :]
    fields = {
        name: unescape(value)
        for name, value in re.findall(r'<input [^>]*name="([^"]+)" value="([^"]*)"', form)
    }
    for name, body in re.findall(r'<select [^>]*name="([^"]+)".*?>(.*?)</select>', form, flags=re.DOTALL):
        chosen = re.search(r'<option value="([^"]*)" selected', body)
        first = re.search(r'<option value="([^"]*)"', body)
        assert first
        fields[name] = unescape((chosen or first)[1])
    return fields


@pytest.mark.parametrize("section", sections())
def test_a_form_sent_as_it_stands_changes_nothing(desk: Browser, yard: Path, section: str) -> None:
    before = (yard / "plan.yaml").read_bytes()
    answer = desk.post(f"/plan/{section}", data=sent(desk.get(f"/plan/{section}").text), headers=desk.own)
    assert answer.status_code == 200
    assert (yard / "plan.yaml").read_bytes() == before


def test_every_setting_of_the_plan_stands_in_a_form(desk: Browser) -> None:
    said = "".join(desk.get(f"/plan/{section}").text for section in sections())
    tree = parse_yaml((desk.served.folder / "plan.yaml").read_text(), "plan.yaml")
    count = 0
    for section in sections():
        for setting in every_setting(part_of(tree, section)):
            assert f'name="set:{setting.path}"' in said, setting.path
            assert setting.says, setting.path
            count += 1
    assert count > 100
    assert set(sections()) == {"plan", *Plan.model_fields} - {"name", "units"}


def test_a_change_keeps_every_other_line(desk: Browser, yard: Path) -> None:
    before = (yard / "plan.yaml").read_text().splitlines()
    fields = sent(desk.get("/plan/place").text) | {
        "set:place.elevation": "900 ft",
        "set:place.frost_depth": "30 in",
    }
    assert "Saved" in desk.post("/plan/place", data=fields, headers=desk.own).text
    after = (yard / "plan.yaml").read_text().splitlines()
    assert [line for line in after if line not in before] == ["  elevation: 900 ft", "  frost_depth: 30 in"]
    assert [line for line in before if line not in after] == ["  elevation: 700 ft"]


def test_a_fault_saves_nothing_and_stands_at_its_field(desk: Browser, yard: Path) -> None:
    before = (yard / "plan.yaml").read_bytes()
    fields = sent(desk.get("/plan/taste").text) | {
        "set:taste.must_have": "GoldRushh",
        "set:taste.most_trees": "no",
    }
    answer = desk.post("/plan/taste", data=fields, headers=desk.own)
    assert answer.status_code == 422
    assert 'value="GoldRushh"' in answer.text  # what was typed is not lost
    assert "Did you mean GoldRush" in answer.text
    assert answer.text.count('aria-invalid="true"') == 2
    assert (yard / "plan.yaml").read_bytes() == before


def test_entries_come_and_go(desk: Browser, yard: Path) -> None:
    fields = sent(desk.get("/plan/kitchen").text)
    assert (
        desk.post("/plan/kitchen", data=fields | {"add": "kitchen.needs"}, headers=desk.own).status_code
        == 200
    )
    tree = parse_yaml((yard / "plan.yaml").read_text(), "plan.yaml")
    assert len(tree["kitchen"]["needs"]) == 5
    fields = sent(desk.get("/plan/kitchen").text)
    assert (
        desk.post("/plan/kitchen", data=fields | {"remove": "kitchen.needs[2]"}, headers=desk.own).status_code
        == 200
    )
    tree = parse_yaml((yard / "plan.yaml").read_text(), "plan.yaml")
    assert [need["use"] for need in tree["kitchen"]["needs"]] == ["fresh", "sauce", "juice", "fresh"]


def test_a_change_outside_is_never_overwritten_and_both_are_shown(desk: Browser, yard: Path) -> None:
    fields = sent(desk.get("/plan/money").text) | {"set:money.wage": "25"}
    plan = yard / "plan.yaml"
    outside = plan.read_text().replace("interest: 0.05", "interest: 0.04")
    plan.write_text(outside)
    answer = desk.post("/plan/money", data=fields, headers=desk.own)
    assert answer.status_code == 409
    assert plan.read_text() == outside
    assert "wage: 25" in answer.text
    assert "wage: 18" in answer.text
    assert "interest: 0.04" in answer.text  # a form's change is laid over the file as it is now
    seen = re.search(r'name="seen" value="(\w+)"', answer.text)
    mine = re.search(r"<textarea[^>]*>\n(.*?)</textarea>", answer.text, flags=re.DOTALL)
    assert seen
    assert mine
    desk.fill("/plan/text", {"seen": seen[1], "text": unescape(mine[1])})
    assert plan.read_text() == outside.replace("wage: 18", "wage: 25")


def test_changes_are_taken_back_one_by_one_unless_changed_outside(desk: Browser, yard: Path) -> None:
    plan, texts = yard / "plan.yaml", []
    for wage in ("20", "22"):
        texts.append(plan.read_text())
        fields = sent(desk.get("/plan/money").text) | {"set:money.wage": wage}
        desk.post("/plan/money", data=fields, headers=desk.own)
    for text in reversed(texts):
        assert desk.fill("/plan/undo").status_code == 200
        assert plan.read_text() == text
    assert desk.fill("/plan/undo").status_code == 409
    fields = sent(desk.get("/plan/money").text) | {"set:money.wage": "24"}
    desk.post("/plan/money", data=fields, headers=desk.own)
    plan.write_text(plan.read_text() + "# mine\n")
    assert desk.fill("/plan/undo").status_code == 409
    assert plan.read_text().endswith("# mine\n")


def test_text_is_checked_as_it_is_written(desk: Browser, yard: Path) -> None:
    text = (yard / "plan.yaml").read_text()
    assert desk.fill("/plan/check", {"text": text}).json() == []
    (found,) = desk.fill("/plan/check", {"text": text.replace("exposure: open", "exposure: opn")}).json()
    assert found["line"] == text[: text.index("exposure")].count("\n") + 1
    assert "open country" in found["says"]
    broken = desk.fill("/plan/check", {"text": "place: [unclosed"}).json()
    assert "not YAML" in broken[0]["says"]


def test_line_ends_and_a_last_line_without_one_stay(desk: Browser, yard: Path) -> None:
    plan = yard / "plan.yaml"
    plan.write_bytes(plan.read_bytes().replace(b"\n", b"\r\n"))
    fields = sent(desk.get("/plan/money").text) | {"set:money.wage": "25"}
    desk.post("/plan/money", data=fields, headers=desk.own)
    raw = plan.read_bytes()
    assert raw.count(b"\r\n") == raw.count(b"\n")
    assert b"wage: 25\r\n" in raw


@pytest.mark.parametrize("name", ["/etc/passwd", "../other/daily.csv", "weather/../../x.csv", "~/x", "C:\\x"])
def test_a_page_names_no_file_outside_the_folder(desk: Browser, yard: Path, name: str) -> None:
    before = (yard / "plan.yaml").read_text()
    fields = sent(desk.get("/plan/weather").text) | {"set:weather.files": name}
    answer = desk.post("/plan/weather", data=fields, headers=desk.own)
    assert answer.status_code == 422
    assert "own folder" in answer.text
    text = before.replace("[weather/daily.csv]", f"['{name}']")
    assert any("own folder" in one["says"] for one in desk.fill("/plan/check", {"text": text}).json())
    assert (yard / "plan.yaml").read_text() == before


def test_a_setting_says_what_it_moves(browser: Browser) -> None:
    said = unescape(browser.get("/plan/trellis").text) + unescape(browser.get("/plan/nursery").text)
    assert "What it moves" in said
    assert re.search(r'<a href="/\w+#\w+\.\w+">\w+: ', said)


def test_what_a_name_holds_cannot_run(desk: Browser, yard: Path) -> None:
    evil = '<script>alert(1)</script>"><img src=x onerror=alert(1)>'
    fields = sent(desk.get("/plan/plan").text) | {"set:name": evil}
    assert desk.post("/plan/plan", data=fields, headers=desk.own).status_code == 200
    for path in ("/plan", "/plan/plan", "/plan/text"):
        said = desk.get(path).text
        assert "<script>alert" not in said
        assert "<img src=x" not in said
    assert evil in unescape(desk.get("/plan/plan").text)
