"""Why this and not that."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from topwire.choice.amounts import amounts_of
from topwire.choice.asked import Barred
from topwire.choice.findings import Alternative, Merit, Miss, NearMiss, Reason
from topwire.choice.master import Cuts, Master, cost_of
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Donors, Limits
from topwire.choice.scarce import More, Worth
from topwire.choice.search import Found, in_fractions
from topwire.choice.serving import Service
from topwire.choice.solver import Basis
from topwire.choice.supply import Supply
from topwire.choice.years import GAP, Years

Index = npt.NDArray[np.int64]
Array = npt.NDArray[np.float64]

NEAR_MISSES = 15
ALTERNATIVES = 6
NEWCOMERS = 4  # cultivars left out that are tried for the weakest of the chosen
WEAKEST = 4
SET_ROUNDS = 3  # of cuts for a set that is tried
FINE = (
    0.3  # part of the gap at which the numbers of such a set are good enough; so many more rounds it may take
)
SET_GAP = 1e-3  # at which its numbers are good enough
LARGE_LOSS = 0.002  # share of the plan's cost from which a loss is worth a question to the years
DEAREST = (
    16  # years that are asked of it: those in which most is missing teach nearly as much as all (measured)
)
LOSS_ERROR = 0.1  # share of a loss to which it is found
MORE_TREES, OF_TREES = 50, 5  # and no more than a fifth of the plan's
MORE_OF_ONE = 10  # trees allowed of one cultivar
MORE_FLOOR = 10.0  # [m2] of cellar
MORE_CELLAR = 0.1  # share
MORE_PRESS = 0.2  # share: one more pressing day a week
LONG_KEEPER = 20  # [weeks] a life worth a word
EQUALS = 5  # of them, cultivars as good as the chosen


class Nearby:
    """The chosen cultivars and a few more, with small year programmes and all that the search learnt of them."""

    def __init__(
        self,
        supply: Supply,
        needs: Sequence[WeeklyNeed],
        limits: Limits,
        useful: Donors,
        keep: Index,
        cuts: Cuts,
        trees: Index,
        bases: Sequence[Basis] = (),
    ) -> None:
        """`cuts` of the cultivars of `supply`, of which those in `keep` are looked at; `trees` of the plan; `bases` of
        the years with these cultivars."""
        self._own = trees[keep].astype(float), (trees[keep] > 0).astype(float)
        self.keep, self.limits = keep, limits.some(keep)
        self.supply, self.needs = supply.chosen(keep), needs
        self.useful = useful[np.ix_(keep, keep)]
        self.years = Years(self.supply, needs, self.limits, bases=bases)
        self.years.cuts = cuts.of(keep)

    def master(self, limits: Limits, useful: Donors) -> Master:
        """Of other limits or donors, for sets of cultivars; it knows all that is known."""
        made = Master(self.supply, limits, useful, np.arange(self.supply.years.size), of_sets=True)
        assert self.years.cuts is not None
        made.know(self.years.cuts, [self._own])
        return made

    def cost_of_set(
        self,
        master: Master,
        limits: Limits,
        members: frozenset[int],
        *,
        beside: float | None = None,
        most: float | None = None,
        fine: bool = False,
    ) -> float | None:
        """A set of cultivars with its best numbers, fractions of trees allowed; None where it is not allowed.

        Parameters
        ----------
        fine : as others are told beside it, nearer by FINE
        beside : a cost from which the distance is wanted, to LOSS_ERROR of it either way
        most : where it is only asked whether it is more than this: what is told is surely more, or not
        """
        inside = np.array(sorted(members), dtype=np.int64)
        master.restrict(inside, np.setdiff1d(np.arange(self.keep.size), inside))
        best, least = np.inf, -np.inf
        part = FINE if fine else 1.0
        for _ in range(round(SET_ROUNDS / part)):
            stage = master.solve()
            if stage is None:
                return None
            least = stage.cost
            if most is not None and least > most:
                return least
            if best - least <= part * self._near_enough(best, beside):
                break
            costs, cuts = self.years.ask(stage.trees, stage.planted)
            best = min(best, cost_of(costs, limits, stage.trees))
            master.add(cuts)
            if best - least <= part * self._near_enough(best, beside) or (most is not None and best <= most):
                break
        return best if beside is None else (best + least) / 2

    @staticmethod
    def _near_enough(best: float, beside: float | None) -> float:
        """How far the cost found may lie above the least it can be; where the middle is told, twice as far."""
        if not np.isfinite(best):
            return 0.0
        return SET_GAP * best if beside is None else 2 * max(SET_GAP * best, LOSS_ERROR * (best - beside))

    def least_of_set(self, master: Master, members: frozenset[int], *, asked_above: float = np.inf) -> float:
        """The least a set can cost, as far as is known; infinite where the plan does not allow it.

        Parameters
        ----------
        asked_above : where it is more than this the dearest years are asked once, and it is told by what they teach
        """
        inside = np.array(sorted(members), dtype=np.int64)
        master.restrict(inside, np.setdiff1d(np.arange(self.keep.size), inside))
        stage = master.solve()
        if stage is not None and stage.cost > asked_above:
            dearest = np.argsort(-master.costs_of_years(stage), kind="stable")[:DEAREST]
            master.add(self.years.ask(stage.trees, stage.planted, np.sort(dearest))[1])
            stage = master.solve()
        return np.inf if stage is None else stage.cost


def losses_without(near: Nearby, trees: Index) -> dict[int, float]:
    """What the plan would lose at least without each chosen cultivar [weighted kg a year].

    Solved again over all years without it: the other cultivars stay, their numbers are found anew. What is asked of the
    set (pollen, number of cultivars, must-have) is left aside: this is the worth of its fruit. What is told is proven:
    no numbers of the others lose less. On the larger example, and after three changes of its needs, it
    is 0.81 to 0.89 of the loss in the middle and 0.7 or more of all but two or three above 6 weighted kg; one of 9 to
    14 may be told at a quarter or a half, one of 40 to 75 at six tenths.
    """
    free = replace(near.limits, must_have=(), fewest_cultivars=1, most_cultivars=near.keep.size, held=())
    master = near.master(free, np.ones_like(near.useful))
    everyone = frozenset(np.flatnonzero(trees[near.keep]).tolist())
    whole = near.cost_of_set(master, free, everyone, fine=True)
    if whole is None:
        return {}
    found = {}
    for position in near.supply.by_season(np.flatnonzero(trees[near.keep])).tolist():
        if not near.limits.standing.get(near.supply.cultivars[position].name):
            least = near.least_of_set(master, everyone - {position}, asked_above=(1 + LARGE_LOSS) * whole)
            if np.isfinite(least):
                found[int(near.keep[position])] = max(0.0, least - whole)
    return found


def why(
    supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, service: Service, at: int
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


def nearby(found: Found) -> Index:
    """The chosen, and of the others those that came nearest."""
    order = np.lexsort((np.arange(found.dearer.size), -found.relaxed, np.round(found.dearer, 6)))
    newcomers = [int(at) for at in order if found.trees[at] == 0][:NEWCOMERS]
    return np.sort(np.concatenate([np.flatnonzero(found.trees), newcomers]).astype(np.int64))


def alternatives(near: Nearby, trees: Index, losses: dict[int, float]) -> tuple[Alternative, ...]:
    """Plans with one or two cultivars changed that cost least more, each with its best numbers over all years.

    No other costs less than the last of them by more than the gap: what lies within that is not told apart.
    """
    place = {int(at): position for position, at in enumerate(near.keep)}
    members = frozenset(np.flatnonzero(trees[near.keep]).tolist())
    master = near.master(near.limits, near.useful)
    best = near.cost_of_set(master, near.limits, members)
    if best is None:
        return ()
    names = [row.name for row in near.supply.cultivars]
    stays = near.limits.stays(near.supply)
    going = [place[at] for at in sorted(losses, key=lambda at: (losses[at], at)) if not stays[place[at]]]
    weakest = going[:WEAKEST]
    come = sorted(set(range(near.keep.size)) - members)
    others = [members - {at} for at in weakest] + [members | {at} for at in come]
    others += [(members - {at}) | {other} for at in weakest for other in come]
    tried: list[tuple[float, list[int], list[int]]] = []
    least = [near.least_of_set(master, other) for other in others]
    for number in np.argsort(least, kind="stable"):
        if (
            len(tried) >= ALTERNATIVES
            and least[number] > best + sorted(tried)[ALTERNATIVES - 1][0] - GAP * best
        ):
            break  # nor can one of those behind it be better by more than the plan itself is known to
        other = others[number]
        cost = near.cost_of_set(master, near.limits, other, beside=best)
        if cost is not None:
            tried.append((cost - best, sorted(members - other), sorted(other - members)))
    tried.sort()
    return tuple(
        Alternative(tuple(names[at] for at in out), tuple(names[at] for at in into), max(0.0, cost))
        for cost, out, into in tried[:ALTERNATIVES]
    )


def worth_of_more(near: Nearby, trees: Index, *, cellar_per_area: float | None) -> tuple[Worth, ...]:
    """What 50 more trees (of a few a fifth), more cellar and one more pressing day would bring, each solved again.

    The cultivars stay, their numbers may change.

    Parameters
    ----------
    cellar_per_area : [kg/m2] fruit the cellar holds on a square metre, where the plan says its floor
    """
    numbers = trees[near.keep].astype(float)
    planted = (numbers > 0).astype(float)
    members = frozenset(np.flatnonzero(numbers).tolist())
    base = replace(near.limits, must_have=(), places=int(trees.sum()))
    today = near.cost_of_set(near.master(base, near.useful), base, members)
    found = []

    def told(more: More, by: float, cost: float | None) -> None:
        if today is not None and cost is not None:
            found.append(Worth(more, by, max(0.0, today - cost)))

    def solved_anew(changed: Limits) -> float:
        """Other limits of cellar and press change the years themselves: what was learnt holds in other proportions."""
        stood = near.years.bases(np.flatnonzero(numbers))
        years = Years(near.supply, near.needs, changed, threads=near.years.threads, bases=stood)
        master = Master(near.supply, changed, near.useful, np.arange(near.supply.years.size), of_sets=True)
        known = near.years.cuts
        assert known is not None
        amounts = (amounts_of(near.needs, limits) for limits in (near.limits, changed))
        master.know(known.for_amounts(*amounts), [(numbers, planted)])
        inside = np.flatnonzero(numbers)
        master.restrict(inside, np.setdiff1d(np.arange(near.keep.size), inside))
        return in_fractions(master, years, changed, (numbers, planted), SET_GAP)[0]

    few = max(1, round(base.places / OF_TREES))
    more_trees = replace(base, places=base.places + min(MORE_TREES, few))
    cost = near.cost_of_set(near.master(more_trees, near.useful), more_trees, members)
    told(More.TREES, float(min(MORE_TREES, few)), cost)
    if (numbers >= near.limits.most_trees).any():
        raised = replace(base, most_trees=base.most_trees + min(MORE_OF_ONE, few))
        cost = near.cost_of_set(near.master(raised, near.useful), raised, members)
        told(More.MOST, float(min(MORE_OF_ONE, few)), cost)
    cellar, press = near.years.room_prices(numbers)

    def of_room(more: More, by: float, saves: Array, changed: Limits) -> None:
        """`saves` (years,) at the most. Less than can be told apart is nothing, and need not be sought."""
        if today is not None and cost_of(saves, base, np.zeros(numbers.size)) <= SET_GAP * today:
            told(more, by, today)
        else:
            told(more, by, solved_anew(changed))

    if base.cellar is not None:
        how, by = More.CELLAR, MORE_CELLAR
        room = MORE_CELLAR * base.cellar
        if cellar_per_area is not None:
            how, by = More.CELLAR_FLOOR, MORE_FLOOR
            room = MORE_FLOOR * cellar_per_area
        of_room(how, by, cellar * room, replace(base, cellar=base.cellar + room))
    if base.press_week is not None:
        room = MORE_PRESS * base.press_week
        of_room(More.PRESS, MORE_PRESS, press * room, replace(base, press_week=base.press_week + room))
    return tuple(found)


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
