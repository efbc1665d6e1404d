"""The best planting: every order tried where there are few runs, else several seeded searches from different starts.

A search changes runs (`moves`) and now and then accepts a dearer planting on the way to a cheaper one (annealing). The
starts that come out cheapest are searched further, until nothing has been gained for a while.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations

import numpy as np
import numpy.typing as npt

from topwire.layout.moves import tried
from topwire.layout.planner import Planner
from topwire.layout.stand import Terms
from topwire.values.progress import Progress, silent

Index = npt.NDArray[np.int64]

HOT, WARM, COLD = 0.4, 0.1, 0.004  # [h/year] a dearer planting is accepted one time in e by so much
EXACT_UP_TO = 6  # runs: 720 orders are tried one by one
FIRST = 1200  # changes tried from each start
FURTHER = 6000  # and from the best of them
KEPT = 2  # starts searched further
PATIENCE = 0.35  # share of a search's changes without gain after which it ends


@dataclass(frozen=True)
class Planting:
    """A planting found: `kind` (places,) along the path, -1 = empty; `terms` in hours a year."""

    kind: Index
    terms: Terms
    exact: bool
    tried: int


def plan_runs(
    planner: Planner,
    *,
    seed: int,
    starts: Sequence[Index],
    first: int = FIRST,
    further: int = FURTHER,
    progress: Progress = silent,
) -> Planting:
    """The best planting found: exactly where few runs are to be ordered, else by search.

    Parameters
    ----------
    seed : of the search; equal seeds give equal plantings
    starts : plantings (places,) to begin from
    first, further : changes tried from every start, and from the best of them
    """
    kinds = [kind for kind in range(planner.kinds.trees.size) if planner.kinds.trees[kind] > 0]
    if len(kinds) <= EXACT_UP_TO and (planner.stand.before < 0).all():
        return _try_all(planner, kinds)
    count = 0
    found: list[tuple[float, int, Index]] = []
    for number, start in enumerate(starts):
        progress(f"runs: start {number + 1} of {len(starts)}")
        random = np.random.default_rng((seed, number))
        total, kind, looked = _search(planner, start, random, tries=first, hot=HOT, cold=WARM)
        found.append((total, number, kind))
        count += looked
    found.sort(key=lambda item: item[:2])
    best: list[tuple[float, int, Index]] = []
    for total, number, kind in found[:KEPT]:
        progress(f"runs: searched further, {total:.1f} hours a year")
        random = np.random.default_rng((seed, 1000 + number))
        total, kind, looked = _search(planner, kind, random, tries=further, hot=WARM, cold=COLD)
        best.append((total, number, kind))
        count += looked
    planner.hold(min(best, key=lambda item: item[:2])[2])
    return Planting(planner.kind, planner.terms(), False, count)


def improved(planner: Planner, kind: Index, *, seed: int, tries: int) -> Planting:
    """A planting searched on without heat, as a repair once more pollen is wanted than it was searched for."""
    random = np.random.default_rng((seed, 2000))
    _, kind, looked = _search(planner, kind, random, tries=tries, hot=WARM / 2, cold=COLD)
    planner.hold(kind)
    return Planting(planner.kind, planner.terms(), False, looked)


def _try_all(planner: Planner, kinds: Sequence[int]) -> Planting:
    best, best_total, count = planner.laid(planner.in_order(kinds)), math.inf, 0
    for candidate in permutations(kinds):
        kind = planner.laid(planner.in_order(candidate))
        planner.hold(kind)
        count += 1
        if planner.total < best_total - 1e-12:
            best, best_total = kind, planner.total
    planner.hold(best)
    return Planting(planner.kind, planner.terms(), True, count)


def _search(
    planner: Planner, start: Index, random: np.random.Generator, *, tries: int, hot: float, cold: float
) -> tuple[float, Index, int]:
    """Annealing from `hot` to `cold` [h/year]: cost and kinds of the best planting, and changes tried."""
    planner.hold(start)
    total = best_total = planner.total
    best = planner.kind.copy()
    wanting = list(zip(*(values.tolist() for values in planner.wanting()), strict=True))
    gained = 0
    for turn in range(tries):
        warmth = hot * (cold / hot) ** (turn / tries)
        change = tried(planner, random, wanting)
        if change is None:
            continue
        allowed = total - warmth * math.log(max(random.random(), 1e-300))
        weighed = planner.weigh(change, at_most=allowed)
        if weighed is None:
            continue
        planner.make(weighed)
        total = weighed.total
        wanting = list(zip(*(values.tolist() for values in planner.wanting()), strict=True))
        if total < best_total - 1e-9:
            if total < best_total - 1e-3:
                gained = turn
            best, best_total = planner.kind.copy(), total
        elif turn - gained > PATIENCE * tries and warmth < WARM / 4:
            break
    return best_total, best, turn + 1
