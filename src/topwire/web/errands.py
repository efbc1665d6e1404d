"""Work in a process of its own: planning, a trial, fetching weather. It is the very command of the terminal, so that
what a browser starts and what a terminal starts cannot differ; stopping it harms nothing, since what it keeps is whole.
"""

import os
import re
import subprocess
import sys
import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO

KEPT_LINES = 4000
_STEP = re.compile(r"^(\d+)/(\d+) ([\w-]+): (.*)$")


@dataclass
class Errand:
    """One command at work, or ended.

    Attributes
    ----------
    what : for people: “the plan”
    says : what it has written, oldest first
    code : how it ended; None while it is at work
    stopped : somebody has stopped it
    """

    what: str
    kind: str
    process: "subprocess.Popen[str]"
    began: float
    then: str  # page to go to when it has ended well
    says: list[str] = field(default_factory=list)
    out: list[str] = field(default_factory=list)
    code: int | None = None
    stopped: bool = False
    ended: float | None = None

    @property
    def at_work(self) -> bool:
        return self.code is None

    @property
    def seconds(self) -> float:
        return (self.ended or time.monotonic()) - self.began

    @property
    def step(self) -> str:
        """The step it is at, by name; empty before the first."""
        found = [match for line in self.says if (match := _STEP.match(line))]
        return found[-1][3] if found else ""


class Errands:
    """At most one run at a time; the last one is remembered until the next."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._guard = threading.Lock()
        self._run: Errand | None = None

    def now(self) -> Errand | None:
        """The run at work, or the last that ended."""
        return self._run

    def start(self, what: str, kind: str, arguments: Sequence[str], then: str = "/") -> bool:
        """Start `topwire` with these arguments; False where another is at work."""
        with self._guard:
            if self._run is not None and self._run.at_work:
                return False
            process = subprocess.Popen(
                [sys.executable, "-m", "topwire", *arguments],
                stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                text=True, encoding="utf-8", errors="replace", cwd=self._folder, env=_environment(),
            )  # fmt: skip
            run = self._run = Errand(what, kind, process, time.monotonic(), then)
            for stream, lines in ((process.stderr, run.says), (process.stdout, run.out)):
                threading.Thread(target=_listen, args=(stream, lines), daemon=True).start()
            threading.Thread(target=_wait, args=(run,), daemon=True).start()
            return True

    def stop(self) -> None:
        """Stop the run at work, if there is one."""
        run = self._run
        if run is not None and run.at_work:
            run.stopped = True
            run.process.terminate()

    def close(self) -> None:
        """When the server ends: a run it started does not stay behind."""
        self.stop()
        run = self._run
        if run is not None:
            try:
                run.process.wait(5)
            except subprocess.TimeoutExpired:
                run.process.kill()


def _environment() -> dict[str, str]:
    return {**os.environ, "PYTHONUNBUFFERED": "1", "NO_COLOR": "1", "COLUMNS": "100"}


def _listen(stream: IO[str] | None, lines: list[str]) -> None:
    assert stream is not None
    with stream:
        for line in stream:
            lines.append(line.rstrip("\n"))
            if len(lines) > KEPT_LINES:
                del lines[: KEPT_LINES // 2]


def _wait(run: Errand) -> None:
    code = run.process.wait()
    time.sleep(0.05)  # the last lines are on their way
    run.ended = time.monotonic()
    run.code = code
