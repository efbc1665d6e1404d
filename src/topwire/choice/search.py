"""Finding the numbers: a bound on the whole problem, then sets of cultivars near it, then their exact service.

1. The full problem (every candidate, week and weather year) with trees that may be fractions gives the bound: no plan
   can do better.
2. The set of cultivars begins with those the relaxed plan leans on. One after another is dropped, added or exchanged
   where that helps, each set with its best numbers of trees (weeks served two by two).
   A handful of trees is solved exactly instead.
3. The best set's numbers are found again with single weeks, rounded to whole trees, and served in every year. What
   that costs, beside the bound, is the gap: it is a true gap on the full problem.

Nothing in it depends on the clock: equal inputs give equal plans.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from topwire.choice.needs import WeeklyNeed
from topwire.choice.pollination import donors_wanted
from topwire.choice.programme import (
    TREE_COST,
    Limits,
    Programme,
    Year,
    add_years,
    build,
    enough_donors,
    heritage,
    none_or_enough,
    number_of_cultivars,
    plant,
    within_the_ground,
)
from topwire.choice.solver import Model, solve
from topwire.choice.supply import TABLE_GRADE, Supply

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]
Donors = npt.NDArray[np.bool_]

SECONDS = 120.0  # for one linear programme, which takes a few; a stop is an error, not an answer
MOST_SETS = 16  # sets of cultivars looked at
SMALL = 60  # [trees] up to which whole numbers are found exactly: there a single tree counts
SMALL_GAP = 0.005
TRIES = 5  # exchanges tried for the weakest cultivar of a set


class Infeasible(Exception):
    """No set of trees meets the plan's conditions."""


@dataclass(frozen=True)
class Found:
    """Numbers of trees with their proof.

    trees : (cultivars,) of the supply given; relaxed : (cultivars,) of the relaxed plan
    reduced_cost : (cultivars,) least loss by one tree of a cultivar the relaxed plan leaves out
    objective, bound : weighted kg a year
    looked_at : sets of cultivars tried on the way, cheapest first, as (members, cost); the first is the one chosen
    """

    trees: Index
    relaxed: Array
    reduced_cost: Array
    objective: float
    bound: float
    looked_at: tuple[tuple[frozenset[int], float], ...] = ()

    @property
    def gap(self) -> float:
        return max(0.0, (self.objective - self.bound) / self.objective) if self.objective > 1e-9 else 0.0


def find(
    supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, useful: Donors, *, most_sets: int = MOST_SETS
) -> Found:
    """Trees of each cultivar.

    Parameters
    ----------
    most_sets : sets of cultivars looked at

    Raises
    ------
    Infeasible
        When the conditions of the plan cannot all be met.
    """
    full = build(supply, needs, limits, useful)
    relaxed = solve(full.model, gap=0.0, seconds=SECONDS, relaxed=True)
    if relaxed.values is None or relaxed.reduced_cost is None:
        raise Infeasible
    fractions = relaxed.values[full.trees]
    reduced = relaxed.reduced_cost[full.trees]
    if limits.places <= SMALL:
        return _exactly(supply, needs, limits, full, fractions, reduced)
    sets = Sets(supply, needs, limits, useful, most_sets)
    best = sets.improve(first_set(supply, limits, useful, fractions, reduced), fractions, reduced)
    trees = sets.whole_trees(best)
    objective, _ = serve(supply, needs, limits, trees)
    tried = [(valued.members, valued.cost) for valued in sets.seen.values() if valued is not None]
    tried.sort(key=lambda item: (item[1], sorted(item[0])))
    return Found(trees, fractions, reduced, objective, relaxed.objective, tuple(tried))


def _exactly(
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    full: Programme,
    fractions: Array,
    reduced: Array,
) -> Found:
    """The full programme with whole numbers, for a handful of trees."""
    found = solve(full.model, gap=SMALL_GAP, seconds=SECONDS)
    if found.values is None:
        raise Infeasible
    trees = np.round(found.values[full.trees]).astype(np.int64)
    objective, _ = serve(supply, needs, limits, trees)
    return Found(trees, fractions, reduced, objective, found.bound)


