"""The last plan told again without a question asked, and only where nothing at all is left to do."""

import os
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from engine.shared import planned_fence

from topwire.cli.main import main
from topwire.engine import recall
from topwire.engine.inputs import read_inputs
from topwire.engine.recall import last_plan, orchard_of, remember, standing
from topwire.engine.run import FAILED
from topwire.engine.state import LAST, changed_since, seen, state_of
from topwire.values.notice import refusal


@pytest.fixture
def fence(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return planned_fence(tmp_path_factory)


def run(*words: str) -> Result:
    return CliRunner().invoke(main, ["plan", *words])


def no_step(*_: object, **__: object) -> None:
    raise AssertionError("a step was asked")


def test_what_stands_is_told_as_a_run_tells_it_and_no_step_is_asked(
    fence: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as without:
        without.setattr(recall, "standing", lambda _: None)
        asked = run(str(fence))
    with monkeypatch.context() as without:
        without.setattr("topwire.engine.run.plan_orchard", no_step)
        told = run(str(fence))
    assert "writing out/" in asked.output
    assert "0 steps run in 0.0 s, 12 unchanged" in told.output
    assert told.output == asked.output.replace("writing out/\n", "")


def _plan(folder: Path) -> None:
    path = folder / "plan.yaml"
    path.write_text(path.read_text() + "# a word\n")


def _weather(folder: Path) -> None:
    path = next(folder.glob("weather/*.csv"))
    path.write_bytes(path.read_bytes() + b"\n")


def _out(folder: Path) -> None:
    (folder / "out" / "book.pdf").write_bytes(b"")


def _answer(folder: Path) -> None:
    next(folder.glob(".topwire/layout-*")).unlink()


@pytest.mark.parametrize("change", [_plan, _weather, _out, _answer])
def test_nothing_stands_where_anything_was_changed(fence: Path, change: Callable[[Path], None]) -> None:
    assert standing(fence) is not None
    change(fence)
    assert standing(fence) is None


def test_every_answer_is_asked_for_anew_with_fresh(fence: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("topwire.engine.run.plan_orchard", no_step)
    assert isinstance(run(str(fence), "--fresh").exception, AssertionError)


def test_a_file_beyond_the_folder_counts_with_it(fence: Path) -> None:
    record = next(fence.glob("weather/*.csv"))
    shared = fence.parent / "shared.csv"
    shutil.move(record, shared)
    plan = fence / "plan.yaml"
    plan.write_text(plan.read_text() + "weather: {files: [../shared.csv]}\n")
    was = seen(fence, read_inputs(fence).named_files)
    assert "../shared.csv" in was.beyond
    shared.write_bytes(shared.read_bytes() + b"\n")
    assert state_of(fence, was.beyond) != was.state


def test_tables_behind_a_link_are_looked_into(tmp_path: Path) -> None:
    folder, elsewhere = tmp_path / "orchard", tmp_path / "tables"
    for made in (folder, elsewhere):
        made.mkdir()
    (folder / "catalogue").symlink_to(elsewhere)
    before = state_of(folder)
    (elsewhere / "cultivars.csv").write_text("cultivar\n")
    assert state_of(folder) != before


def test_what_was_changed_while_the_plan_was_made_makes_it_an_old_one(fence: Path) -> None:
    last, was = last_plan(fence), seen(fence)
    assert last is not None
    orchard = orchard_of(fence, last)
    assert orchard is not None
    _plan(fence)
    remember(fence, orchard, was)
    assert standing(fence) is None


def test_a_part_that_failed_is_tried_again(fence: Path) -> None:
    found = standing(fence)
    assert found is not None
    failed = refusal(FAILED, department="choice", error="", kept="")
    remember(fence, replace(found[0], notices=(*found[0].notices, failed)))
    assert standing(fence) is None


def test_what_has_changed_since_the_plan_is_soon_known(fence: Path) -> None:
    assert not changed_since(fence)
    _out(fence)  # made by a plan, read by none
    assert not changed_since(fence)
    _plan(fence)
    assert changed_since(fence)


@pytest.mark.parametrize("content", [None, "", "{", "[]", '{"state": "x"}'])
def test_without_a_last_plan_that_can_be_read_everything_has_changed(
    fence: Path, content: str | None
) -> None:
    last = fence / ".topwire" / LAST
    if content is None:
        last.unlink()
    else:
        last.write_text(content)
    assert changed_since(fence)


def test_no_process_stays_behind_where_the_plan_cannot_be_read(fence: Path) -> None:
    (fence / "plan.yaml").write_text("name: [")
    began = children()
    assert run(str(fence)).exit_code
    assert children() == began


def children() -> int:
    """Processes of ours that have not ended."""
    return sum(
        1
        for status in Path("/proc").glob("[0-9]*/stat")
        if (words := _read(status).rpartition(")")[2].split()) and words[1] == str(os.getpid())
    )


def _read(path: Path) -> str:
    try:
        return path.read_text()
    except OSError:
        return ""
