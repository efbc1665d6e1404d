"""Work in a process of its own, and what stands when that cannot be had."""

import operator
import subprocess
import time

import pytest

from topwire.engine.beside import Aside


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
