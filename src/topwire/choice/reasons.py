"""Why this and not that."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from topwire.choice.asked import Barred
from topwire.choice.findings import Alternative, Merit, Miss, More, NearMiss, Reason, Worth
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Donors, Limits
from topwire.choice.relaxation import Relaxation
from topwire.choice.search import Found
from topwire.choice.serving import Service
from topwire.choice.supply import Supply

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]

NEAR_MISSES = 15
ALTERNATIVES = 6
NEWCOMERS = 4  # cultivars left out that are tried for the weakest of the chosen
WEAKEST = 4
MORE_TREES = 50
MORE_FLOOR = 10.0  # [m2] of cellar
MORE_CELLAR = 0.1  # share
MORE_PRESS = 0.2  # share: one more pressing day a week
LONG_KEEPER = 20  # [weeks] a life worth a word
EQUALS = 5  # of them, cultivars as good as the chosen


def losses_without(
    supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, trees: Index
) -> dict[int, float]:
    """What the plan would lose without each chosen cultivar [weighted kg a year].

    Solved again over all years without it: the other cultivars stay, their numbers are found anew. What is asked of the
    set (pollen, number of cultivars, must-have) is left aside: this is the worth of its fruit.
    """
    keep = np.flatnonzero(trees)
    free = replace(limits.some(keep), must_have=(), fewest_cultivars=1, most_cultivars=keep.size)
    relaxed = Relaxation(supply.chosen(keep), needs, free, np.ones((keep.size, keep.size), dtype=bool))
    everyone = frozenset(range(keep.size))
    whole = relaxed.of_set(everyone)
    if whole is None:
        return {}
    found = {}
    for position, at in enumerate(keep):
        if not limits.standing.get(supply.cultivars[at].name):
            without = relaxed.of_set(everyone - {position})
            if without is not None:
                found[int(at)] = max(0.0, without.cost - whole.cost)
    return found


def why(
    supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, service: Service, at: int, loss: float | None
) -> tuple[Reason, ...]:
    """Reasons for one chosen cultivar, the strongest first."""
    row = supply.cultivars[at]
    said = []
    if row.name in limits.must_have:
        said.append(Reason(Merit.MUST_HAVE))
    if limits.standing.get(row.name):
        said.append(Reason(Merit.STANDS, number=limits.standing[row.name]))
    given = service.given[:, at].mean(axis=0)
    total = max(float(given.sum()), 1e-9)
    main = [
        needs[number].use for number in np.argsort(-given, kind="stable")[:2] if given[number] > 0.15 * total
    ]
    if main:
        said.append(Reason(Merit.SERVES, uses=tuple(dict.fromkeys(main))))
    weeks = service.fresh[:, at].mean(axis=0)
    alone = weeks > 0.5 * np.maximum(service.fresh.mean(axis=0).sum(axis=0), 1e-9)
    if (weeks > 0).any() and alone.any():
        said.append(Reason(Merit.CARRIES_TABLE, number=int(np.flatnonzero(alone)[0]) + 1))
    life = supply.cooking[at]
    if life >= LONG_KEEPER:
        said.append(Reason(Merit.KEEPS, number=round(life)))
    if row.heritage and limits.heritage_share > 0:
        said.append(Reason(Merit.HERITAGE))
    if loss is not None and loss < 1.0 and not said:
        said.append(Reason(Merit.ROUNDS_OUT))
    return tuple(said)


def near_misses(
    supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, found: Found, left_out: Mapping[str, Barred]
) -> tuple[NearMiss, ...]:
    """The cultivars that came nearest, and why each stayed out; then those that could not be weighed at all.

    The cost is the reduced cost of the relaxed programme times the smallest planting: a least loss, not an exact one.
    """
    out = np.flatnonzero(found.trees == 0)
    cost = found.dearer[out]
    order = np.lexsort((out, -found.relaxed[out], np.round(cost, 6)))
    equal = order[cost[order] < 1e-6][:EQUALS]
    dearer = order[cost[order] >= 1e-6][: NEAR_MISSES - equal.size]
    misses = []
    for at, loss in ((int(out[i]), float(cost[i])) for i in (*equal, *dearer)):
        rivals = _same_place(supply, needs, found.trees, at)
        why = Miss.AS_GOOD if loss < 1e-6 else Miss.OTHERS_SERVE if rivals else Miss.BRINGS_LESS
        misses.append(NearMiss(supply.cultivars[at].name, why, tuple(rivals), loss))
    misses += [NearMiss(name, why, (), None) for name, why in sorted(left_out.items())]
    return tuple(misses)


def alternatives(
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    useful: Donors,
    found: Found,
    losses: dict[int, float],
) -> tuple[Alternative, ...]:
    """Plans with one or two cultivars changed that cost least more, each with its best numbers over all years."""
    chosen = np.flatnonzero(found.trees)
    order = np.lexsort((np.arange(found.dearer.size), -found.relaxed, found.dearer))
    newcomers = [int(at) for at in order if found.trees[at] == 0][:NEWCOMERS]
    near = np.sort(np.concatenate([chosen, newcomers]).astype(np.int64))
    place = {int(at): position for position, at in enumerate(near)}
    relaxed = Relaxation(supply.chosen(near), needs, limits.some(near), useful[np.ix_(near, near)])
    members = frozenset(place[int(at)] for at in chosen)
    best = relaxed.of_set(members)
    if best is None:
        return ()
    names = [supply.cultivars[at].name for at in near]
    weakest = [place[at] for at in sorted(losses, key=lambda at: (losses[at], at))][:WEAKEST]
    come = [place[at] for at in newcomers]
    others = [members - {at} for at in weakest] + [members | {at} for at in come]
    others += [(members - {at}) | {other} for at in weakest for other in come]
    tried = []
    for other in others:
        solved = relaxed.of_set(other) if relaxed.allowed(other) else None
        if solved is not None:
            tried.append((solved.cost - best.cost, sorted(members - other), sorted(other - members)))
    tried.sort()
    return tuple(
        Alternative(tuple(names[at] for at in out), tuple(names[at] for at in into), cost)
        for cost, out, into in tried[:ALTERNATIVES]
    )


def worth_of_more(
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    useful: Donors,
    trees: Index,
    *,
    cellar_per_area: float | None,
) -> tuple[Worth, ...]:
    """What 50 more trees, more cellar and one more pressing day would bring, each found by solving again.

    The cultivars stay, their numbers may change.

    Parameters
    ----------
    cellar_per_area : [kg/m2] fruit the cellar holds on a square metre, where the plan says its floor
    """
    keep = np.flatnonzero(trees)
    few, donors = supply.chosen(keep), useful[np.ix_(keep, keep)]
    names = tuple(row.name for row in few.cultivars)
    base = replace(
        limits.some(keep),
        must_have=names,
        fewest_cultivars=1,
        most_cultivars=keep.size,
        places=int(trees.sum()),
    )

    def cost(changed: Limits) -> float:
        found = Relaxation(few, needs, changed, donors).solve(frozenset(range(keep.size)))
        return np.inf if found is None else found.cost

    today = cost(base)
    more = [(More.TREES, float(MORE_TREES), replace(base, places=base.places + MORE_TREES))]
    if base.cellar is not None and cellar_per_area is not None:
        larger = base.cellar + MORE_FLOOR * cellar_per_area
        more.append((More.CELLAR_FLOOR, MORE_FLOOR, replace(base, cellar=larger)))
    elif base.cellar is not None:
        more.append((More.CELLAR, MORE_CELLAR, replace(base, cellar=(1 + MORE_CELLAR) * base.cellar)))
    if base.press_week is not None:
        more.append((More.PRESS, MORE_PRESS, replace(base, press_week=(1 + MORE_PRESS) * base.press_week)))
    return tuple(Worth(what, by, max(0.0, today - cost(changed))) for what, by, changed in more)


def _same_place(supply: Supply, needs: Sequence[WeeklyNeed], trees: Index, at: int) -> list[str]:
    """Chosen cultivars that serve all its needs and are picked within three weeks of it."""
    mine = {number for number, need in enumerate(needs) if need.served_by(supply.cultivars[at])}
    week = float(np.median(supply.first[:, at]))
    names = []
    for other in sorted(np.flatnonzero(trees), key=lambda other: -trees[other]):
        theirs = {number for number, need in enumerate(needs) if need.served_by(supply.cultivars[other])}
        apart = abs(float(np.median(supply.first[:, other])) - week)
        if mine and mine <= theirs and min(apart, 52 - apart) <= 3:
            names.append(supply.cultivars[other].name)
    return names[:2]
