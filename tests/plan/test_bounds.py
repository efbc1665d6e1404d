"""Bounds on a plan file: each is told with its line and its limit, and nothing takes long."""

from io import StringIO
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from topwire.plan.read import parse_plan
from topwire.values.fault import Faults

PLAN = (Path(__file__).parents[2] / "examples/garden-fence/plan.yaml").read_text(encoding="utf-8")


def told(text: str) -> str:
    with pytest.raises(Faults) as found:
        parse_plan(text)
    return str(found.value)


def nested_aliases() -> str:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 10)]
    return "\n".join(lines) + "\n" + PLAN


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (nested_aliases(), "more than 20,000 entries"),
        ("a: &a [*a]\n" + PLAN, "stands in itself"),
        (
            "a: *nope\n" + PLAN,
            "line 1: *nope stands for a value marked &nope, and there is no &nope before it",
        ),
        (f"a: &a x\nb: [{'*a, ' * 101}]\n" + PLAN, "line 2: more than 100 aliases"),
        ("a: " + "[" * 3000 + "]" * 3000 + "\n" + PLAN, "more than 12 deep"),
        (f"a: {'9' * 5000}\n" + PLAN, "at most 1,000 signs"),
        (f"a: {'9' * 60}\n" + PLAN, "at most 40 digits"),
        (f"a: {'x' * 2000}\n" + PLAN, "at most 1,000 signs"),
        (PLAN + "---\na: 1\n", "a second document"),
        ("a: !!python/object:os.system x\n" + PLAN, "line 1: a value begins with a tag"),
        ("a: !!set {b, c}\n" + PLAN, "line 1: a value begins with a tag"),
        ("? [a, {b: c}]\n: d\n" + PLAN, "line 1: a list, a section or an alias stands where the name"),
        ("a: &x [b]\n? *x\n: d\n" + PLAN, "line 2: a list, a section or an alias"),
        ("a: 2024-02-30\n" + PLAN, "line 1, a: there is no setting"),
        ("unit[s: us\n" + PLAN, "line 1, unit[s: there is no setting"),
        ("float: us\n" + PLAN, "line 1, float: there is no setting"),
        ('"a\\x07b": us\n' + PLAN, "a control character (U+0007)"),
    ],
)
def test_a_plan_out_of_bounds_is_told(text: str, says: str) -> None:
    assert says in told(text)


@pytest.mark.parametrize(
    ("line", "by", "says"),
    [
        ("name: ", 'name: "Yard\\x07"  # ', "name: the text holds a control character (U+0007)"),
        ("name: ", 'name: "Yard\\nof ours"  # ', "name: the text holds a line break or a tab"),
        ("name: ", 'name: "\\ud800"  # ', "name: the text holds half a character (U+D800)"),
    ],
)
def test_names_a_page_cannot_print_are_told_with_line_and_field(line: str, by: str, says: str) -> None:
    assert says in told(PLAN.replace(line, by, 1))


def with_setting(section: str, setting: str) -> str:
    """The plan with a setting in one of its sections, in place of what stands there."""
    yaml = YAML(typ="safe", pure=True)
    tree, written = yaml.load(PLAN), StringIO()
    tree.setdefault(section, {}).update(yaml.load(setting))
    yaml.dump(tree, written)
    return written.getvalue()


@pytest.mark.parametrize(
    ("section", "setting", "says"),
    [
        ("money", "wage: .inf", "money.wage: this has to be a finite number"),
        ("money", "wage: 1e9", "at most 10000"),
        ("money", 'currency: "=1+"', "three capital letters"),
        ("kitchen", f"closed_weeks: {list(range(1, 53))}", "all weeks of the year are closed"),
        ("water", "distance: 1e400 m", "is not a finite length"),
        ("water", "storage: 1e12 m3", "more than any volume of an orchard"),
        (
            "kitchen",
            "needs: [{use: pie, amount: -4 lb/week, from: 1 Sep, to: 1 Oct}]",
            "an amount is above zero",
        ),
        (
            "kitchen",
            "needs: [{use: pie, amount: 0 lb/week, from: 1 Sep, to: 1 Oct}]",
            "an amount is above zero",
        ),
        (
            "kitchen",
            "needs: [{use: pie, amount: 1e400 lb/week, from: 1 Sep, to: 1 Oct}]",
            "not a finite mass",
        ),
    ],
)
def test_nonsense_is_refused(section: str, setting: str, says: str) -> None:
    assert says in told(with_setting(section, setting))
