"""Work in a process of its own, and what stands when that cannot be had."""

import operator
import os
import signal
import subprocess
import time
from collections.abc import Iterator

import pytest

from topwire.engine.beside import Aside, InTurn


def test_what_is_done_beside_is_handed_over() -> None:
    assert Aside(operator.add, 3, 4).result() == 7


def test_what_goes_wrong_beside_is_raised_where_its_result_is_asked_for() -> None:
    with pytest.raises(ZeroDivisionError):
        Aside(operator.floordiv, 1, 0).result()


def test_without_a_process_the_work_is_done_when_it_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*given: object, **named: object) -> None:
        raise OSError

    monkeypatch.setattr(subprocess, "Popen", none)
    assert Aside(operator.add, 3, 4).result() == 7
    assert Aside(operator.add, 3, 4, begin=False).result() == 7


def test_who_breaks_off_ends_the_work() -> None:
    began = time.monotonic()
    work = Aside(time.sleep, 60)
    work.stop()
    assert time.monotonic() - began < 30


@pytest.fixture
def line() -> Iterator[InTurn]:
    works = InTurn()
    yield works
    works.stop()


def test_works_of_one_process_are_done_in_turn(line: InTurn) -> None:
    begun = [line.begin(operator.sub, 9, number) for number in range(4)]
    beside = line.begin(os.getpid)
    assert [one.result() for one in begun] == [9, 8, 7, 6]
    assert beside.result() == line.begin(os.getpid).result() != os.getpid()


def test_a_work_that_goes_wrong_is_told_and_those_behind_it_are_done(line: InTurn) -> None:
    wrong, behind = line.begin(operator.floordiv, 1, 0), line.begin(operator.add, 3, 4)
    with pytest.raises(ZeroDivisionError):
        wrong.result()
    assert behind.result() == 7


def test_works_of_a_process_that_was_killed_are_done_here(line: InTurn) -> None:
    os.kill(line.begin(os.getpid).result(), signal.SIGKILL)
    assert line.begin(operator.add, 3, 4).result() == 7
    assert line.begin(os.getpid).result() == os.getpid()


def test_without_a_process_works_in_turn_are_done_here(monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*given: object, **named: object) -> None:
        raise OSError

    monkeypatch.setattr(subprocess, "Popen", none)
    works = InTurn()
    assert works.begin(operator.add, 3, 4).result() == 7
    works.stop()


def test_who_breaks_off_ends_the_works_that_wait() -> None:
    began = time.monotonic()
    works = InTurn()
    waiting = [works.begin(time.sleep, 60) for _ in range(2)]
    works.stop()
    assert time.monotonic() - began < 30
    assert all(one.done() for one in waiting)
