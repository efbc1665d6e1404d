"""How sure are we: chosen on half of the weather years, served in the other, beside plain rivals of as many trees."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from topwire.choice.asked import ChoiceQuestion
from topwire.choice.at_once import best_in_fractions, build, solve_whole
from topwire.choice.findings import Proof, Rival, Rivalry
from topwire.choice.master import Cuts, cost_of
from topwire.choice.needs import WeeklyNeed
from topwire.choice.numbers import rounded
from topwire.choice.planting import Donors, Limits
from topwire.choice.search import ROUGH_GAP, SMALL, WHOLE_ROUNDS, find_among
from topwire.choice.service import WORST_SHARE
from topwire.choice.serving import unavoidable
from topwire.choice.supply import Supply
from topwire.choice.year import YearProgramme
from topwire.choice.years import Infeasible, Years
from topwire.values.terms import Risk

Index = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]

SPLITS = (1, 2)  # years in a block that goes to one half: two ways to halve them
ROUNDS = 1  # of whole decisions among all cultivars for our plan of a half
# Plans are served one way after the other: those of one way are much alike, so that a year is soon solved on from one
# to the next. The order is that of the fewest steps, as measured on the larger example.
SERVED = (
    Rivalry.OURS, Rivalry.FORESIGHT, Rivalry.OTHER_RISK, Rivalry.POPULAR, Rivalry.GREEDY, Rivalry.MEAN_YEAR,
)  # fmt: skip
MOST_NODES = 10  # of the search for the mean year: on the larger example ten find what two hundred find
FEWEST_YEARS = 8  # halves shorter than four years prove nothing
# Widely planted apples, most planted first: common knowledge of the trade, no source.
POPULAR = (
    "Gala", "Golden Delicious", "Fuji", "Granny Smith", "Honeycrisp", "McIntosh", "Red Delicious", "Jonagold",
    "Braeburn", "Cripps Pink", "Rome Beauty", "Idared", "Jonathan", "Empire", "Cortland", "Mutsu",
)  # fmt: skip


def prove(asked: ChoiceQuestion, cuts: Cuts | None = None) -> Proof:
    """Our way and the rivals' in years that none of them has seen. No rivals where there are too few years.

    The years are halved in several ways; each half is chosen on and the other one served. Every rival is brought to as
    many trees as ours; one that plants nothing is left out. What no planting could have served is taken off all of them
    alike. A last line shows our plans in the years they were made for: what not knowing the years costs.

    Our plan of a half is left as soon as more rounds would only make surer that it is good: measured on the two larger
    examples, in the years it was made for it costs 0.03 and 0.1 % more than with three times the rounds.

    Parameters
    ----------
    cuts : what the search learnt of the years, of those weighed once more with harder frost too
    """
    supply, needs, limits, useful = asked.supply, asked.needs, asked.limits, asked.useful
    count = supply.years.size
    if not provable(supply):
        return Proof(count, 0, ())
    years = Years(supply.with_harder_springs(), needs, limits)
    years.cuts = cuts
    try:
        plans = [plan for block in SPLITS for plan in _plans(years, supply, needs, limits, useful, block)]
    except Infeasible:
        return Proof(count, 0, ())
    lost, rivals = unavoidable(supply, needs), {}
    for way in SERVED:
        mine = [plan for plan in plans if plan.way is way]
        if len(mine) == 2 * len(SPLITS):
            served = _valued(years, mine, limits, lost)
            rivals[way] = _rival(way, [served[at : at + 2] for at in range(0, len(served), 2)])
    return Proof(count, len(SPLITS), tuple(rivals[way] for way in Rivalry if way in rivals))


def provable(supply: Supply) -> bool:
    """Whether there are years enough to halve."""
    return supply.years.size >= FEWEST_YEARS


@dataclass(frozen=True)
class _Served:
    """A plan in one half: its trees, what is avoidably short in each year, and the full measure."""

    trees: int
    short: Floats
    measure: float


@dataclass(frozen=True)
class _Plan:
    """Trees chosen one way, and the weather years they are to be served in."""

    way: Rivalry
    trees: Index
    years: Index


def _plans(
    years: Years, supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, useful: Donors, block: int
) -> list[_Plan]:
    """Every way on both halves of one split: blocks of so many years go to the one and the other in turn."""
    side = (np.arange(supply.years.size) // block) % 2
    found: list[_Plan] = []
    for first in (0, 1):
        seen = np.flatnonzero(side == first)
        harder = supply.years.size + np.flatnonzero(
            np.isin(years.supply.years[supply.years.size :], supply.years[seen])
        )
        known, unknown = supply.in_years(seen), np.flatnonzero(side != first)
        # What the main search learnt of these years is known here too. That is fair: a cut speaks of one weather year
        # alone, it is true of that year whoever found it, and nothing of the other half's years comes in.
        # A handful of trees is sought to the end; of many a few rounds find what more of them would only make surer.
        which = np.concatenate([seen, harder])
        rounds = WHOLE_ROUNDS if limits.places <= SMALL else ROUNDS
        ours = find_among(years, limits, useful, gap=ROUGH_GAP, which=which, rounds=rounds, rough=True).trees
        found += [_Plan(Rivalry.OURS, ours, unknown), _Plan(Rivalry.FORESIGHT, ours, seen)]
        if limits.places <= SMALL:  # of many trees another search would cost more than it tells
            other = replace(limits, risk=Risk.EVEN if limits.risk is Risk.CAREFUL else Risk.CAREFUL)
            of_other = find_among(years, other, useful, gap=ROUGH_GAP, which=which, rounds=rounds).trees
            found.append(_Plan(Rivalry.OTHER_RISK, of_other, unknown))
        same = replace(limits, places=max(int(ours.sum()), 1), held=())
        found += [
            _Plan(way, scaled(trees, int(ours.sum())), unknown)
            for way, trees in (
                (Rivalry.MEAN_YEAR, for_the_mean_year(known, needs, same, useful)),
                (Rivalry.GREEDY, greedy(known, needs, same)),
                (Rivalry.POPULAR, popular(known, same)),
            )
            if trees.any()
        ]
    return found


def _valued(years: Years, plans: Sequence[_Plan], limits: Limits, lost: Floats) -> list[_Served]:
    """Plans of one way served in their years; what is served already is not served again.

    Parameters
    ----------
    lost : (years,) what none could serve [weighted kg]
    """
    known: dict[tuple[bytes, int], tuple[float, float]] = {}
    served = []
    for plan in plans:
        trees, key = plan.trees.astype(float), plan.trees.tobytes()
        new = np.array([at for at in plan.years.tolist() if (key, at) not in known], dtype=np.int64)
        for at, cost, short in zip(new.tolist(), *years.short(trees, new), strict=True):
            known[key, at] = cost, short
        costs, missing = np.array([known[key, at] for at in plan.years.tolist()]).T
        served.append(
            _Served(
                int(plan.trees.sum()),
                np.maximum(missing - lost[plan.years], 0.0),
                cost_of(costs, limits, trees) - float(lost[plan.years].mean()),
            )
        )
    return served


def scaled(trees: Index, count: int) -> Index:
    """The same planting with `count` trees, parts of trees to the largest remainders."""
    exact = trees * (count / trees.sum())
    whole: Index = np.floor(exact).astype(np.int64)
    rest = np.argsort(-(exact - whole), kind="stable")[: count - int(whole.sum())]
    whole[rest] += 1
    return whole


def _rival(way: Rivalry, splits: Sequence[Sequence[_Served]]) -> Rival:
    means = [float(np.concatenate([half.short for half in split]).mean()) for split in splits]
    years = np.sort(np.concatenate([half.short for split in splits for half in split]))[::-1]
    worst = years[: max(1, round(WORST_SHARE * years.size))]
    halves = [half for split in splits for half in split]
    return Rival(
        way,
        float(np.mean([half.trees for half in halves])),
        float(np.mean(means)),
        (min(means), max(means)),
        float(worst.mean()),
        float(np.mean([half.measure for half in halves])),
    )


def for_the_mean_year(supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, useful: Donors) -> Index:
    """The best trees for one year with the mean crop of all.

    Whole decisions are sought among the cultivars of its best plan in fractions: on the larger example within 0.2 % of
    those among all, in a third of the time. Where these do not do, among all. Of many trees the numbers are parts of
    trees, rounded when they are found: a fifth to a half of the time less, and never a tree of a cultivar apart.

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
    for keep in (np.flatnonzero(best[1] > 1e-6), np.arange(trees.size)):
        few = year.chosen(keep), limits.some(keep)
        programme = build(few[0], needs, few[1], useful[np.ix_(keep, keep)], parts=parts)
        found = solve_whole(programme, *few, gap=ROUGH_GAP, most_nodes=MOST_NODES)
        if found.values is not None:
            trees[keep] = rounded(found.values[programme.planting.trees], few[1]).astype(np.int64)
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
        gain = -(cut.of_trees * step + np.where(trees > 0, 0.0, cut.of_planted))
        full = trees + step > limits.most(supply)
        new = (trees == 0) & ((trees > 0).sum() >= limits.most_cultivars)
        gain[full | new] = -np.inf
        best = int(np.argmax(gain))
        if gain[best] <= 0:
            break
        trees[best] += step
    return trees
