"""The starter plan and the examples."""

from pathlib import Path

import pytest

from topwire.plan.model import Plan
from topwire.plan.read import parse_plan
from topwire.plan.starter import EXAMPLES, copy_example, write_starter
from topwire.values.fault import Faults


@pytest.mark.parametrize("units", ["us", "metric"])
def test_the_starter_is_a_valid_plan_in_its_units(tmp_path: Path, units: str) -> None:
    (plan_file,) = write_starter(tmp_path / "new", units)
    plan = parse_plan(plan_file.read_text(encoding="utf-8"))
    assert plan.units == units
    text = plan_file.read_text(encoding="utf-8")
    assert "<<" not in text
    for section in Plan.model_fields:
        assert f"{section}:" in text


def test_a_plan_is_never_overwritten(tmp_path: Path) -> None:
    write_starter(tmp_path, "us")
    (tmp_path / "plan.yaml").write_text("name: mine\n", encoding="utf-8")
    with pytest.raises(Faults, match="left as it is"):
        write_starter(tmp_path, "us")
    assert (tmp_path / "plan.yaml").read_text(encoding="utf-8") == "name: mine\n"


@pytest.mark.parametrize("name", EXAMPLES)
def test_examples_copy_and_read(tmp_path: Path, name: str) -> None:
    copy_example(name, tmp_path / name)
    assert parse_plan((tmp_path / name / "plan.yaml").read_text(encoding="utf-8")).name


def test_no_such_example(tmp_path: Path) -> None:
    with pytest.raises(Faults, match="There are valley-inn"):
        copy_example("nowhere", tmp_path)
