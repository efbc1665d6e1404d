"""How long a "what if" takes: forty drawn changes of the larger example, each asked of the plan that stands.

Run: python benchmarks/bench_whatif.py [FOLDER] (a planned folder; without one the example is planned first, in a
folder of its own). Processor and wall time of each answer, the gap it tells, trees that moved; at the end the share
answered within three seconds, of processor time and of wall time (which a busy machine makes longer). Changes of needs,
cellar and press make the years themselves anew; they are drawn beside the forty and counted by themselves, against ten
seconds.
"""

import shutil
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from topwire.engine.inputs import Inputs, read_inputs
from topwire.engine.orchard import CannotPlan
from topwire.engine.run import plan_orchard
from topwire.engine.what_if import compare

EXAMPLE = Path(__file__).parents[1] / "examples" / "valley-inn"
DRAWN = 40
QUICK, SLOW = 3.0, 10.0  # [s]


def main() -> None:
    if len(sys.argv) > 1:
        measure(read_inputs(Path(sys.argv[1])))
        return
    with tempfile.TemporaryDirectory() as room:
        folder = Path(room) / "orchard"
        shutil.copytree(EXAMPLE, folder)
        measure(read_inputs(folder))


def measure(inputs: Inputs) -> None:
    choice = plan_orchard(inputs, until="choice").choice
    assert choice is not None
    chosen = [line.name for line in choice.chosen]
    misses = [miss.name for miss in choice.near_misses if miss.cost_to_include is not None]
    print(f"{'processor':>9}{'wall':>7}{'gap':>8}{'moved':>7}  change", flush=True)
    times = [_asked(inputs, choice.trees, *change) for change in drawn(chosen, misses, choice.trees)]
    told(times, QUICK)
    kitchen = (
        "kitchen.cellar.capacity=3000 kg",
        "kitchen.cellar.capacity=9000 kg",
        "kitchen.press.weekly_capacity=900 kg",
    )
    times = [_asked(inputs, choice.trees, setting, {"settings": (setting,)}) for setting in kitchen]
    told(times, SLOW)


def told(times: list[tuple[float, float]], limit: float) -> None:
    for what, of in zip(("processor", "wall"), np.array(times).T, strict=True):
        within = np.mean(of <= limit)
        print(f"{within:.0%} of {of.size} within {limit:.0f} s of {what} time; median {np.median(of):.1f} s")


def drawn(chosen: list[str], misses: list[str], trees: int) -> list[tuple[str, dict[str, object]]]:
    """Forty changes of cultivars, trees, taste and numbers, always the same."""
    random = np.random.default_rng(14)
    found: list[tuple[str, dict[str, object]]] = []
    for name in random.choice(chosen, 12, replace=False):
        found.append((f"without {name}", {"without": (str(name),)}))
    for name in random.choice(misses, 8, replace=False):
        found.append((f"with {name}", {"with_": (str(name),)}))
    for share in random.uniform(0.7, 1.0, 8):
        found.append((f"trees {int(share * trees)}", {"trees": int(share * trees)}))
    settings = [f"taste.most_trees={most}" for most in (90, 120, 150)]
    settings += [f"taste.fewest_trees={fewest}" for fewest in (8, 15)]
    settings += [f"taste.most_cultivars={most}" for most in (25, 27, len(chosen))]
    settings += [f"taste.heritage_share={share}" for share in (0.4, 0.6)]
    found += [(setting, {"settings": (setting,)}) for setting in settings]
    while len(found) < DRAWN:
        out, into = str(random.choice(chosen)), str(random.choice(misses))
        found.append((f"without {out}, with {into}", {"without": (out,), "with_": (into,)}))
    return found


def _asked(inputs: Inputs, trees: int, says: str, change: dict[str, object]) -> tuple[float, float]:
    wall, processor = time.perf_counter(), time.process_time()
    try:
        both = compare(inputs, **change)  # type: ignore[arg-type]
    except CannotPlan:
        print(f"{time.process_time() - processor:>9.1f}{'cannot be met':>22}  {says}", flush=True)
        return time.process_time() - processor, time.perf_counter() - wall
    wall, processor = time.perf_counter() - wall, time.process_time() - processor
    ours = {line.name: line.trees for line in both.ours.chosen}
    names = ours.keys() | both.theirs.trees.keys()
    moved = sum(abs(ours.get(name, 0) - both.theirs.trees.get(name, 0)) for name in names)
    print(f"{processor:>9.1f}{wall:>7.1f}{both.theirs.gap:>8.2%}{moved:>7}  {says}", flush=True)
    return processor, wall


if __name__ == "__main__":
    main()
