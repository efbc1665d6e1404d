"""Work in a process of its own, beside the steps that do not wait for it.

A thread would have to share the interpreter with the layout's own sums. The work is a function of a module with what it
is given; both travel there and its result back as bytes, so that it shares nothing: the result is the same on one core
and on many. Where no such process can be had, the work is done here when its result is asked for.
"""

import os
import pickle
import subprocess
import sys
from collections.abc import Callable
from threading import Thread
from typing import Any, Generic, TypeVar

from topwire.engine.collecting import seldom_collected

T = TypeVar("T")


class Waiting:
    """A process that loads what the work to come needs, and waits for it."""

    def __init__(self, load: Callable[[], None]) -> None:
        self._process = _started()
        try:
            if self._process is not None and self._process.stdin is not None:
                self._process.stdin.write(pickle.dumps(load))
                self._process.stdin.flush()
        except OSError:  # it ended already; so will what it is asked for, and is done here then
            pass

    def taken(self) -> "subprocess.Popen[bytes] | None":
        """The process, for a work to be done in it."""
        process, self._process = self._process, None
        return process

    def stop(self) -> None:
        """There is no work for it."""
        if self._process is not None:
            self._process.kill()
            self._process.communicate()


class Aside(Generic[T]):
    """Work begun now, or left until its result is asked for."""

    def __init__(
        self, work: Callable[..., T], *given: Any, begin: bool = True, waiting: Waiting | None = None
    ) -> None:
        """`waiting` : the process it is done in, where one is ready."""
        self._work, self._given = work, given
        self._told: bytes | None = None
        self._process = None
        self._thread = Thread(target=self._exchange, daemon=True)
        if begin:
            self._process = _started() if waiting is None else waiting.taken()
        if self._process is not None:
            self._thread.start()

    def _exchange(self) -> None:
        assert self._process is not None
        told, _ = self._process.communicate(pickle.dumps((self._work, self._given)))
        if self._process.returncode == 0:
            self._told = told

    def result(self) -> T:
        """What was found; waits until it is. Raises what the work raises."""
        if self._process is not None:
            self._thread.join()
        if self._told is None:
            return self._work(*self._given)
        found: T = pickle.loads(self._told)  # written by a process of ours
        return found

    def stop(self) -> None:
        """Nobody wants the result any more."""
        if self._process is not None:
            self._process.kill()
            self._thread.join()


def _started() -> "subprocess.Popen[bytes] | None":
    """A process that waits for what it is to do; None where there can be none."""
    try:
        return subprocess.Popen(
            [sys.executable, "-m", __name__],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(path for path in sys.path if path)},
        )
    except (OSError, ValueError):
        return None


def _main() -> None:
    """The other end: what solvers print must not get between the bytes."""
    answer = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    with seldom_collected():
        told = pickle.load(sys.stdin.buffer)
        if callable(told):  # what is to be loaded comes before the work
            told()
            told = pickle.load(sys.stdin.buffer)
        work, given = told
        found = work(*given)
    pickle.dump(found, answer)
    answer.close()


if __name__ == "__main__":
    _main()
