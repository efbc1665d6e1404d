"""Writers killed at random moments: what was acknowledged has to be there afterwards, and the database whole."""

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

from topwire.records.store import open_store

# Two writers at once; each says the identity of an entry only after `append` has returned. One that is told to wait
# tries again; neither holds the lock without a pause, which nobody who writes notes does.
WRITER = """
import sys, time
from datetime import date
from topwire.records.entries import FruitPicked
from topwire.records.opening import NotSaved
from topwire.records.store import open_store
with open_store(sys.argv[1]) as store:
    while True:
        pair = [FruitPicked(day=date(2031, 9, 14), cultivar="Gala", mass=1.0) for _ in range(2)]
        try:
            store.append(pair)
        except NotSaved:
            continue
        for entry in pair:
            sys.stdout.write(entry.identity + chr(10))
        sys.stdout.flush()
        time.sleep(0.002)
"""


@dataclass(frozen=True)
class CrashResult:
    kills: int
    acknowledged: int
    lost: int
    halves: int  # batches of which only a part was kept


def killed_writers(folder: Path, kills: int, *, seed: int) -> CrashResult:
    """Kill writers, two at work at a time, each at a moment of its own."""
    draw = random.Random(seed)
    acknowledged: list[str] = []
    with open_store(folder):
        pass
    for number in range(0, kills, 2):
        said = [(folder / f"said-{number + which}").open("w+b") for which in (0, 1)]
        writers = [
            subprocess.Popen([sys.executable, "-c", WRITER, str(folder)], stdout=stream, env=dict(os.environ))
            for stream in said
        ]
        while not all(stream.seek(0, 2) for stream in said):  # both have begun
            assert all(writer.poll() is None for writer in writers), "a writer ended by itself"
            time.sleep(0.005)
        for writer in writers:
            time.sleep(draw.uniform(0.0, 0.15))
            writer.send_signal(signal.SIGKILL)
        for writer, stream in zip(writers, said, strict=True):
            writer.wait()
            stream.seek(0)
            whole = stream.read().decode().rpartition("\n")[0]
            acknowledged += whole.split()
            stream.close()
    with sqlite3.connect(folder / "records.db") as connection:
        (found,) = connection.execute("PRAGMA integrity_check").fetchone()
        assert found == "ok"
        count = connection.execute("SELECT count(*) FROM entry").fetchone()[0]
    connection.close()
    with open_store(folder) as store:
        there = {entry.identity for entry in store.entries()}
    return CrashResult(kills, len(acknowledged), len(set(acknowledged) - there), count % 2)
