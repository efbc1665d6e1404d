"""Work in a process of its own, and what stands when that cannot be had."""

import gc
import operator
import subprocess
import time

import pytest

from topwire.engine.beside import Aside, Waiting


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


def test_a_process_that_waits_takes_up_the_work() -> None:
    assert Aside(operator.add, 3, 4, waiting=Waiting(gc.collect)).result() == 7


def test_what_cannot_be_loaded_is_tried_again_here() -> None:
    assert Aside(operator.add, 3, 4, waiting=Waiting(operator.add)).result() == 7


def test_who_waits_in_vain_is_ended() -> None:
    waiting = Waiting(gc.collect)
    process = waiting._process
    assert process is not None
    waiting.stop()
    assert process.returncode is not None
