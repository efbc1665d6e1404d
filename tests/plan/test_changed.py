"""Settings changed for a what-if: put where they belong, and told where they are not understood."""

import pytest

from topwire.plan.changed import with_settings
from topwire.plan.read import parse_plan, parse_yaml
from topwire.plan.rewritten import rewritten
from topwire.values.fault import Faults

TEXT = """\
name: Yard
taste: {most_cultivars: 12}
kitchen:
  needs:
    - {use: fresh, amount: 3 kg/week}
    - {use: pie, amount: 25 kg/season}
"""


def test_values_are_put_in_and_sections_made() -> None:
    tree = parse_yaml(TEXT, "plan.yaml")
    with_settings(
        tree,
        ("taste.most_cultivars = 8", "kitchen.needs[2].amount=40 kg/season", "kitchen.cellar.capacity=2 t"),
    )
    assert tree["taste"]["most_cultivars"] == 8
    assert [need["amount"] for need in tree["kitchen"]["needs"]] == ["3 kg/week", "40 kg/season"]
    assert tree["kitchen"]["cellar"]["capacity"] == "2 t"


def test_a_list_is_written_as_in_the_plan() -> None:
    tree = parse_yaml(TEXT, "plan.yaml")
    with_settings(tree, ("taste.must_have=[Gala, GoldRush]",))
    assert list(tree["taste"]["must_have"]) == ["Gala", "GoldRush"]


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ("taste.most_cultivars", "no setting with a value"),
        ("=5", "no setting with a value"),
        ("kitchen.needs[3].amount=5 kg/week", "no entry 3"),
        ("name.of=5", "nothing below a single value"),
        ("name=[1", "cannot be read"),
        ("water.flow=*a", "there is no &a before it"),
    ],
)
def test_what_is_not_understood_is_told(change: str, says: str) -> None:
    with pytest.raises(Faults) as told:
        with_settings(parse_yaml(TEXT, "plan.yaml"), (change,))
    assert says in str(told.value.notices[0].says)


def test_a_form_tells_what_its_field_holds() -> None:
    with pytest.raises(Faults) as told:
        rewritten(TEXT, {"water.flow": "*a"})
    assert "plan.yaml, water.flow: *a stands for" in str(told.value)
    assert "no day of the calendar" in form_fault("years.begin", "2027-02-30")
    assert "at most 98.4 ft" in form_fault("ground.headland", "2000 ft")
    assert "has to be a number" in form_fault("money.wage", "true")


def form_fault(setting: str, said: str) -> str:
    with pytest.raises(Faults) as told:
        parse_plan(rewritten(TEXT, {setting: said}))
    return next(str(one) for one in told.value.notices if f", {setting}: " in str(one))