def first_set(
    supply: Supply, limits: Limits, useful: Donors, fractions: Array, reduced: Array
) -> frozenset[int]:
    """Cultivars the relaxed plan leans on, those that must be there, and donors, within the numbers allowed.

    Raises
    ------
    Infeasible
        When the conditions on sets cannot be met: a small whole-number programme decides that exactly.
    """
    model = Model()
    trees, planted = plant(model, supply, limits)
    within_the_ground(model, trees, limits)
    number_of_cultivars(model, planted, limits)
    none_or_enough(model, supply, trees, planted, limits)
    heritage(model, supply, trees, limits)
    enough_donors(model, planted, useful)
    # the set nearest to the relaxed plan: a cultivar it plants well is worth taking, one it leaves out costs
    worth = np.minimum(fractions / max(limits.fewest_trees, 1), 1.0) - 0.4
    near = np.where(fractions > 0.01, -worth, 0.5 + 1e-4 * reduced)
    near += 1e-7 * np.arange(near.size)  # ties by the catalogue's order
    apart = model.add_columns(np.zeros(fractions.size))  # distance of the numbers from the relaxed plan's
    for sign in (1.0, -1.0):
        rows = model.add_rows(-sign * fractions, np.inf)
        model.put(rows, apart, 1.0)
        model.put(rows, trees, -sign)
    model.cost[0], model.cost[1] = np.zeros(trees.size), near
    model.cost[2] = np.full(apart.size, 1e-3)
    found = solve(model, gap=1e-4, seconds=SECONDS)
    if found.values is None:
        raise Infeasible
    return frozenset(np.flatnonzero(found.values[planted] > 0.5).tolist())


@dataclass(frozen=True)
class Valued:
    """A set of cultivars with its best numbers of trees: `forced` is what the smallest planting of each costs."""

    members: frozenset[int]
    cost: float
    trees: dict[int, float]
    forced: dict[int, float]


