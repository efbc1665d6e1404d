"""How sure are we: chosen on half of the weather years, served in the other half, beside three plain rivals."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Donors, Limits
from topwire.choice.result import Proof, Rival
from topwire.choice.search import ROUGH_GAP, Infeasible, find
from topwire.choice.service import WORST_SHARE
from topwire.choice.serving import serve, unavoidable
from topwire.choice.supply import Supply

Index = npt.NDArray[np.int64]

FEWEST_YEARS = 8  # halves shorter than four years prove nothing
# Widely planted apples, most planted first: common knowledge of the trade, no source.
POPULAR = (
    "Gala", "Golden Delicious", "Fuji", "Granny Smith", "Honeycrisp", "McIntosh", "Red Delicious", "Jonagold",
    "Braeburn", "Cripps Pink", "Rome Beauty", "Idared", "Jonathan", "Empire", "Cortland", "Mutsu",
)  # fmt: skip


def prove(supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits, useful: Donors) -> Proof | None:
    """Our way and the rivals' on the years that none of them has seen. None where there are too few years.

    Every second year is chosen on, the others are served: a mixture of early and late years in both halves. What no
    planting could have served is taken off all of them alike.
    """
    count = supply.years.size
    if count < FEWEST_YEARS:
        return None
    chosen_on, served_in = np.arange(0, count, 2), np.arange(1, count, 2)
    seen, unseen = supply.in_years(chosen_on), supply.in_years(served_in)
    plantings: list[tuple[str, Index]] = []
    try:
        plantings.append(("this programme", find(seen, needs, limits, useful, gap=ROUGH_GAP).trees))
        plantings.append(
            (
                "the same programme on one mean year",
                find(seen.mean_year(), needs, limits, useful, gap=ROUGH_GAP).trees,
            )
        )
    except Infeasible:
        return None
    plantings.append(
        ("a few more trees at a time of what the mean year lacks most", greedy(seen, needs, limits))
    )
    plantings.append(("equal numbers of the most planted apples", popular(supply, limits)))
    rivals = []
    given = unavoidable(unseen, needs)
    for name, trees in plantings:
        _, service = serve(unseen, needs, limits, trees)
        short = np.maximum(service.short - given, 0.0)
        worst = np.sort(short)[::-1][: max(1, round(WORST_SHARE * served_in.size))]
        rivals.append(Rival(name, float(short.mean()), float(worst.mean())))
    return Proof(
        tuple(int(year) for year in supply.years[chosen_on]),
        tuple(int(year) for year in supply.years[served_in]),
        tuple(rivals),
    )


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
