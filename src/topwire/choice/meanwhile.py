"""Work that is done beside other work: the solver lets another thread run meanwhile."""

from collections.abc import Callable
from threading import Thread
from types import TracebackType
from typing import Generic, TypeVar

T = TypeVar("T")


class Meanwhile(Generic[T]):
    """A sum that is begun now and asked for its result later: `with Meanwhile(work, stop) as it: ...; it.result()`.

    It must share nothing that changes with the work beside it: then the result is the same on one core and on many.
    Where the work beside it breaks off, `stop` is called, and its end awaited: a solver must not be left at work while
    the program ends.
    """

    def __init__(self, work: Callable[[], T], stop: Callable[[], None]) -> None:
        self._work, self._stop = work, stop
        self._found: list[T] = []
        self._error: BaseException | None = None
        self._thread = Thread(target=self._run, daemon=True)

    def __enter__(self) -> "Meanwhile[T]":
        self._thread.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if kind is not None:
            self._stop()
        self._thread.join()

    def _run(self) -> None:
        try:
            self._found.append(self._work())
        except BaseException as error:  # handed on to whoever asks for the result
            self._error = error

    def result(self) -> T:
        """What was found; waits until it is. Raises what the work raised."""
        self._thread.join()
        if self._error is not None:
            raise self._error
        return self._found[0]