class Sets:
    """Sets of cultivars and what they cost, each looked at once."""

    def __init__(
        self, supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, useful: Donors, most: int
    ) -> None:
        self.supply, self.needs, self.limits, self.useful, self.most = supply, needs, limits, useful, most
        self.donors = donors_wanted(useful)
        self.kept = {
            at for at, row in enumerate(supply.cultivars)
            if row.name in limits.must_have or limits.standing.get(row.name)
        }  # fmt: skip
        self.seen: dict[frozenset[int], Valued | None] = {}

    def allowed(self, members: frozenset[int]) -> bool:
        """Numbers within the plan's, nothing dropped that must stay, useful donors enough for each."""
        inside = self.limits.fewest_cultivars <= len(members) <= self.limits.most_cultivars
        who = sorted(members)
        return (
            inside
            and self.kept <= members
            and len(who) * self.limits.fewest_trees <= self.limits.places
            and bool((self.useful[np.ix_(who, who)].sum(axis=0) >= self.donors[who]).all())
        )

    def value(self, members: frozenset[int], *, weeks_together: int = 2) -> Valued | None:
        """The set's best numbers; None where the heritage share or the ground cannot hold it."""
        if weeks_together == 2 and members in self.seen:
            return self.seen[members]
        keep = np.array(sorted(members))
        supply = self.supply.chosen(keep)
        limits = replace(
            part(self.limits, keep),
            must_have=tuple(row.name for row in supply.cultivars),
            fewest_cultivars=1,
            most_cultivars=keep.size,
        )
        programme = build(
            supply, self.needs, limits, self.useful[np.ix_(keep, keep)], weeks_together=weeks_together
        )
        found = solve(programme.model, gap=0.0, seconds=SECONDS, relaxed=True)
        valued = None
        if found.values is not None and found.reduced_cost is not None and found.row_price is not None:
            numbers = found.values[programme.trees]
            # what holding a cultivar at its smallest planting costs: the price of its “enough” row
            enough = found.row_price[programme.enough] * self.limits.fewest_trees
            valued = Valued(
                members,
                found.objective,
                dict(zip(keep.tolist(), numbers.tolist(), strict=True)),
                dict(zip(keep.tolist(), enough.tolist(), strict=True)),
            )
        if weeks_together == 2:
            self.seen[members] = valued
        return valued

    def improve(self, start: frozenset[int], fractions: Array, reduced: Array) -> Valued:
        """Drop, exchange, add, as long as it helps and sets are left to look at."""
        best = self.value(start)
        if best is None:
            raise Infeasible
        outside = np.lexsort((np.arange(reduced.size), -fractions, reduced))
        moved = True
        while moved and len(self.seen) < self.most:
            moved = False
            for members in self._neighbours(best, outside):
                if len(self.seen) >= self.most:
                    break
                if members in self.seen or not self.allowed(members):
                    continue
                other = self.value(members)
                if other is not None and other.cost < best.cost - 1e-6:
                    best, moved = other, True
                    break
        return best

    def _neighbours(self, best: Valued, outside: Index) -> Iterator[frozenset[int]]:
        weakest = sorted(best.members - self.kept, key=lambda at: (-best.forced[at], at))
        newcomers = [int(at) for at in outside if at not in best.members]
        for at in weakest[:TRIES]:
            yield best.members - {at}
        for newcomer in newcomers[:TRIES]:
            yield best.members | {newcomer}
        for at in weakest[:TRIES]:
            for newcomer in newcomers[:TRIES]:
                yield (best.members - {at}) | {newcomer}

    def whole_trees(self, best: Valued) -> Index:
        """Whole numbers for the set, from its numbers with single weeks: nearest ones that keep every condition."""
        exact = self.value(best.members, weeks_together=1) or best
        trees = np.zeros(len(self.supply.cultivars), dtype=np.int64)
        for at, number in exact.trees.items():
            trees[at] = round(number)
        old = np.array([row.heritage for row in self.supply.cultivars])
        least = {at: max(self.limits.standing.get(self.supply.cultivars[at].name, 0), self.limits.fewest_trees)
                 for at in best.members}  # fmt: skip
        while trees.sum() > self.limits.places:
            spare = [at for at in sorted(best.members) if trees[at] > least[at] and not old[at]]
            spare = spare or [at for at in sorted(best.members) if trees[at] > least[at]]
            trees[max(spare, key=lambda at: (trees[at], -at))] -= 1
        while trees[old].sum() < self.limits.heritage_share * trees.sum() - 1e-9:
            heirs = [at for at in sorted(best.members) if old[at] and trees[at] < self.limits.most_trees]
            others = [at for at in sorted(best.members) if not old[at] and trees[at] > least[at]]
            if not heirs or not others:
                break
            trees[max(heirs, key=lambda at: (trees[at], -at))] += 1
            trees[max(others, key=lambda at: (trees[at], -at))] -= 1
        return trees


def part(limits: Limits, keep: Index) -> Limits:
    """The limits for some of the cultivars."""
    return replace(limits, tree_cost=limits.tree_cost[keep])


def unavoidable(supply: Supply, needs: Sequence[WeeklyNeed]) -> Array:
    """Weighted shortfall of weeks that no candidate can reach, whatever is planted: (years,) [weighted kg]."""
    short = np.zeros(supply.years.size)
    kept = {eating: supply.kept(eating=eating) for eating in (True, False)}
    for need in needs:
        fit = np.array([need.served_by(row) for row in supply.cultivars])
        weeks = np.array(need.weeks) - 1
        reached = np.any(kept[need.eaten_fresh][:, fit][:, :, weeks] > 0, axis=1)
        if need.weekly is not None:
            short += need.weight * need.weekly * (~reached).sum(axis=1)
        else:
            short += need.weight * need.total * ~reached.any(axis=1)
    return short


