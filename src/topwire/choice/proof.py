"""How sure are we: chosen on half of the weather years, served in the other half, beside three plain rivals."""

from collections.abc import Callable, Sequence

import numpy as np
import numpy.typing as npt

from topwire.choice.findings import Proof, Rival, Rivalry
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Donors, Limits
from topwire.choice.search import ROUGH_GAP, Infeasible, find
from topwire.choice.service import WORST_SHARE
from topwire.choice.serving import serve, unavoidable
from topwire.choice.supply import Supply

Index = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]

FEWEST_YEARS = 8  # halves shorter than four years prove nothing
# Widely planted apples, most planted first: common knowledge of the trade, no source.
POPULAR = (
    "Gala", "Golden Delicious", "Fuji", "Granny Smith", "Honeycrisp", "McIntosh", "Red Delicious", "Jonagold",
    "Braeburn", "Cripps Pink", "Rome Beauty", "Idared", "Jonathan", "Empire", "Cortland", "Mutsu",
)  # fmt: skip


def prove(supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, useful: Donors) -> Proof | None:
    """Our way and the rivals' in years that none of them has seen. None where there are too few years.

    Every second year is chosen on and the others are served, then the other way round: each year is served once by a
    plan that did not know it. What no planting could have served is taken off all of them alike. A last line shows the
    same programme in the years it was made for: what not knowing the years costs.
    """
    count = supply.years.size
    if count < FEWEST_YEARS:
        return None
    halves = tuple(supply.in_years(np.arange(first, count, 2)) for first in (0, 1))

    def programme(years: Supply) -> Index:
        return find(years, needs, limits, useful, gap=ROUGH_GAP).trees

    def short(trees: Index, years: Supply) -> Floats:
        _, service = serve(years, needs, limits, trees)
        return np.maximum(service.short - unavoidable(years, needs), 0.0)

    ways: tuple[tuple[Rivalry, Callable[[Supply], Index]], ...] = (
        (Rivalry.OURS, lambda seen: programme(seen.with_harder_springs())),
        (Rivalry.MEAN_YEAR, lambda seen: programme(seen.mean_year())),
        (Rivalry.GREEDY, lambda seen: greedy(seen, needs, limits)),
        (Rivalry.POPULAR, lambda seen: popular(seen, limits)),
    )
    rivals = []
    try:
        for way, choose in ways:
            plans = [choose(seen) for seen in halves]
            rivals.append(
                _rival(way, [short(trees, years) for trees, years in zip(plans, halves[::-1], strict=True)])
            )
            if way is Rivalry.OURS:
                known = [short(trees, years) for trees, years in zip(plans, halves, strict=True)]
    except Infeasible:
        return None
    rivals.append(_rival(Rivalry.FORESIGHT, known))
    first, second = (tuple(int(year) for year in half.years) for half in halves)
    return Proof(first, second, tuple(rivals))


def _rival(way: Rivalry, short: Sequence[Floats]) -> Rival:
    years = np.sort(np.concatenate(short))[::-1]
    worst = years[: max(1, round(WORST_SHARE * years.size))]
    return Rival(way, float(years.mean()), float(worst.mean()))


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
    year = supply.mean_year()
    step = max(limits.fewest_trees, limits.places // 30)
    trees = np.zeros(len(year.cultivars), dtype=np.int64)
    start = np.full(len(year.cultivars), 1e-6)  # a trace of every cultivar, so that each has a price
    while trees.sum() + step <= limits.places:
        price = _prices(year, needs, limits, trees + start)
        gain = price * year.crop[0]
        full = trees + step > limits.most_trees
        new = (trees == 0) & ((trees > 0).sum() >= limits.most_cultivars)
        gain[full | new] = -np.inf
        best = int(np.argmax(gain))
        if gain[best] <= 0:
            break
        trees[best] += step
    return trees


def _prices(
    year: Supply, needs: Sequence[WeeklyNeed], limits: Limits, trees: npt.NDArray[np.float64]
) -> npt.NDArray[np.float64]:
    _, service = serve(year, needs, limits, trees)
    return np.asarray(service.fruit_price[0])
