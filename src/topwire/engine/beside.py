"""Work in a process of its own, beside the steps that do not wait for it.

A thread would have to share the interpreter with the layout's own sums. The work is a function of a module with what it
is given; both travel there and its result back as bytes, so that it shares nothing: the result is the same on one core
and on many. Where no such process can be had, the work is done here when its result is asked for.
"""

import os
import pickle
import subprocess
import sys
from collections import deque
from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import CancelledError, Future, ThreadPoolExecutor
from contextlib import suppress
from importlib import import_module
from threading import Event, Lock, Thread
from typing import Any, Generic, TypeVar, cast

from topwire.engine.ahead import Ahead
from topwire.engine.collecting import seldom_collected

T = TypeVar("T")
Work = tuple[Callable[..., object], tuple[object, ...]]  # a function of a module, and what it is given

# Modules of the works that a plan begins beside its steps, and of what makes its files.
WEIGHING, PROOF, FILES = "topwire.choice.weighing", "topwire.choice.proof", "topwire.export.files"
ENDED = OSError, EOFError, pickle.PickleError  # how it shows that a process has
BEHIND = 3  # steps of priority behind whoever waits: the longest way is through what others wait for


class Aside(Generic[T]):
    """Work begun now, or left to whoever is free first: a process that is done with its own, or who wants the result.

    ready : processes that may have read already what the work needs
    left : works that the process takes up behind this one, as long as nobody else has

    Where one of the things given is AHEAD, the work takes what its process found ahead of it; None where there was no
    such process.
    """

    def __init__(
        self,
        work: Callable[..., T],
        *given: Any,
        begin: bool = True,
        ready: "Ready | None" = None,
        left: "deque[Aside[Any]] | None" = None,
    ) -> None:
        self._work, self._given = work, given
        self._left = deque[Aside[Any]]() if left is None else left
        self._taken, self._told = Lock(), Event()
        self._found: tuple[T] | None = None
        self._process: Process | None = None
        if begin:
            self._process = (ready.taken(work.__module__) if ready is not None else None) or _process()
        if self._process is not None:
            self._taken.acquire()
            self._thread = Thread(target=self._exchange, args=(self._process,), daemon=True)
            self._thread.start()

    def _exchange(self, process: "Process") -> None:
        self._done_by(process)
        while self._left:
            one = self._left.popleft()
            if one._taken.acquire(blocking=False):
                one._done_by(process)
        process.end()

    def _done_by(self, process: "Process") -> None:
        try:
            with suppress(*ENDED):
                self._found = (cast(T, process.ask(self._work, self._given)),)
        finally:
            self._told.set()

    def result(self) -> T:
        """What was found; waits until it is. Raises what the work raises."""
        if not self._taken.acquire(blocking=False):
            self._told.wait()
        if self._found is None:
            given = (None if isinstance(one, Ahead) else one for one in self._given)
            self._found = (self._work(*given),)
        self._told.set()
        return self._found[0]

    def stop(self) -> None:
        """Nobody wants the result any more."""
        if self._process is not None:
            self._process.kill()
            self._thread.join()


class Ready:
    """Processes that read the modules of works to come while these are not asked for yet, and do ahead what can be: a
    process reads for half a second before it begins.

    Parameters
    ----------
    modules : of the works, those that take longest first
    """

    def __init__(self, modules: Iterable[str] = ()) -> None:
        self._waiting: dict[str, Process] = {}
        for module in modules:
            self._tell(module, _read, module)

    def ahead(self, works: Mapping[str, Work | None]) -> None:
        """By module, what to do ahead, a function and what it is given; None for nothing but reading."""
        for module, work in works.items():
            if work is not None:
                function, given = work
                self._tell(module, function, *given)
            elif module not in self._waiting:
                self._tell(module, _read, module)

    def _tell(self, module: str, work: Callable[..., object], *given: object) -> None:
        process = self._waiting.get(module) or _process(BEHIND if self._waiting else 0)
        if process is not None:
            with suppress(OSError):
                process.tell(work, given)
            self._waiting[module] = process

    def taken(self, module: str) -> "Process | None":
        """The process that has read a module, given away; None where there is none."""
        return self._waiting.pop(module, None)

    def stop(self) -> None:
        """Nobody wants those that are left."""
        for process in self._waiting.values():
            process.kill()
            process.end()
        self._waiting.clear()


def _read(module: str) -> None:
    import_module(module)


class InTurn:
    """Works done one after the other in one process, in the order they are begun.

    process : one that was told to read a module; None = one that has not
    """

    def __init__(self, process: "Process | None" = None) -> None:
        self._process = process or _process()
        self._line = ThreadPoolExecutor(1)
        self._stopped = False

    def make_ready(self, work: Callable[[], None]) -> None:
        """Something to do for the process before the works come; nothing where there is none."""
        if self._process is not None:
            self.begin(work)

    def begin(self, work: Callable[..., T], *given: object) -> Future[T]:
        """The work put behind those that wait; what it raises is raised where its result is asked for."""
        return self._line.submit(self._done, work, given)

    def _done(self, work: Callable[..., T], given: tuple[object, ...]) -> T:
        if self._process is not None:
            with suppress(*ENDED):  # the work is done here
                return cast(T, self._process.ask(work, given))
        if self._stopped:
            raise CancelledError
        return work(*given)

    def stop(self) -> None:
        """Nobody wants the results any more."""
        self._stopped = True
        if self._process is not None:
            self._process.kill()
        self._line.shutdown(cancel_futures=True)
        if self._process is not None:
            self._process.end()


class Process:
    """A process that waits for works."""

    def __init__(self, other: subprocess.Popen[bytes]) -> None:
        self._other = other
        self._unread = 0  # of its answers

    def tell(self, work: Callable[..., object], given: tuple[object, ...]) -> None:
        """A work whose answer can wait. Raises one of ENDED."""
        assert self._other.stdin is not None
        self._other.stdin.write(pickle.dumps((work, given)))
        self._other.stdin.flush()
        self._unread += 1

    def ask(self, work: Callable[..., object], given: tuple[object, ...]) -> object:
        """What it finds. Raises one of ENDED where it has, as it does when a work goes wrong."""
        while self._unread:  # it may be waiting to be rid of them
            self._answer()
        self.tell(work, given)
        return self._answer()

    def _answer(self) -> object:
        assert self._other.stdout is not None
        self._unread -= 1
        return pickle.load(self._other.stdout)  # written by a process of ours

    def kill(self) -> None:
        self._other.kill()

    def end(self) -> None:
        """Nothing more comes; waits until it is gone."""
        with suppress(OSError):
            self._other.communicate()


def _process(behind: int = BEHIND) -> Process | None:
    """A process that waits for works, so many steps of priority behind; None where there can be none."""
    try:
        other = subprocess.Popen(
            [sys.executable, "-m", __name__, str(behind)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(path for path in sys.path if path)},
        )
    except (OSError, ValueError):
        return None
    return Process(other)


def _main() -> None:
    """The other end: what solvers print must not get between the bytes."""
    answer = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    with suppress(AttributeError, OSError):  # where there is such a thing
        os.nice(int(sys.argv[1]))
    ahead: object = None
    with seldom_collected():
        while True:
            try:
                work, given = pickle.load(sys.stdin.buffer)
            except EOFError:  # nothing more comes
                break
            ahead = work(*(ahead if isinstance(one, Ahead) else one for one in given))
            pickle.dump(ahead, answer)
            answer.flush()
    os._exit(0)  # who asked waits for the end: what is held need not be taken apart first


if __name__ == "__main__":
    _main()
