"""Plainer ways of choosing on half of the weather years, to be set beside ours: they do not wait for it."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from topwire.choice.asked import ChoiceQuestion
from topwire.choice.at_once import best_in_fractions, build, solve_whole
from topwire.choice.findings import Rivalry
from topwire.choice.needs import WeeklyNeed
from topwire.choice.numbers import rounded
from topwire.choice.planting import Donors, Limits
from topwire.choice.search import ROUGH_GAP, SMALL
from topwire.choice.supply import Supply
from topwire.choice.year import YearProgramme
from topwire.choice.years import Infeasible

Index = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]

SPLITS = (1, 2)  # years in a block that goes to one half: two ways to halve them
MOST_NODES = 10  # of the search for the mean year: on the larger example ten find what two hundred find
# Widely planted apples, most planted first: common knowledge of the trade, no source.
POPULAR = (
    "Gala", "Golden Delicious", "Fuji", "Granny Smith", "Honeycrisp", "McIntosh", "Red Delicious", "Jonagold",
    "Braeburn", "Cripps Pink", "Rome Beauty", "Idared", "Jonathan", "Empire", "Cortland", "Mutsu",
)  # fmt: skip
FEWEST_YEARS = 8  # halves shorter than four years prove nothing


def provable(supply: Supply) -> bool:
    """Whether there are years enough to halve."""
    return supply.years.size >= FEWEST_YEARS


def halves_of(supply: Supply) -> tuple[tuple[Index, Index], ...]:
    """Every half of the years, and the other one: blocks of so many years go to the one and the other in turn."""
    found = []
    for block in SPLITS:
        side = (np.arange(supply.years.size) // block) % 2
        found += [(np.flatnonzero(side == one), np.flatnonzero(side != one)) for one in (0, 1)]
    return tuple(found)


def rivals(
    asked: ChoiceQuestion, before: Sequence[Floats] = ()
) -> tuple[Mapping[Rivalry, Index], ...] | None:
    """Trees chosen on each half in every plainer way; one that plants nothing is left out. None where there are too few
    years, or the conditions of the plan cannot all be met.

    Parameters
    ----------
    before : of each half trees for the mean year of an earlier question, (cultivars,)
    """
    supply, needs, useful = asked.supply, asked.needs, asked.useful
    limits = replace(asked.limits, held=())
    if not provable(supply):
        return None
    found = []
    for number, (seen, _) in enumerate(halves_of(supply)):
        known = supply.in_years(seen)
        earlier = before[number] if number < len(before) else None
        try:
            plans = {
                Rivalry.MEAN_YEAR: for_the_mean_year(known, needs, limits, useful, earlier),
                Rivalry.GREEDY: greedy(known, needs, limits),
                Rivalry.POPULAR: popular(known, limits),
            }
        except Infeasible:
            return None
        found.append({way: trees for way, trees in plans.items() if trees.any()})
    return tuple(found)


def for_the_mean_year(
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    useful: Donors,
    before: Floats | None = None,
) -> Index:
    """The best trees for one year with the mean crop of all, to ROUGH_GAP.

    Whole decisions are sought among the cultivars of its best plan in fractions: on the larger example within 0.2 % of
    those among all, in a third of the time. Where these do not do, among all. Of many trees the numbers are parts of
    trees, rounded when they are found: a fifth to a half of the time less, and never a tree of a cultivar apart.

    Parameters
    ----------
    before : trees for the mean year of an earlier question: their cultivars are taken where they are near enough

    Raises
    ------
    Infeasible
        When the conditions of the plan cannot all be met.
    """
    year = supply.mean_year()
    best = best_in_fractions(year, needs, limits, useful)
    if best is None:
        raise Infeasible
    trees, parts = np.zeros(len(year.cultivars), dtype=np.int64), limits.places > SMALL
    if before is not None and before.any() and parts:
        keep = np.flatnonzero(before > 0)
        few = limits.some(keep)
        same = best_in_fractions(year.chosen(keep), needs, few, useful[np.ix_(keep, keep)], all_planted=True)
        if same is not None and same.cost - best.cost <= ROUGH_GAP * abs(same.cost):
            trees[keep] = rounded(same.trees, few).astype(np.int64)
            return trees
    for keep in (np.flatnonzero(best.planted > 1e-6), np.arange(trees.size)):
        some = year.chosen(keep), limits.some(keep)
        programme = build(some[0], needs, some[1], useful[np.ix_(keep, keep)], parts=parts)
        found = solve_whole(programme, *some, gap=ROUGH_GAP, most_nodes=MOST_NODES)
        if found.values is not None:
            trees[keep] = rounded(found.values[programme.planting.trees], some[1]).astype(np.int64)
            return trees
    raise Infeasible


def popular(supply: Supply, limits: Limits) -> Index:
    """All places in equal numbers of the most planted cultivars among the candidates, a dozen at most."""
    names = [row.name for row in supply.cultivars]
    known = [names.index(name) for name in POPULAR if name in names][:12]
    trees = np.zeros(len(names), dtype=np.int64)
    if known:
        trees[known] = limits.places // len(known)
        trees[known[: limits.places % len(known)]] += 1
    return trees


def greedy(supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits) -> Index:
    """The smallest planting again and again of whatever brings most to the mean year, until the places are full."""
    programme = YearProgramme(supply.mean_year(), needs, limits, 0)
    step = max(limits.fewest_trees, limits.places // 30)
    trees = np.zeros(len(supply.cultivars), dtype=np.int64)
    while trees.sum() + step <= limits.places:
        _, cut = programme.solve(trees.astype(float), (trees > 0).astype(float))
        gain = -(cut.of_trees * step + np.where(trees > 0, 0.0, cut.of_planted.sum(axis=0)))
        full = trees + step > limits.most(supply)
        new = (trees == 0) & ((trees > 0).sum() >= limits.most_cultivars)
        gain[full | new] = -np.inf
        best = int(np.argmax(gain))
        if gain[best] <= 0:
            break
        trees[best] += step
    return trees


def scaled(trees: Index, count: int) -> Index:
    """The same planting with `count` trees, parts of trees to the largest remainders."""
    exact = trees * (count / trees.sum())
    whole: Index = np.floor(exact).astype(np.int64)
    rest = np.argsort(-(exact - whole), kind="stable")[: count - int(whole.sum())]
    whole[rest] += 1
    return whole
