"""No acknowledged entry is lost and no database broken: kills, two writers, a full disk. The long run: make crashes."""

import multiprocessing
import subprocess
import sys
from pathlib import Path

from records.crashes import killed_writers
from records.test_store import pick

from topwire.records.store import open_store

FULL = """
import resource, sys
from datetime import date
from topwire.records.entries import FruitPicked
from topwire.records.opening import NotSaved
from topwire.records.store import open_store
with open_store(sys.argv[1]) as store:
    resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, 200_000))
    while True:
        entry = FruitPicked(day=date(2031, 9, 14), mass=1.0, remark="x" * 1500)
        try:
            store.append([entry])
        except NotSaved as why:
            print("told", why)
            break
        print(entry.identity, flush=True)
"""


def test_killed_at_random_nothing_acknowledged_is_lost(tmp_path: Path) -> None:
    found = killed_writers(tmp_path, 10, seed=1)
    assert found.acknowledged > 20
    assert found.lost == 0
    assert found.halves == 0


def test_a_full_disk_is_told_and_what_was_acknowledged_stays(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", FULL, str(tmp_path)], capture_output=True, text=True, check=True, timeout=60
    )
    *kept, told = done.stdout.splitlines()
    assert "Nothing of it was saved" in told
    assert len(kept) > 3
    with open_store(tmp_path) as store:
        assert {entry.identity for entry in store.entries()} == set(kept)
        store.append([pick()])  # space again: it goes on


def _write(folder: Path, count: int) -> None:
    with open_store(folder) as store:
        for _ in range(count):
            store.append([pick()])


def test_two_writers_that_begin_together_keep_everything(tmp_path: Path) -> None:
    context = multiprocessing.get_context("spawn")
    writers = [context.Process(target=_write, args=(tmp_path, 40)) for _ in range(2)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join(60)
        assert writer.exitcode == 0
    with open_store(tmp_path) as store:
        assert len(store.entries()) == 80
