"""Loss of one cultivar after planting: its trees gone, all others as they stand. And a limit on it.

The limit: without any one cultivar no more may be missing, in the mean of the weather years, than in the best plan that
heeds no limit and a share of all the kitchen wants. What a year costs without a cultivar is never less than the year's
cuts say of the trees that are left, so that every cut taken there is a condition on the planting (cutting planes,
KELLEY1960): they are brought in as plantings break the limit, first in fractions, then in whole trees. Each search
keeps its own bound, and the bound of the last is one for the limited plan.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from topwire.choice.master import Master, Point
from topwire.choice.model import Index, Model
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Array, Donors, Held, Limits, add_planting
from topwire.choice.search import SMALL, Found, find_among
from topwire.choice.solver import solve
from topwire.choice.years import GAP, TINY, Infeasible, Years
from topwire.values.notice import CannotAnswer, refusal

IN_FRACTIONS = 12  # rounds of conditions from plantings in fractions
IN_WHOLE = 40  # and from whole ones
STEADIEST = 15  # rounds in which the steadiest planting is sought, for the refusal
STEADIEST_GAP = 5e-3
NEAR = 0.01  # share of what may be lost by which many trees may miss the limit; a handful keep it exactly


@dataclass(frozen=True)
class Limited:
    """A plan that keeps its limit of loss, the limits it was found under, conditions included, and what the mean year
    may cost without any one cultivar; None where that is not limited. [weighted kg]"""

    found: Found
    limits: Limits
    most: float | None = None


def wanted_in_all(needs: Sequence[WeeklyNeed]) -> float:
    """What the kitchen wants in a year, each need times its weight. [weighted kg]"""
    return sum(need.weight * need.total for need in needs)


def losses_after(years: Years, trees: Array) -> dict[int, float]:
    """What the mean year loses with the trees of each planted cultivar, the others left as they are. [weighted kg]

    The years' cuts there are kept: they tell much of the best numbers without the cultivar.

    Parameters
    ----------
    trees : (cultivars,)
    """
    there = (trees > TINY).astype(float)
    whole = float(years.ask(trees, there)[0].mean())
    found = {}
    for at in years.supply.by_season(np.flatnonzero(there)):
        left, still = trees.copy(), there.copy()
        left[at] = still[at] = 0.0
        found[int(at)] = max(0.0, float(years.ask(left, still)[0].mean()) - whole)
    return found


def find_within(
    years: Years,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    useful: Donors,
    *,
    gap: float = GAP,
    like: Sequence[Point] = (),
    settled: Callable[[Point], None] = lambda _: None,
) -> Limited:
    """The search with the plan's limit of loss, where it has one.

    Parameters
    ----------
    like : where the years are known, plantings like those that will be asked of
    settled : as `find_among` tells it, the limit left aside

    Raises
    ------
    Infeasible
        When the conditions of the plan cannot all be met, the limit left aside.
    CannotAnswer
        When the limit is what cannot be met.
    """
    found = find_among(years, limits, useful, gap=gap, like=like, settled=settled)
    if limits.most_lost is None:
        return Limited(found, limits)
    every = np.arange(years.supply.years.size)
    may = limits.most_lost * wanted_in_all(needs)
    most = float(years.short(found.trees.astype(float), every)[0].mean()) + may
    least = np.inf  # worst loss of the steadiest planting seen
    known = years.cuts
    held = limits
    exact = limits.places <= SMALL

    def broken(trees: Array, planted: Array, room: float) -> tuple[Held, ...]:
        nonlocal least
        worst, rows = -np.inf, []
        for at in np.flatnonzero(trees > TINY):
            cost, row = _without(years, trees, planted, int(at), most)
            worst = max(worst, cost)
            if cost > most + room:
                rows.append(row)
        if np.isfinite(worst):
            least = min(least, worst - most + may)
        years.cuts = known  # what was learnt beside the way would only slow the search
        return tuple(rows)

    try:
        for _ in range(0 if exact else IN_FRACTIONS):
            stage = _in_fractions(years, held, useful)
            rows = broken(stage[0], stage[1], NEAR * may)
            if not rows:
                break
            held = replace(held, held=(*held.held, *rows))
        for _ in range(IN_WHOLE):
            if held.held:
                found = find_among(years, held, useful, gap=gap)
                known = years.cuts
            trees = found.trees.astype(float)
            rows = broken(trees, (trees > 0).astype(float), TINY if exact else NEAR * may)
            if not rows:
                return Limited(found, held, most + (TINY if exact else NEAR * may))
            held = replace(held, held=(*held.held, *rows))
    except Infeasible:
        least = min(least, _steadiest(years, limits, useful, most, held.held) + may)
    raise CannotAnswer(
        [
            refusal(
                "choice.loss_limit",
                setting="taste.most_lost",
                asked=limits.most_lost,
                least=least / max(wanted_in_all(needs), TINY),
            )
        ]
    )


def keeps_its_limit(years: Years, limited: Limited, trees: Array) -> bool:
    """Whether another planting keeps the limit too. Parameters: trees (cultivars,) of those of `years`."""
    if limited.most is None:
        return True
    every = np.arange(years.supply.years.size)
    for at in np.flatnonzero(trees > TINY):
        left = np.where(np.arange(trees.size) == at, 0.0, trees)
        if float(years.short(left, every)[0].mean()) > limited.most:
            return False
    return True


def _without(years: Years, trees: Array, planted: Array, at: int, most: float) -> tuple[float, Held]:
    """Mean cost of the years without a cultivar, and the condition that says it may be no more than `most`."""
    left, there = trees.copy(), planted.copy()
    left[at] = there[at] = 0.0
    costs, cuts = years.ask(left, there)
    of_trees, of_planted = cuts.of_trees.mean(axis=0), cuts.of_planted.mean(axis=0)
    of_trees[at] = of_planted[at] = 0.0
    return float(costs.mean()), Held(of_trees, of_planted, most - float(cuts.at_nothing.mean()))


def _steadiest(years: Years, limits: Limits, useful: Donors, most: float, known: tuple[Held, ...]) -> float:
    """By how much `most` has to be raised for a planting that keeps it: the least that was found. [weighted kg]

    A few rounds of the same conditions with the limit itself made least; each planting tried says what it would do.
    """
    rows, best = list(known), np.inf
    whole = limits.places <= SMALL
    for _ in range(STEADIEST):
        model = Model()
        planting = add_planting(model, years.supply, replace(limits, held=()), useful)
        model.cost[0] = np.zeros(planting.trees.size)
        beyond = model.add_columns(1.0)
        for row in rows:
            at = model.add_rows(-np.inf, row.most)
            model.put(at, planting.trees, row.of_trees)
            model.put(at, planting.planted, row.of_planted)
            model.put(at, beyond, -1.0)
        found = solve(model, gap=STEADIEST_GAP)
        if found.values is None:
            break
        trees = found.values[planting.trees]
        trees = np.round(trees) if whole else np.where(trees > TINY, trees, 0.0)
        told = [
            _without(years, trees, (trees > 0).astype(float), int(at), most) for at in np.flatnonzero(trees)
        ]
        best = min(best, max((cost for cost, _ in told), default=np.inf) - most)
        if best <= found.objective + STEADIEST_GAP * abs(most):
            break
        rows += [row for cost, row in told if cost > most + found.objective]
    return float(best)


def _in_fractions(years: Years, limits: Limits, useful: Donors) -> tuple[Array, Array]:
    master = Master(years.supply, limits, useful, np.arange(years.supply.years.size))
    assert years.cuts is not None
    master.add(years.cuts)
    stage = master.solve()
    if stage is None:
        raise Infeasible
    return stage.trees, stage.planted


def of_all(losses: dict[int, float], keep: Index) -> dict[int, float]:
    """Losses by the numbers of all cultivars, where they were found among `keep`."""
    return {int(keep[at]): loss for at, loss in losses.items()}
