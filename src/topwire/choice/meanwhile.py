"""Work that is done beside other work: the solver lets another thread run meanwhile."""

from collections.abc import Callable
from threading import Thread
from typing import Generic, TypeVar

T = TypeVar("T")


class Meanwhile(Generic[T]):
    """A sum that is begun now and asked for its result later.

    It must share nothing that changes with the work beside it: then the result is the same on one core and on many.
    Where the program ends before, it is left where it is: nobody waits for what nobody wants.
    """

    def __init__(self, work: Callable[[], T]) -> None:
        self._work = work
        self._found: list[T] = []
        self._error: BaseException | None = None
        self._thread = Thread(target=self._run, daemon=True)
        self._thread.start()

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
