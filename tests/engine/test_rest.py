"""What no other step waits for: the same beside and at the end, taken up where a run broke off, no loss if lost."""

import shutil
from pathlib import Path

import pytest
from engine import small

from topwire.choice import weighing
from topwire.engine import run
from topwire.engine.inputs import read_inputs
from topwire.engine.orchard import Orchard
from topwire.engine.run import plan_orchard
from topwire.engine.store import as_json


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    folder = small.make(tmp_path_factory.mktemp("rest") / "yard")
    return folder, as_json(plan_orchard(read_inputs(folder), until="choice").choice)


def choice_ran(orchard: Orchard) -> float | None:
    return next(step.seconds for step in orchard.steps if step.name == "choice")


def test_it_is_the_same_beside_and_at_the_end(planned: tuple[Path, str], tmp_path: Path) -> None:
    folder = small.make(tmp_path / "yard")
    choice = plan_orchard(read_inputs(folder), until="choice", beside=False).choice
    assert choice is not None
    assert choice.proof is not None
    assert as_json(choice) == planned[1]
    assert all(line.loss_after is not None for line in choice.chosen)


def test_a_run_that_broke_off_is_taken_up_from_what_was_kept(
    planned: tuple[Path, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = small.make(tmp_path / "yard")

    def break_off(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(run._Still, "made_whole", break_off)
        with pytest.raises(KeyboardInterrupt):
            plan_orchard(read_inputs(folder), until="choice")
    again = plan_orchard(read_inputs(folder), until="choice")
    assert choice_ran(again) is None  # taken from what was kept
    assert as_json(again.choice) == planned[1]
    third = plan_orchard(read_inputs(folder), until="choice")
    assert as_json(third.choice) == planned[1]


def test_where_what_was_learnt_is_gone_the_choice_is_made_anew(
    planned: tuple[Path, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = small.make(tmp_path / "yard")
    with monkeypatch.context() as patch:
        patch.setattr(run._Still, "made_whole", lambda *_: ())
        plan_orchard(read_inputs(folder), until="choice")
    (folder / ".topwire" / "choice-learnt.npz").unlink()
    again = plan_orchard(read_inputs(folder), until="choice")
    assert choice_ran(again) is not None
    assert as_json(again.choice) == planned[1]


def test_a_rest_that_fails_leaves_the_choice_and_says_so(
    planned: tuple[Path, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "yard"
    shutil.copytree(planned[0], folder)

    def fails(*_: object) -> None:
        raise ArithmeticError("lost its way")

    monkeypatch.setattr(weighing, "weigh", fails)
    orchard = plan_orchard(read_inputs(folder), until="choice", fresh=True, beside=False)
    assert orchard.choice is not None
    assert orchard.choice.proof is None
    assert orchard.choice.trees > 0
    assert any(getattr(notice, "code", "") == "engine.failed" for notice in orchard.notices)
