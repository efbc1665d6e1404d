"""The best planting: every order tried where there are few runs, else a seeded search.

The search swaps, moves, turns, splits and joins runs and now and then accepts a worse planting on the way to a better
one (annealing). What a planting is worth is the planner's to say.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations

import numpy as np
import numpy.typing as npt

from topwire.layout.assignment import CLOSELY, Order, Planner, Terms, within
from topwire.values.progress import Progress, silent

Index = npt.NDArray[np.int64]

HOT, COLD = 0.15, 0.002  # worsenings accepted one time in e at the beginning and the end of a search
MORE = 3  # times the tries of the first search are spent again where it left a tree or a picker short
CLOSE_TRIES = 1500  # plantings looked at with more trees of every run, where one is short of pollen
TOWARD_DONORS = 0.3  # share of tries that bring a donor to a tree short of pollen, while there is one
WARM = 0.1  # share of the heat a second search on large ground begins with
EXACT_UP_TO = 6  # runs: 720 orders are tried one by one


@dataclass(frozen=True)
class Planting:
    """A planting found: `kind` (places,) along the path, -1 = empty."""

    order: Order
    kind: Index
    terms: Terms
    objective: float
    exact: bool
    tried: int


def plan_runs(
    planner: Planner,
    *,
    seed: int,
    tries: int,
    starts: Sequence[Order],
    coarse_tries: int = 0,
    more: int = MORE,
    progress: Progress = silent,
) -> Planting:
    """The best planting found: exactly where few runs are to be ordered, else by search.

    Parameters
    ----------
    seed : of the search; equal seeds give equal plantings
    tries : plantings looked at
    starts : orders to begin from, the best of them is taken
    coarse_tries : plantings looked at before, with pollen at fewer trees: on large ground most of the search
    more : times `tries` a longer search looks at, where a tree is left short of pollen or the walk is long
    """
    kinds = [kind for kind in range(planner.kinds.trees.size) if planner.kinds.trees[kind] > 0]
    if len(kinds) <= EXACT_UP_TO:
        return _try_all(planner, kinds)
    planner.every_run = coarse_tries == 0
    start = order = min(starts, key=planner.worth)
    heat, tried = HOT, coarse_tries + tries
    if coarse_tries:
        order = _search(planner, order, seed=seed, tries=coarse_tries, heat=heat, progress=progress)
        planner.every_run, heat = True, HOT * WARM
    order = _search(planner, order, seed=seed + 1, tries=tries, heat=heat, progress=progress)
    if more and not planner.satisfied(order):
        again = _search(planner, start, seed=seed + 1, tries=more * tries, heat=HOT, progress=progress)
        order, tried = min(order, again, key=planner.worth), tried + more * tries
    if not coarse_tries:
        planner.looked_at = CLOSELY
        if not planner.satisfied(order):
            order = _search(
                planner, order, seed=seed + 2, tries=CLOSE_TRIES, heat=HOT * WARM, progress=progress
            )
            tried += CLOSE_TRIES
    return _finished(planner, order, exact=False, tried=tried)


def _try_all(planner: Planner, kinds: Sequence[int]) -> Planting:
    best, best_value, tried = planner.in_order(kinds), math.inf, 0
    for candidate in permutations(kinds):
        order = planner.in_order(candidate)
        value = planner.worth(order, at_most=best_value)
        tried += 1
        if value < best_value - 1e-12:
            best, best_value = order, value
    return _finished(planner, best, exact=True, tried=tried)


def _search(
    planner: Planner,
    start: Order,
    *,
    seed: int,
    tries: int,
    heat: float,
    progress: Progress,
) -> Order:
    """Annealing: `heat` is the worsening accepted one time in e at first; it falls to COLD."""
    random = np.random.default_rng(seed)
    current = best = start
    value = best_value = planner.worth(start)
    wanting = _wanting(planner, current)
    told = max(tries // 5, 1)
    for turn in range(tries):
        if turn and turn % told == 0:
            progress(f"runs: {turn:,} of {tries:,} plantings tried")
        warmth = heat * (COLD / heat) ** (turn / tries)
        if wanting and random.random() < TOWARD_DONORS:
            item, tree = wanting[int(random.integers(len(wanting)))]
            candidate = _with_donor(planner, current, item, tree, random)
        else:
            candidate = _changed(current, planner.shortest, random)
        allowed = value - warmth * math.log(max(random.random(), 1e-300))
        found = planner.worth(candidate, at_most=allowed)
        if found <= allowed:
            current, value = candidate, found
            wanting = _wanting(planner, current)
            if value < best_value - 1e-12:
                best, best_value = current, value
    return best


def _wanting(planner: Planner, order: Order) -> list[tuple[int, int]]:
    """Trees short of pollen or donors: (position in the order, trees of that run before it)."""
    if not planner.every_run:
        return []
    runs = planner.lay(order)
    count = runs.kind.size
    offsets = within(runs, planner.looked_at)
    short = np.flatnonzero(planner.missing(runs)[: offsets.size] > 0)
    size = runs.stop - runs.start
    before = np.cumsum(size) - size
    first = np.searchsorted(runs.item, runs.item)  # the run in which this one's item begins
    found = []
    for tree in short:
        place, run = divmod(int(tree), count)
        found.append((int(runs.item[run]), int(before[run] - before[first[run]] + offsets[place, run])))
    return found


def _with_donor(planner: Planner, order: Order, item: int, tree: int, random: np.random.Generator) -> Order:
    """A neighbour of `order` in which some trees of a useful donor stand beside the tree that wants one."""
    kind, count = order[item]
    donors = planner.donors_of(kind)
    givers = [k for k, (other, _) in enumerate(order) if other in donors]
    if not givers:
        return order
    giver = givers[int(random.integers(len(givers)))]
    donor, there = order[giver]
    least, own = int(planner.shortest[donor]), int(planner.shortest[kind])
    taken = there
    if there >= 2 * least and random.random() < 0.7:
        taken = int(random.integers(least, there - least + 1))
    middle = [(kind, tree), (donor, taken), (kind, count - tree)]
    if min(tree, count - tree) < own:
        middle = [(kind, count), (donor, taken)] if 2 * tree >= count else [(donor, taken), (kind, count)]
    runs: list[tuple[int, int]] = []
    for k, run in enumerate(order):
        if k == item:
            runs += middle
        elif k == giver:
            runs += [(donor, there - taken)] if taken < there else []
        else:
            runs.append(run)
    return tuple(_joined(runs))


def _changed(order: Order, shortest: Index, random: np.random.Generator) -> Order:
    """A neighbour of `order`: runs swapped, moved, turned, split or joined."""
    runs = list(order)
    n = len(runs)
    move = random.random()
    i, j = (int(value) for value in np.sort(random.integers(0, n, 2)))
    if move < 0.35:
        runs[i], runs[j] = runs[j], runs[i]
    elif move < 0.65:
        runs.insert(int(random.integers(0, n)), runs.pop(j))
    elif move < 0.85:
        runs[i : j + 1] = runs[i : j + 1][::-1]
    elif move < 0.93:
        kind, count = runs[j]
        least = int(shortest[kind])
        if count >= 2 * least:
            cut = int(random.integers(least, count - least + 1))
            runs[j] = (kind, cut)
            runs.insert(int(random.integers(0, n + 1)), (kind, count - cut))
    else:
        kind = runs[j][0]
        whole = sum(count for other, count in runs if other == kind)
        runs = [run for k, run in enumerate(runs) if run[0] != kind or k == j]
        runs[next(k for k, run in enumerate(runs) if run[0] == kind)] = (kind, whole)
    return tuple(_joined(runs))


def _joined(runs: list[tuple[int, int]]) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    for kind, count in runs:
        if found and found[-1][0] == kind:
            found[-1] = (kind, found[-1][1] + count)
        else:
            found.append((kind, count))
    return found


def _finished(planner: Planner, order: Order, *, exact: bool, tried: int) -> Planting:
    terms, runs = planner.measure(order)
    return Planting(order, planner.kind_of(runs), terms, terms.total(planner.weights), exact, tried)
