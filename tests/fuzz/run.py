"""Long runs: `python -m fuzz.run 20000 --seed 1` from the folder tests. Failures are written to fuzz/cases.

A failure is an exception that is no told fault, more than five seconds of the processor, or more than 500 MB of its
own. Time and memory are measured for every case by itself; a case that goes beyond is broken off.
"""

import argparse
import resource
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from random import Random
from types import FrameType

from fuzz.kinds import KINDS, Case, make, prepare, read

CASES = Path(__file__).parent / "cases"
LONGEST = 5.0  # [s] of the processor
WAITED = 600.0  # [s] by the clock, however busy the machine: a case that waits takes no time of the processor
MOST_MEMORY = 500_000_000  # bytes above what stands when the case begins
WEIGHTS = {
    "plan": 4,
    "outline": 3,
    "standing": 2,
    "table": 3,
    "record": 2,
    "weather": 4,
    "daily": 2,
    "whole plan": 1,
}


class TooLong(BaseException):
    """A case is broken off; of a kind that no reader takes for a fault of the file."""


@dataclass(frozen=True)
class Took:
    """What one case took beyond what stood before it."""

    seconds: float  # of the processor
    memory: int  # bytes at the highest


def measured(case: Case, whole: Path, work: Path) -> tuple[str, Took]:
    """What went wrong with a case, limits of time and memory included, and what it took."""
    before = _status("VmRSS")
    Path("/proc/self/clear_refs").write_text("5", encoding="ascii")  # the highest memory counts from here
    started = time.process_time()
    signal.setitimer(signal.ITIMER_PROF, LONGEST)
    signal.setitimer(signal.ITIMER_REAL, WAITED)
    wrong = failure(case, whole, work)
    signal.setitimer(signal.ITIMER_PROF, 0)
    signal.setitimer(signal.ITIMER_REAL, 0)
    took = Took(time.process_time() - started, _status("VmHWM") - before)
    if not wrong and took.seconds > LONGEST:
        wrong = f"took more than {LONGEST:.0f} s"
    if not wrong and took.memory > MOST_MEMORY:
        wrong = f"took more than {MOST_MEMORY / 1e6:.0f} MB"
    return wrong, took


def _status(name: str) -> int:
    """A figure of this process's memory [bytes]."""
    lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    return next(int(line.split()[1]) * 1024 for line in lines if line.startswith(f"{name}:"))


def failure(case: Case, whole: Path, work: Path) -> str:
    """What went wrong with a case, as a traceback's last lines; empty where it was read or refused in words."""
    try:
        read(case, whole, work)
    except BaseException as error:
        if isinstance(error, KeyboardInterrupt):
            raise
        frames = traceback.extract_tb(error.__traceback__)
        place = next((f for f in reversed(frames) if "topwire" in f.filename), frames[-1])
        return f"{type(error).__name__} at {Path(place.filename).name}:{place.lineno}: {str(error)[:150]}"
    return ""


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("count", type=int)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--kind", choices=sorted(KINDS))
    asked = words.parse_args()
    draw = Random(asked.seed)
    folder = Path(tempfile.mkdtemp())
    whole, work = prepare(folder / "whole"), folder / "work"
    shutil.copytree(whole, work)
    _hold_limits()
    names, weights = zip(*WEIGHTS.items(), strict=True)
    found: Counter[str] = Counter()
    slowest, largest, began = 0.0, 0, time.perf_counter()
    for number in range(asked.count):
        kind = asked.kind or draw.choices(names, weights)[0]
        case = make(kind, draw)
        wrong, took = measured(case, whole, work)
        slowest, largest = max(slowest, took.seconds), max(largest, took.memory)
        if wrong:
            if not found[wrong]:
                _keep(case)
                print(f"{number}: {kind}, {case.name}: {wrong}", flush=True)
            found[wrong] += 1
        if number % 1000 == 999:
            print(
                f"{number + 1} cases, {time.perf_counter() - began:.0f} s; of one case at most "
                f"{slowest:.1f} s of the processor and {largest / 1e6:.0f} MB of its own",
                flush=True,
            )
    shutil.rmtree(folder)
    print(
        f"{asked.count} cases, {sum(found.values())} failures of {len(found)} kinds; of one case at most "
        f"{slowest:.1f} s of the processor and {largest / 1e6:.0f} MB of its own"
    )
    sys.exit(1 if found else 0)


def _hold_limits() -> None:
    def too_long(_: int, __: FrameType | None) -> None:
        raise TooLong

    signal.signal(signal.SIGPROF, too_long)
    signal.signal(signal.SIGALRM, too_long)
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
    held = pages * resource.getpagesize() + MOST_MEMORY
    resource.setrlimit(resource.RLIMIT_AS, (held, held))


def _keep(case: Case) -> None:
    CASES.mkdir(exist_ok=True)
    mark = sha256(case.content).hexdigest()[:10]
    place = case.name.replace("/", "~")
    (CASES / f"{case.kind.replace(' ', '-')}--{mark}--{place}").write_bytes(case.content)


if __name__ == "__main__":
    main()
