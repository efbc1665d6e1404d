"""The engine: what happens when a step cannot run, and when nothing has changed."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from topwire.engine import run
from topwire.engine.inputs import read_inputs
from topwire.notices import Faults, Severity, fault
from topwire.plan.starter import copy_example


class Made:
    """Stands for a department's result: the engine only passes it on."""

    def __init__(self) -> None:
        self.notices = ()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    copy_example("garden-fence", tmp_path / "fence")
    return tmp_path / "fence"


@pytest.fixture
def steps(monkeypatch: pytest.MonkeyPatch) -> list[run.Step]:
    """All steps, each giving an empty result; what is kept stays in memory."""
    kept: dict[tuple[str, str], Any] = {}
    made = [replace(step, make=lambda inputs, done, progress: Made()) for step in run.STEPS]
    monkeypatch.setattr(run, "STEPS", made)
    monkeypatch.setattr(run, "keep", lambda folder, name, key, result: kept.__setitem__((name, key), result))
    monkeypatch.setattr(run, "load", lambda folder, name, key, kind: kept.get((name, key)))
    return made


def failing(steps: list[run.Step], name: str, error: Exception) -> None:
    def make(inputs: Any, done: Any, progress: Any) -> Any:
        raise error

    index = [step.name for step in steps].index(name)
    steps[index] = replace(steps[index], make=make)


def test_nothing_changed_nothing_run(folder: Path, steps: list[run.Step]) -> None:
    first = run.plan_orchard(read_inputs(folder))
    second = run.plan_orchard(read_inputs(folder))
    assert all(step.seconds is not None for step in first.steps)
    assert all(step.seconds is None for step in second.steps)


def test_only_what_depends_on_a_change_is_run_again(folder: Path, steps: list[run.Step]) -> None:
    run.plan_orchard(read_inputs(folder))
    plan = folder / "plan.yaml"
    plan.write_text(
        plan.read_text(encoding="utf-8").replace("skill: beginner", "skill: practised"), encoding="utf-8"
    )
    again = {step.name: step.seconds is not None for step in run.plan_orchard(read_inputs(folder)).steps}
    assert again["nursery"]
    assert again["ledger"]
    assert not again["place"]
    assert not again["choice"]


def test_a_step_that_cannot_run_is_absent_and_later_ones_say_so(folder: Path, steps: list[run.Step]) -> None:
    failing(steps, "layout", Faults([fault("layout", "no room.")]))
    orchard = run.plan_orchard(read_inputs(folder))
    assert orchard.layout is None
    assert orchard.trellis is None
    assert orchard.choice is not None
    told = [str(notice) for notice in orchard.notices]
    assert "layout: no room." in told
    assert any("trellis: not computed, because layout" in line for line in told)


def test_what_can_do_without_goes_on(folder: Path, steps: list[run.Step]) -> None:
    failing(steps, "trellis", Faults([fault("trellis", "too tall.")]))
    orchard = run.plan_orchard(read_inputs(folder))
    assert orchard.trellis is None
    assert orchard.ledger is not None


def test_our_own_mistake_is_told_without_a_traceback(folder: Path, steps: list[run.Step]) -> None:
    failing(steps, "water", ZeroDivisionError("division by zero"))
    orchard = run.plan_orchard(read_inputs(folder))
    (notice,) = [notice for notice in orchard.notices if notice.severity is Severity.FAULT]
    assert "ZeroDivisionError" in notice.says
    assert "Traceback" not in str(notice)
    assert "Traceback" in (folder / ".topwire" / "water-failure.txt").read_text(encoding="utf-8")
