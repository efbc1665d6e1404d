"""Work in a process of its own, and what stands when that cannot be had."""

import operator
import os
import signal
import subprocess
import time
from collections import deque
from collections.abc import Iterator

import pytest

from topwire.engine.ahead import AHEAD
from topwire.engine.beside import Aside, InTurn, Ready


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


def test_a_process_made_ready_does_the_work_of_its_module_and_no_other() -> None:
    ready = Ready(("_operator", "colorsys"))
    assert Aside(operator.add, 3, 4, ready=ready).result() == 7
    assert ready.taken("_operator") is None
    assert Aside(os.getcwd, ready=ready).result() == os.getcwd()
    left = ready.taken("colorsys")
    assert left is not None
    left.end()


def test_processes_that_nobody_took_are_ended() -> None:
    began = time.monotonic()
    ready = Ready(("colorsys",))
    ready.stop()
    assert ready.taken("colorsys") is None
    assert time.monotonic() - began < 30


def test_a_process_that_could_not_read_its_module_is_no_loss() -> None:
    ready = Ready(("no_such_module",))
    assert Aside(_seven, ready=_named(ready, "no_such_module", _seven.__module__)).result() == 7


def test_a_work_is_given_what_its_process_found_ahead() -> None:
    ready = Ready(("_operator",))
    ready.ahead({"_operator": (operator.mul, (3, 4))})
    assert Aside(operator.add, AHEAD, 1, ready=ready).result() == 13
    ready.ahead({"_operator": (operator.mul, (5, 4))})  # a process of its own, where none waits
    assert Aside(operator.add, AHEAD, 1, ready=ready).result() == 21
    ready.stop()


def test_where_nothing_was_found_ahead_a_work_is_given_none() -> None:
    assert Aside(operator.is_, AHEAD, None, begin=False).result()
    assert Aside(operator.is_, AHEAD, None).result()


def test_what_was_left_is_done_by_a_process_that_is_free() -> None:
    left: deque[Aside[int]] = deque()
    begun = Aside(os.getpid, left=left)
    left.append(later := Aside(os.getpid, begin=False))
    assert begun.result() != os.getpid()
    later._told.wait(60)
    assert later.result() == begun.result()


def test_what_was_left_is_done_here_while_no_process_is_free() -> None:
    left: deque[Aside[int]] = deque()
    begun = Aside(time.sleep, 1, left=left)
    left.append(later := Aside(os.getpid, begin=False))
    assert later.result() == later.result() == os.getpid()
    begun.stop()


def test_what_was_left_to_a_process_that_was_killed_is_done_here() -> None:
    left: deque[Aside[int]] = deque()
    begun = Aside(time.sleep, 60, left=left)
    left.append(later := Aside(os.getpid, begin=False))
    begun.stop()
    assert later.result() == os.getpid()


def _seven() -> int:
    return 7


def _named(ready: Ready, name: str, other: str) -> Ready:
    process = ready.taken(name)
    assert process is not None
    ready._waiting[other] = process
    return ready


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
