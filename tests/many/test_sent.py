"""Whatever becomes of workers, every task sent out comes back: answered, told as lost, or the run ends and says why."""

import operator
import os
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from topwire.many import cluster, sent
from topwire.many.sent import CameBack, SentOut


@pytest.fixture(autouse=True)
def no_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sent, "LOOK", 0.05)
    monkeypatch.setattr(sent, "FETCH", (0.3, 0.6, 1.2))
    monkeypatch.setattr(cluster, "LOST", "50ms")


@contextmanager
def one_worker(room: Path) -> Iterator[Any]:
    with cluster.client_of(cluster.Workers(number=1), room) as client:
        yield client


def all_of(tasks: SentOut[int]) -> list[CameBack[int]]:
    came = []
    while len(tasks):
        one = tasks.next()
        if one is not None:
            came.append(one)
    return sorted(came, key=lambda one: one.what)


def doubled(*numbers: int) -> list[CameBack[int]]:
    return [CameBack(number, 2 * number) for number in numbers]


def test_a_worker_that_nobody_starts_again_is_started(tmp_path: Path) -> None:
    """As where it is lost while it starts: who minds it gives up, and the cluster has no worker any more."""
    with one_worker(tmp_path) as client:
        (minder,) = client.cluster.workers.values()
        client.sync(minder.close)
        tasks: SentOut[int] = SentOut(client)
        for number in range(3):
            tasks.send(number, operator.mul, 2, number)
        assert all_of(tasks) == doubled(0, 1, 2)


def test_an_answer_lost_with_its_worker_is_worked_out_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import distributed

    fetch: Callable[..., Any] = distributed.Future.result
    with one_worker(tmp_path) as client:
        (worker,) = client.run(os.getpid).values()
        lost = []

        def fetched(future: Any, timeout: float | None = None) -> Any:
            if not lost:
                lost.append(worker)
                os.kill(worker, signal.SIGKILL)
            return fetch(future, timeout)

        monkeypatch.setattr(distributed.Future, "result", fetched)
        tasks: SentOut[int] = SentOut(client)
        for number in range(3):
            tasks.send(number, operator.mul, 2, number)
        assert all_of(tasks) == doubled(0, 1, 2)
    assert lost


@dataclass(eq=False)
class Future:
    status: str
    error: Exception | None = None

    def add_done_callback(self, told: Callable[[Any], None]) -> None:
        if self.status != "pending":
            told(self)

    def exception(self) -> Exception | None:
        return self.error

    def result(self, timeout: float) -> int:
        raise self.error or TimeoutError

    def release(self) -> None:
        """Nothing is held."""


@dataclass
class Client:
    """Of a cluster that is somebody else's."""

    future: Callable[[], Future]
    threads: dict[str, int] = field(default_factory=dict)
    stack: dict[str, str] = field(default_factory=dict)
    status: str = "running"
    cluster: None = None
    asked: int = 0

    def submit(self, *_: object, pure: bool) -> Future:
        self.asked += 1
        return self.future()

    def nthreads(self) -> dict[str, int]:
        return self.threads

    def call_stack(self) -> dict[str, str]:
        return self.stack


def sent_to(client: Client) -> SentOut[int]:
    tasks: SentOut[int] = SentOut(client)
    tasks.send(7, operator.mul, 2, 7)
    return tasks


def test_where_nobody_works_for_long_the_run_ends_and_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    client = Client(lambda: Future("pending"))
    assert sent_to(client).next() is None, "one waits for workers to come"
    monkeypatch.setattr(sent, "PATIENCE", 0.0)
    with pytest.raises(OSError, match="there has been no worker"):
        sent_to(client).next()
    client.threads = {"a": 1}
    with pytest.raises(OSError, match="the workers have done nothing"):
        sent_to(client).next()
    client.stack = {"a": "a task that takes its time"}
    assert sent_to(client).next() is None
    client.status = "closed"
    with pytest.raises(OSError, match="the cluster was lost"):
        sent_to(client).next()


@pytest.mark.parametrize("status", ["lost", "finished", "cancelled"])
def test_an_answer_that_is_lost_again_and_again_is_told(status: str) -> None:
    client = Client(lambda: Future(status))
    assert all_of(sent_to(client)) == [CameBack(7, None)]
    assert client.asked == sent.OFTEN


def test_answers_are_not_waited_for_where_the_cluster_is_gone() -> None:
    with pytest.raises(OSError, match="the cluster was lost"):
        sent_to(Client(lambda: Future("lost"), status="connecting")).next()


def test_a_task_over_which_workers_die_is_told_and_one_that_goes_wrong_ends_the_run() -> None:
    from distributed import KilledWorker

    dead = KilledWorker("task", None, 3)
    assert all_of(sent_to(Client(lambda: Future("error", dead)))) == [CameBack(7, None)]
    with pytest.raises(OSError, match=r"the workers cannot answer: .*no such thing"):
        sent_to(Client(lambda: Future("error", KeyError("no such thing")))).next()
