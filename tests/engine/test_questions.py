"""Every setting of a plan stands in the question of a step: a change of it alone makes another key."""

from dataclasses import replace
from pathlib import Path

import pytest
from engine import small
from engine.shared import planned_yard

from topwire.engine.department import Department, Earlier
from topwire.engine.inputs import Inputs, read_inputs
from topwire.engine.keys import question_key
from topwire.engine.run import plan_orchard
from topwire.engine.steps import STEPS
from topwire.plan.read import parse_plan
from topwire.values.fault import Faults
from topwire.values.notice import CannotAnswer

# Settings no sum hangs on: words and units of the faces.
OF_FACES = {"name", "units"}
# Read only beside another setting (a hill, a list of standing trees), or the first other value means the default;
# where strong resistance is wanted no cultivar is left that has to be bought; both have a test of their own. The file
# of mornings is read with the folder and becomes place.colder_than_station (tests/engine/test_own_nights.py).
BESIDE_ANOTHER = {
    "trees.standing",
    "trellis.near_end",
    "trellis.far_end",
    "trellis.crest_distance",
    "taste.own_grafts_only",
    "taste.sold_in",  # read for an orchard in Europe alone
    "weather.mornings",
    "place.soil.ph_wanted_below",  # the lower of the two counts
}


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> tuple[Inputs, Earlier, dict[str, str]]:
    inputs = read_inputs(planned_yard(tmp_path_factory))
    orchard = plan_orchard(inputs)
    earlier = Earlier({name: found for name, found in orchard.departments.items() if found is not None})
    return inputs, earlier, keys(inputs, earlier)


def key(step: Department, inputs: Inputs, earlier: Earlier) -> str:
    """Of a step's question, the findings before it held as they are."""
    try:
        return question_key(step.name, step.pose(inputs, earlier).question)
    except (Faults, CannotAnswer, KeyError) as refused:  # KeyError: a file the folder does not have
        return repr(refused)


def keys(inputs: Inputs, earlier: Earlier) -> dict[str, str]:
    return {step.name: key(step, inputs, earlier) for step in STEPS}


# Asked from the shortest to the longest to put: a setting is looked for only until a step is found that it wakes.
SHORTEST_FIRST = sorted(STEPS, key=lambda step: (step.name in ("place", "choice", "years"), step.name))


def test_no_setting_is_left_out_of_the_keys(planned: tuple[Inputs, Earlier, dict[str, str]]) -> None:
    inputs, earlier, before = planned
    unasked = []
    for path, text in small.plan_changes():
        changed = replace(inputs, plan=parse_plan(text))
        if path not in OF_FACES | BESIDE_ANOTHER and all(
            key(step, changed, earlier) == before[step.name] for step in SHORTEST_FIRST
        ):
            unasked.append(path)
    assert not unasked


@pytest.mark.parametrize(
    ("setting", "steps"),
    [
        ({"wage": 31.0}, {"nursery", "ledger"}),
        ({"currency": "EUR"}, {"nursery", "ledger"}),
        ({"interest": 0.11}, {"ledger"}),
        ({"hands": 1.0}, {"ledger"}),
        ({"hours_per_week": 20.0}, {"ledger"}),
    ],
    ids=lambda case: "-".join(sorted(case)),
)
def test_money_wakes_the_steps_that_count_it(
    planned: tuple[Inputs, Earlier, dict[str, str]], setting: dict[str, object], steps: set[str]
) -> None:
    inputs, earlier, before = planned
    money = inputs.plan.money.model_copy(update=setting)
    after = keys(replace(inputs, plan=inputs.plan.model_copy(update={"money": money})), earlier)
    assert steps <= {name for name in before if after[name] != before[name]}


@pytest.mark.parametrize("end", ["near_end", "far_end"])
def test_the_form_of_an_end_is_asked_of_the_trellis(
    planned: tuple[Inputs, Earlier, dict[str, str]], end: str
) -> None:
    inputs, earlier, _ = planned
    asked = []
    for form in ("choose", "tie-back"):
        text = small.PLAN.replace("trellis: {", f"trellis: {{{end}: {form}, ")
        asked.append(keys(replace(inputs, plan=parse_plan(text)), earlier))
    woken = {name for name in asked[0] if asked[0][name] != asked[1][name]}
    assert woken == {"trellis"}


def test_own_grafts_only_is_asked_of_the_choice(
    planned: tuple[Inputs, Earlier, dict[str, str]], tmp_path: Path
) -> None:
    _, earlier, _ = planned
    folder = small.make(tmp_path / "yard")
    (folder / "catalogue").mkdir(exist_ok=True)
    (folder / "catalogue" / "cultivars.csv").write_text(
        "name,propagation_right\nGala,licensed\n", encoding="utf-8"
    )
    inputs = read_inputs(folder)
    any_of_them = small.PLAN.replace("disease_resistance: strong", "disease_resistance: any")
    bought_too = any_of_them.replace("own_grafts_only: true", "own_grafts_only: false")
    mine, bought = (
        keys(replace(inputs, plan=parse_plan(text)), earlier) for text in (any_of_them, bought_too)
    )
    assert mine["choice"] != bought["choice"]


def test_a_folder_read_anew_asks_the_same(
    planned: tuple[Inputs, Earlier, dict[str, str]], tmp_path: Path
) -> None:
    _, earlier, before = planned
    again = read_inputs(small.make(tmp_path / "yard"))
    assert keys(again, earlier) == before
