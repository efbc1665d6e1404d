"""Every form of Settings, by the plan's own schema: a field of each kind is changed, saved and stands in the file with
every remark kept; a value that cannot be is told at its field.
"""

import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest
from engine import small
from web.desk import Browser, browsing
from web.test_settings import sent

from topwire.plan.form import Setting, every_setting, part_of, sections
from topwire.plan.read import parse_yaml
from topwire.plan.starter import starter_text
from topwire.values.units import UnitSystem

SET = "set:"
MOST = 8  # settings of a kind that are tried until one may be changed alone
WRONG = "[{no: such, thing: ["


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """The starter, whose every line has its remark, on the small orchard's weather."""
    small.make(tmp_path / "yard", years=2)
    (tmp_path / "yard/plan.yaml").write_text(starter_text(UnitSystem.METRIC), encoding="utf-8")
    return tmp_path / "yard"


@pytest.fixture
def desk(yard: Path) -> Iterator[Browser]:
    with browsing(yard) as found:
        yield found


def kind(setting: Setting) -> str:
    """How its field is filled in: one of a few, a list, or as the schema says it is written."""
    return "choice" if setting.choices else "list" if setting.entries else setting.written.partition(",")[0]


def others(setting: Setting) -> Iterator[str]:
    """What could stand there in its place: another choice, an example of its help, or its figure a little up and down,
    its unit kept.
    """
    yield from (choice for choice in setting.choices if choice != setting.value)
    if setting.choices:
        return
    now = setting.value or next(iter(re.findall(r"“([^”]+)”", setting.written)), "") or setting.usual
    figure = re.search(r"-?\d+(?:\.\d+)?", now)
    if figure:
        value = float(figure[0])
        whole = "." not in figure[0]
        for new in (value + 1, value - 1) if whole else (value * 1.02, value * 0.98):
            yield now[: figure.start()] + f"{new:.4g}" + now[figure.end() :]
    elif setting.entries and not setting.value:
        yield "1"
    elif setting.plain:
        yield f"{now} anew".strip()
    yield from re.findall(r"[“{]([^”}]+)[”}]", setting.says)


def remarks(text: str) -> list[str]:
    return re.findall(r"#.*", text)


def at(text: str, path: str) -> object:
    return {
        one.path: one.value
        for name in sections()
        for one in every_setting(part_of(parse_yaml(text, "p"), name))
    }[path]


@pytest.mark.parametrize("section", sections())
def test_a_field_of_each_kind_is_changed_and_a_wrong_one_told(
    desk: Browser, yard: Path, section: str
) -> None:
    plan = yard / "plan.yaml"
    text = plan.read_text(encoding="utf-8")
    by_kind: dict[str, list[Setting]] = {}
    for setting in every_setting(part_of(parse_yaml(text, "plan.yaml"), section)):
        by_kind.setdefault(kind(setting), []).append(setting)
    assert by_kind
    fields = sent(desk.get(f"/plan/{section}").text)
    not_changed: list[str] = []
    for name, settings in by_kind.items():
        settings.sort(key=lambda one: (not one.value, one.plain))  # what stands in the file first
        tries = (
            (setting, value)
            for setting in settings[:MOST]
            for value in others(setting)
            if value != setting.value
        )
        for setting, value in tries:
            answer = desk.post(
                f"/plan/{section}", data=fields | {f"{SET}{setting.path}": value}, headers=desk.own
            )
            if answer.status_code == 200:
                after = plan.read_text(encoding="utf-8")
                assert at(after, setting.path) != setting.value, setting.path
                assert set(remarks(text)) <= set(remarks(after)), setting.path
                gone = set(text.splitlines()) - set(after.splitlines())
                assert len(gone) <= 1, setting.path
                assert desk.fill("/plan/undo").status_code == 200
                assert plan.read_text(encoding="utf-8") == text, setting.path
                break
            assert answer.status_code == 422
            assert 'role="alert"' in answer.text
            assert plan.read_text(encoding="utf-8") == text
        else:
            not_changed.append(name)
        wrong = settings[0]
        answer = desk.post(f"/plan/{section}", data=fields | {f"{SET}{wrong.path}": WRONG}, headers=desk.own)
        if wrong.plain and answer.status_code == 200:  # any text will do there
            desk.fill("/plan/undo")
        elif wrong.value or not wrong.plain:
            assert answer.status_code == 422
            said = answer.text[answer.text.index(f'id="{wrong.path}"') :]
            said = said[: said.index("</div>")]
            assert 'role="alert"' in said, wrong.path
            assert WRONG in unescape(said), wrong.path  # what was typed is not lost
        assert plan.read_text(encoding="utf-8") == text
    assert not [
        name
        for name in not_changed
        if any(one.choices or (not one.plain and re.search(r"\d", one.value)) for one in by_kind[name])
    ]