@dataclass(frozen=True)
class Service:
    """What a planting gives: arrays (years, needs, 52) [kg] for needs, others as said.

    short : (years,) weighted kg short; waste : (years,) [kg] picked and never in the kitchen
    fresh : (years, cultivars, 52) [kg] served at table
    given : (years, cultivars, uses of needs) [kg] as picked; stored : (years, 52) [kg] in the cellar
    fruit_price : (years, cultivars) what one more kilogram of a cultivar would save [weighted kg]
    """

    served: Array
    short: Array
    waste: Array
    fresh: Array
    given: Array
    stored: Array
    fruit_price: Array


def serve(supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, trees: Index) -> tuple[float, Service]:
    """Best service of given trees in every weather year, and its cost in the programme's measure."""
    keep = np.flatnonzero(trees)
    few = supply.chosen(keep)
    numbers = trees[keep].astype(float)
    model = Model()
    years = add_years(model, few, needs, limits, fixed=numbers)
    found = solve(model, gap=0.0, seconds=SECONDS, relaxed=True)
    if found.values is None or found.row_price is None:
        raise RuntimeError("serving fixed trees has always a solution: leave all needs open")
    objective = found.objective + TREE_COST * float(limits.tree_cost @ trees)
    return objective, _service(supply, needs, keep, numbers, years, found.values, found.row_price)


def _service(
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    keep: Index,
    numbers: Array,
    years: Sequence[Year],
    values: Array,
    price: Array,
) -> Service:
    count = supply.years.size
    served = np.zeros((count, len(needs), 52))
    fresh = np.zeros((count, len(supply.cultivars), 52))
    given = np.zeros((count, len(supply.cultivars), len(needs)))
    stored = np.zeros((count, 52))
    short, waste = np.zeros(count), np.zeros(count)
    prices = np.zeros((count, len(supply.cultivars)))
    eaten = np.array([need.eaten_fresh for need in needs])
    weight = np.array([need.weight for need in needs])
    for at, year in enumerate(years):
        fruit = values[year.given]
        column = keep[year.cultivar]
        weekly = year.week > 0
        reached = fruit * year.kept
        np.add.at(served[at], (year.need[weekly], year.week[weekly] - 1), reached[weekly])
        for number, need in enumerate(needs):
            if need.weekly is None:
                mine = (year.need == number) & ~weekly
                weeks = np.array(need.weeks) - 1
                served[at, number, weeks] = min(float(reached[mine].sum()), need.total) / weeks.size
        table = weekly & eaten[year.need]
        np.add.at(fresh[at], (column[table], year.week[table] - 1), reached[table])
        np.add.at(given[at], (column, year.need), fruit)
        crop = supply.crop[at, keep] * numbers
        waste[at] = max(0.0, float(crop.sum() - reached.sum()))
        short[at] = float(weight[year.missing_need] @ values[year.missing])
        prices[at, keep] = (price[year.fruit_rows] + TABLE_GRADE * price[year.table_rows]) * count
        _store(stored[at], supply, at, column[weekly], year.week[weekly], fruit[weekly])
    return Service(served, short, waste, fresh, given, stored, prices)


def _store(stored: Array, supply: Supply, year: int, column: Index, week: Index, fruit: Array) -> None:
    """Fruit lies in the cellar from its last picking week to the week before it is served."""
    last = (supply.first[year, column] + supply.picking_weeks[year, column] - 2) % 52 + 1
    lies = (week - last) % 52
    lies = np.where((week - supply.first[year, column]) % 52 < supply.picking_weeks[year, column], 0, lies)
    for step in range(int(lies.max(initial=0))):
        inside = lies > step
        np.add.at(stored, (last[inside] - 1 + step) % 52, fruit[inside])
