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


@dataclass(frozen=True)
class Stage:
    """Of the plantings so far the cheapest `kept` are searched on for `tries` changes each.

    A dearer planting is accepted one time in e by `hot` [h/year] more at first, by `cold` at the end.
    """

    kept: int
    tries: int
    hot: float
    cold: float


# Many starts searched briefly, the best of them longer: one long search ends wherever its start has led it.
STAGES = (
    Stage(12, 250, 0.3, 0.15),
    Stage(6, 700, 0.2, 0.1),
    Stage(3, 2500, 0.15, 0.04),
    Stage(1, 4000, 0.08, 0.005),
)
# On very large ground a change costs ten times as much and a good start is most of the way.
MANY = 10_000  # places
STAGES_OF_MANY = (Stage(3, 300, 0.1, 0.05), Stage(1, 20_000, 0.04, 0.004))
STAYING = (Stage(1, 1500, 0.02, 0.005),)  # from the last layout, which is to be kept where it serves
REPAIR = Stage(1, 2000, 0.8, 0.02)
TIDY = Stage(1, 2500, 0.4, 0.005)  # what the repair left behind
EXACT_UP_TO = 6  # runs: 720 orders are tried one by one
COOLED = (
    0.8  # share of a search's changes before which it does not end: while it is warm it gains by going astray
)
PATIENCE = 0.1  # share of its changes without gain after which it then ends


@dataclass(frozen=True)
class FoundPlanting:
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
    stages: Sequence[Stage] = STAGES,
    progress: Progress = silent,
) -> FoundPlanting:
    """The best planting found: exactly where few runs are to be ordered, else by search.

    Parameters
    ----------
    seed : of the search; equal seeds give equal plantings
    starts : plantings (places,) to begin from
    stages : of the search, one after the other
    """
    kinds = [kind for kind in range(planner.kinds.trees.size) if planner.kinds.trees[kind] > 0]
    if len(kinds) <= EXACT_UP_TO and not planner.has_last:
        return _try_all(planner, kinds)
    count = 0
    found = [(0.0, number, start) for number, start in enumerate(starts)]
    for level, stage in enumerate(stages):
        further = []
        for _, number, start in found[: stage.kept]:
            random = np.random.default_rng((seed, level, number))
            total, kind, looked = _search(planner, start, random, stage)
            further.append((total, number, kind))
            count += looked
        found = sorted(further, key=lambda item: item[:2])
        progress(f"runs: {found[0][0]:.1f} hours a year, {count:,} changes looked at")
    planner.hold(found[0][2])
    return FoundPlanting(planner.kind, planner.terms(), False, count)


def _try_all(planner: Planner, kinds: Sequence[int]) -> FoundPlanting:
    best, best_total, count = planner.laid(planner.in_order(kinds)), math.inf, 0
    for candidate in permutations(kinds):
        kind = planner.laid(planner.in_order(candidate))
        planner.hold(kind)
        count += 1
        if planner.total < best_total - 1e-12:
            best, best_total = kind, planner.total
    planner.hold(best)
    return FoundPlanting(planner.kind, planner.terms(), True, count)


def _search(
    planner: Planner, start: Index, random: np.random.Generator, stage: Stage
) -> tuple[float, Index, int]:
    """Annealing: cost and kinds of the best planting, and changes tried."""
    tries, hot, cold = stage.tries, stage.hot, stage.cold
    planner.hold(start)
    total = best_total = planner.total
    best = planner.kind.copy()
    wanting = planner.wanting()
    gained = turn = 0
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
        wanting = planner.wanting()
        if total < best_total - 1e-9:
            if total < best_total - 1e-3:
                gained = turn
            best, best_total = planner.kind.copy(), total
        elif turn > COOLED * tries and turn - gained > PATIENCE * tries:
            break
    return best_total, best, turn + 1
