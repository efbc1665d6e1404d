"""Files made in a process beside are those made here, whoever makes them and whatever goes wrong."""

import subprocess
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from faces.invented import without

from topwire.engine.delivery import NotWritten, deliver
from topwire.engine.orchard import Orchard
from topwire.export import files
from topwire.export.ahead import FilesAhead
from topwire.export.files import FILES, MADE_OF, writers


@pytest.fixture
def ahead() -> Iterator[FilesAhead]:
    begun = FilesAhead()
    yield begun
    begun.close()


@pytest.fixture
def no_process(monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*given: object, **named: object) -> None:
        raise OSError

    monkeypatch.setattr(subprocess, "Popen", none)


def all_but_the_book(
    orchard: Orchard, ahead: FilesAhead | None = None
) -> dict[str, Callable[[], bytes | None]]:
    return {name: make for name, make in writers(orchard, ahead).items() if name != "book.pdf"}


def alike(orchard: Orchard, ahead: FilesAhead) -> None:
    here = all_but_the_book(orchard)
    beside = all_but_the_book(orchard, ahead)
    assert list(here) == list(beside)
    for name, make in beside.items():
        assert make() == here[name](), name


def test_files_made_beside_are_those_made_here(orchard: Orchard, ahead: FilesAhead) -> None:
    """Some of them before the choice is whole: nothing of it stands in them. What is not begun then is begun anew."""
    assert orchard.choice is not None
    ahead.begin(replace(orchard, choice=replace(orchard.choice, proof=None, worth=(), alternatives=())))
    assert set(ahead._begun) == set(MADE_OF)
    alike(orchard, ahead)


def test_files_of_departments_that_have_no_answer_are_left_to_the_end(
    orchard: Orchard, ahead: FilesAhead
) -> None:
    found = without(orchard, "ledger", "water")
    ahead.begin(found)
    assert "calendar.ics" not in ahead._begun
    alike(found, ahead)
    assert writers(found, ahead)["water.inp"]() is None


def test_where_no_process_can_be_had_they_are_made_here(orchard: Orchard, no_process: None) -> None:
    ahead = FilesAhead()
    ahead.begin(orchard)
    alike(orchard, ahead)
    ahead.close()


def test_files_of_a_process_that_was_killed_are_made_here(orchard: Orchard, ahead: FilesAhead) -> None:
    assert ahead._beside._process is not None
    ahead._beside._process.kill()
    alike(orchard, ahead)


def test_a_file_that_cannot_be_made_is_named(
    orchard: Orchard, no_process: None, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def wrong(orchard: Orchard) -> bytes:
        raise ValueError("so it goes")

    monkeypatch.setattr(files, "FILES", {**FILES, "trees.csv": wrong})
    ahead = FilesAhead()
    ahead.begin(orchard)
    with pytest.raises(NotWritten) as told:
        deliver(tmp_path, all_but_the_book(orchard, ahead), version="0", plan="p", key="k")
    assert str(told.value) == "out/trees.csv: ValueError: so it goes"
    assert told.value.ours
    ahead.close()
