"""The engine: what happens when a step cannot run, and when nothing has changed."""

from dataclasses import dataclass
from pathlib import Path

import pytest

from topwire.engine import run
from topwire.engine.department import Department, Earlier, First, Posed
from topwire.engine.inputs import Inputs, read_inputs
from topwire.engine.orchard import Orchard
from topwire.engine.store import load
from topwire.plan.starter import copy_example
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.values.notice import CannotAnswer, Notice, Severity, refusal
from topwire.values.progress import Progress
from topwire.values.units import UnitSystem


@dataclass(frozen=True)
class Made:
    """Stands for a department's findings: the engine only passes it on."""

    name: str
    notices: tuple[Notice, ...] = ()


class StandIn(Department):
    """A step that answers at once, or fails as told; asked nothing but its name."""

    def __init__(self, like: Department, error: Exception | None = None) -> None:
        self.name, self.says, self.needs, self.findings, self.error = (
            like.name,
            like.says,
            like.needs,
            Made,
            error,
        )

    def pose(self, inputs: Inputs, earlier: Earlier) -> Posed:
        return Posed(self.name, Made, self.answer)

    def answer(self, progress: Progress) -> object:
        if self.error is not None:
            raise self.error
        return Made(self.name)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    copy_example("garden-fence", tmp_path / "fence")
    return tmp_path / "fence"


@pytest.fixture
def steps(monkeypatch: pytest.MonkeyPatch) -> list[Department]:
    """All steps as stand-ins: this file is about the engine, tests/engine/test_incremental.py about the steps."""
    made: list[Department] = [StandIn(step) for step in run.STEPS]
    monkeypatch.setattr(run, "STEPS", made)
    return made


def failing(steps: list[Department], name: str, error: Exception) -> None:
    index = [step.name for step in steps].index(name)
    steps[index] = StandIn(steps[index], error)


def absent(orchard: Orchard, name: str) -> bool:
    return name not in [step.name for step in orchard.steps]


def test_nothing_changed_nothing_run(folder: Path, steps: list[Department]) -> None:
    first = run.plan_orchard(read_inputs(folder))
    second = run.plan_orchard(read_inputs(folder))
    assert all(step.seconds is not None for step in first.steps)
    assert all(step.seconds is None for step in second.steps)


def test_a_step_that_cannot_run_is_absent_and_later_ones_say_so(
    folder: Path, steps: list[Department]
) -> None:
    failing(steps, "layout", CannotAnswer([refusal("layout.no_room")]))
    orchard = run.plan_orchard(read_inputs(folder))
    assert absent(orchard, "layout")
    assert absent(orchard, "trellis")
    assert not absent(orchard, "choice")
    codes = [
        (notice.code, notice.facts.get("department"))
        for notice in orchard.notices
        if isinstance(notice, Notice)
    ]
    assert ("layout.no_room", None) in codes
    assert ("engine.not_asked", "trellis") in codes


def test_what_can_do_without_goes_on(folder: Path, steps: list[Department]) -> None:
    failing(steps, "trellis", CannotAnswer([refusal("trellis.too_tall")]))
    orchard = run.plan_orchard(read_inputs(folder))
    assert absent(orchard, "trellis")
    assert not absent(orchard, "ledger")


def test_what_most_of_an_answer_hangs_on_is_taken_where_only_the_rest_changed(
    folder: Path, steps: list[Department]
) -> None:
    """And by nobody who wants all of it worked out again."""
    worked_out: list[str] = []

    class InTwo(StandIn):
        smaller, more = "of the rows", "some bloom"

        def pose(self, inputs: Inputs, earlier: Earlier) -> Posed:
            first = First(self.smaller, Made, self.begun, lambda found: Made(f"{found.name}, {self.more}"))
            return Posed((self.smaller, self.more), Made, self.answer, first=first)

        def begun(self, progress: Progress) -> Made:
            worked_out.append(self.smaller)
            return Made(self.smaller)

    index = [step.name for step in steps].index("water")
    steps[index] = step = InTwo(steps[index])
    told: list[object] = []

    def planned(*, fresh: bool = False) -> None:
        orchard = run.plan_orchard(read_inputs(folder), fresh=fresh, until="water")
        key = next(one.key for one in orchard.steps if one.name == "water")
        told.append(load(folder, "water", key, Made))

    planned()
    step.more = "other bloom"
    planned()
    assert worked_out == ["of the rows"]
    planned(fresh=True)
    step.smaller = "of more rows"
    planned()
    assert worked_out == ["of the rows", "of the rows", "of more rows"]
    assert told == [
        Made("of the rows, some bloom"),
        Made("of the rows, other bloom"),
        Made("of the rows, other bloom"),
        Made("of more rows, other bloom"),
    ]


def test_our_own_mistake_is_told_without_a_traceback(folder: Path, steps: list[Department]) -> None:
    failing(steps, "water", ZeroDivisionError("division by zero"))
    orchard = run.plan_orchard(read_inputs(folder))
    (notice,) = [notice for notice in orchard.notices if notice.severity is Severity.FAULT]
    (told,) = all_told([notice], Reader(UnitSystem.US))
    assert "ZeroDivisionError" in told.says
    assert "Traceback" not in str(told)
    assert "Traceback" in (folder / ".topwire" / "water-failure.txt").read_text(encoding="utf-8")
