"""Changes a search tries: runs swapped, moved, turned, split, joined, and donors brought to trees short of pollen."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from topwire.layout.planner import Change, Planner, Run, joined

Index = npt.NDArray[np.int64]

NEAR_DONORS = 2.0  # useful donors: mean rank, by nearness, of the one brought
NEAR_ALIKE = 3.0  # cultivars: mean rank, by weeks of harvest, of the one brought beside another
NEAR = 4.0  # runs: mean distance of a change that keeps to its neighbourhood
FAR_SHARE = 0.15  # share of changes that reach anywhere
TOWARD_STUMPS = (
    0.1  # share of changes that take up a run of which a row's end leaves a stump, while there is one
)
TOWARD_DONORS = 0.2  # share of changes that bring a donor to a tree short of pollen, while there is one


def tried(planner: Planner, random: np.random.Generator, wanting: tuple[Index, Index]) -> Change | None:
    """A change to try; None where the one drawn cannot be made.

    wanting : (line, step) of trees short of pollen
    """
    lines, steps = wanting
    if lines.size and random.random() < TOWARD_DONORS:
        short = int(random.integers(lines.size))
        return _with_donor(planner, int(lines[short]), int(steps[short]), random)
    runs = planner.runs
    n = len(runs)
    if n < 2:
        return None
    move = random.random()
    stump = planner.stump(random) if random.random() < TOWARD_STUMPS else None
    i = int(random.integers(n)) if stump is None else stump
    j = _other(i, n, random)
    low, high = min(i, j), max(i, j)
    window = list(runs[low : high + 1])
    if move < 0.30:
        window[0], window[-1] = window[-1], window[0]
    elif move < 0.60:
        if i < j:
            window.append(window.pop(0))
        else:
            window.insert(0, window.pop())
    elif move < 0.63:
        window.reverse()
    elif move < 0.80:
        return _beside_alike(planner, runs, i, random)
    elif move < 0.85:
        return _split(planner, runs, i, j, random)
    elif move < 0.93:
        return _together(planner, runs, i, random)
    else:
        # runs of two parts of the window change places as wholes
        cut = int(random.integers(1, len(window))) if len(window) > 1 else 0
        window = window[cut:] + window[:cut]
    return Change(low, high + 1, tuple(joined(window)))


def _beside_alike(
    planner: Planner, runs: Sequence[Run], i: int, random: np.random.Generator
) -> Change | None:
    """A run picked in nearly the same weeks brought beside run i."""
    alike = planner.alike[runs[i][0]]
    other = alike[min(int(random.geometric(1 / NEAR_ALIKE)), len(alike)) - 1]
    found = [k for k, (what, _) in enumerate(runs) if what == other and k != i]
    if not found:
        return None
    j = min(found, key=lambda k: abs(k - i))
    low, high = min(i, j), max(i, j)
    window = list(runs[low : high + 1])
    first = bool(random.random() < 0.5)  # whether it comes before run i or after
    moved = window.pop() if i < j else window.pop(0)
    at = (0 if first else 1) if i < j else (len(window) - 1 if first else len(window))
    window.insert(at, moved)
    return Change(low, high + 1, tuple(joined(window)))


def _other(i: int, n: int, random: np.random.Generator) -> int:
    """Another run, mostly a near one."""
    if random.random() < FAR_SHARE:
        j = int(random.integers(n - 1))
        return j if j < i else j + 1
    away = int(random.geometric(1 / NEAR)) * (1 if random.random() < 0.5 else -1)
    if not 0 <= i + away < n:
        away = -away
    return (
        min(max(i + away, 0), n - 1) if min(max(i + away, 0), n - 1) != i else (i + 1 if i + 1 < n else i - 1)
    )


def _split(
    planner: Planner, runs: Sequence[Run], i: int, j: int, random: np.random.Generator
) -> Change | None:
    """A part of run i laid beside run j."""
    kind, count = runs[i]
    least = int(planner.shortest[kind])
    if count < 2 * least:
        return None
    part = int(random.integers(least, count - least + 1))
    low, high = min(i, j), max(i, j)
    window = list(runs[low : high + 1])
    if i < j:
        window[0] = (kind, count - part)
        window.append((kind, part))
    else:
        window[-1] = (kind, count - part)
        window.insert(0, (kind, part))
    return Change(low, high + 1, tuple(joined(window)))


def _together(planner: Planner, runs: Sequence[Run], i: int, random: np.random.Generator) -> Change | None:
    """Another run of the same cultivar, or some of its trees, brought to run i."""
    kind = runs[i][0]
    others = [k for k, (what, _) in enumerate(runs) if what == kind and k != i]
    if not others:
        return None
    j = others[int(random.integers(len(others)))]
    low, high = min(i, j), max(i, j)
    window = list(runs[low : high + 1])
    to, from_ = (0, -1) if i < j else (-1, 0)
    there = window[from_][1]
    least = int(planner.shortest[kind])
    given = there
    if random.random() < 0.6 and there > least:
        given = int(random.integers(1, there - least + 1))
    window[to] = (kind, window[to][1] + given)
    window[from_] = (kind, there - given)
    return Change(low, high + 1, tuple(joined([run for run in window if run[1] > 0])))


def _with_donor(planner: Planner, line: int, step: int, random: np.random.Generator) -> Change | None:
    """Some trees of a useful donor beside a tree short of pollen."""
    found = planner.run_at(line, step)
    if found is None:
        return None
    item, tree = found
    runs = planner.runs
    kind, count = runs[item]
    givers = [k for k, (other, _) in enumerate(runs) if planner.is_donor(other, kind)]
    if not givers:
        return None
    givers.sort(key=lambda k: abs(k - item))
    giver = givers[min(int(random.geometric(1 / NEAR_DONORS)) - 1, len(givers) - 1)]
    donor, there = runs[giver]
    least, own = int(planner.shortest[donor]), int(planner.shortest[kind])
    taken = there
    if there >= 2 * least and random.random() < 0.7:
        taken = int(random.integers(least, there - least + 1))
    middle = [(kind, tree), (donor, taken), (kind, count - tree)]
    if min(tree, count - tree) < own:
        middle = [(kind, count), (donor, taken)] if 2 * tree >= count else [(donor, taken), (kind, count)]
    rest = [(donor, there - taken)] if taken < there else []
    low, high = min(item, giver), max(item, giver)
    inner = list(runs[low + 1 : high])
    window = [*middle, *inner, *rest] if item < giver else [*rest, *inner, *middle]
    return Change(low, high + 1, tuple(joined(window)))
