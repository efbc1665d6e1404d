"""`python -m fuzz.whole 200 --seed 1` from the folder tests: orchards drawn until so many were found good by `check`.

Held of each: `check` ends with 0 or 2, never with a failure of ours; where it ends with 0, `plan` ends with every
department there. Every 25th good one is planned once more from nothing, in a folder that keeps no answers, and the
whole of out/ is made.
"""

import argparse
import shutil
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from random import Random

from click.testing import CliRunner
from fuzz.orchards import draw_orchard

from topwire.cli import main as topwire

WHOLE_EACH = 25


@dataclass(frozen=True)
class Tried:
    """How one drawn orchard fared: exit code of `check`, what it told, and what `plan` fell short of."""

    code: int
    told: str
    wrong: str


def try_orchard(folder: Path, draw: Random, *, whole: bool) -> Tried:
    """Draw an orchard into `folder`, check it, and plan it where it is found good.

    Parameters
    ----------
    whole : plan it from nothing too, and make all of out/
    """
    draw_orchard(folder, draw)
    checked = CliRunner().invoke(topwire, ["check", str(folder)])
    if checked.exit_code == 2:
        return Tried(2, checked.output, "")
    if checked.exit_code != 0:
        return Tried(
            checked.exit_code, checked.output, f"check ended with {checked.exit_code}: {checked.exception!r}"
        )
    planned = CliRunner().invoke(topwire, ["plan", str(folder), "--json"])
    wrong = _short(planned.exit_code, planned.output)
    if whole and not wrong:
        shutil.rmtree(folder / ".topwire")
        planned = CliRunner().invoke(topwire, ["plan", str(folder)])
        wrong = _short(planned.exit_code, planned.output)
        if not wrong and not (folder / "out" / "book.pdf").read_bytes().startswith(b"%PDF"):
            wrong = "no book"
    return Tried(0, checked.output, wrong)


def _short(code: int, said: str) -> str:
    return f"plan ended with {code}: {said[-600:]}" if code or "Not computed" in said else ""


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("count", type=int)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--keep", type=Path, help="folder for orchards that fell short")
    asked = words.parse_args()
    refused: Counter[str] = Counter()
    good = drawn = short = 0
    began = time.perf_counter()
    while good < asked.count:
        drawn += 1
        folder = Path(tempfile.mkdtemp()) / "orchard"
        tried = try_orchard(folder, Random(f"{asked.seed} {drawn}"), whole=good % WHOLE_EACH == 0)
        if tried.wrong:
            short += 1
            print(f"orchard {drawn}: {tried.wrong}\n{tried.told[-1500:]}", flush=True)
            if asked.keep:
                shutil.copytree(folder, asked.keep / f"orchard-{asked.seed}-{drawn}", dirs_exist_ok=True)
        elif tried.code == 2:
            faults = [line for line in tried.told.splitlines() if line.startswith("fault: ") or ": " in line]
            refused[faults[-2][:110] if len(faults) > 1 else tried.told[-110:]] += 1
            print(
                f"orchard {drawn}, refused: {faults[-1][:300] if faults else tried.told[-200:]}", flush=True
            )
        good += tried.code == 0
        shutil.rmtree(folder.parent)
        if drawn % 10 == 0:
            print(
                f"{drawn} drawn, {good} good, {short} short, {time.perf_counter() - began:.0f} s", flush=True
            )
    print(f"{drawn} orchards drawn, {good} found good by check, {short} of all fell short")
    sys.exit(1 if short else 0)


if __name__ == "__main__":
    main()
