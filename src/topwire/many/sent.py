"""What is with the workers: its answers as they come, and what becomes of it where a worker is lost.

The scheduler sends a lost worker's tasks to another. Three things it does not see to: a worker of this machine that is
lost while it starts is not started again; who fetches an answer from a worker that was just lost waits for ever; and
where nobody is left to work nothing is told.
"""

import time
from concurrent.futures import CancelledError
from contextlib import suppress
from dataclasses import dataclass, replace
from queue import Empty, SimpleQueue
from typing import Any, Generic, TypeVar

LOOK = 2.0  # [s] without an answer after which the workers are looked after
FETCH = (2.0, 4.0, 8.0, 16.0)  # [s] an answer may travel, as often as its worker is still there
OFTEN = 10  # times an answer may be lost
PATIENCE = 300.0  # [s] without a worker, or with workers of whom none does anything

T = TypeVar("T")


@dataclass(frozen=True)
class CameBack(Generic[T]):
    """What came of a task.

    Attributes
    ----------
    what : as it was sent
    answer : None where every worker that tried it was lost
    """

    what: T
    answer: Any | None


class _Lost(Exception):
    """An answer was lost with its worker before it was fetched."""


@dataclass(frozen=True)
class _Sent(Generic[T]):
    """A task with the workers, and how many times its answer was lost."""

    what: T
    work: Any
    given: tuple[Any, ...]
    lost: int = 0


class SentOut(Generic[T]):
    """Tasks sent to the workers of a client of distributed."""

    def __init__(self, client: Any) -> None:
        self._client = client
        self._sent: dict[Any, _Sent[T]] = {}
        self._done: SimpleQueue[Any] = SimpleQueue()
        self._at_work = time.monotonic()  # when a worker was last known to be

    def __len__(self) -> int:
        return len(self._sent)

    def send(self, what: T, work: Any, *given: Any) -> None:
        self._send(_Sent(what, work, given))

    def _send(self, one: "_Sent[T]") -> None:
        future = self._client.submit(one.work, *one.given, pure=False)
        self._sent[future] = one
        future.add_done_callback(self._done.put)

    def next(self) -> CameBack[T] | None:
        """What comes next; None where nothing came for a while.

        Raises
        ------
        OSError
            When nothing can come any more.
        """
        try:
            future = self._done.get(timeout=LOOK)
        except Empty:
            self._look_after()
            return None
        self._at_work = time.monotonic()
        one = self._sent.pop(future)
        try:
            return CameBack(one.what, self._answer(future))
        except _Lost:
            if one.lost + 1 >= OFTEN:
                return CameBack(one.what, None)
            self._send(replace(one, lost=one.lost + 1))
            return None
        finally:
            future.release()

    def _answer(self, future: Any) -> Any | None:
        """Of a task that is done; None where every worker that tried it was lost. Raises _Lost, OSError."""
        from distributed import KilledWorker

        try:
            if future.status == "error":
                raise future.exception()
            for seconds in FETCH:
                if future.status != "finished":
                    break
                with suppress(TimeoutError):
                    return future.result(timeout=seconds)
        except KilledWorker:
            return None
        except (OSError, CancelledError):
            pass
        except Exception as error:
            raise OSError(f"the workers cannot answer: {error}") from None
        if self._client.status != "running":
            raise OSError("the cluster was lost")
        raise _Lost

    def _look_after(self) -> None:
        """Start again the workers of this machine that are gone. Raises OSError where nobody has worked for long."""
        if self._client.status == "closed":
            raise OSError("the cluster was lost")
        there = len(self._client.nthreads())
        own = self._client.cluster  # None where it is somebody else's
        if own is not None and there < len(own.worker_spec):
            own.scale(len(own.worker_spec))  # starts those it should have and has not
        now = time.monotonic()
        if now - self._at_work < PATIENCE:
            return
        if not there:
            raise OSError(f"there has been no worker for {PATIENCE / 60:.0f} minutes")
        try:
            at_work = self._client.call_stack()
        except OSError:  # one was lost while it was asked
            return
        if not at_work:
            raise OSError(f"the workers have done nothing for {PATIENCE / 60:.0f} minutes")
        self._at_work = now
