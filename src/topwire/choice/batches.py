"""Early and late batches: which trees go into which planting autumn.

The numbers of the plan stand. What is decided is the autumn: a linear programme over a few weather years and every
calendar year from the first planting to the last full crop, with the crop a leaf bears. Fractions are then made whole:
of a cultivar none, at least the fewest trees, or all it has.
"""

from collections.abc import Sequence
from math import ceil

import numpy as np
import numpy.typing as npt

from topwire.choice.findings import Batch, Batches
from topwire.choice.model import Index, Model
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Array, Donors, Limits
from topwire.choice.service import add_years
from topwire.choice.serving import Service
from topwire.choice.solver import Live, solve
from topwire.choice.supply import CandidateCultivar, Supply
from topwire.choice.years import Years
from topwire.values.traits import Grade, Right

LEAVES = 8  # seven to full crop, and one more for late-bearing scions
SLOW = 1  # leaves a late-bearing scion lags behind (proposal); others are as the table has it
LATER = 0.98  # what a year's service counts beside that of the year before: planning figure, breaks ties
SAMPLE = (0.2, 0.8)  # weather years, from the best served to the worst, that stand for all: planning figure
EARLIER = 1e-3  # [trees] for which a whole batch goes to the earlier autumn where it makes no difference


def bearing(by_leaf: Array, cultivars: Sequence[CandidateCultivar], leaves: int) -> Array:
    """(cultivars, leaves) share of a full crop in leaf 1, 2 and so on; the last of `by_leaf` after its end."""
    late = np.array([SLOW if row.precocity is Grade.LOW else 0 for row in cultivars], dtype=np.int64)
    leaf = np.arange(leaves)[None, :] - late[:, None]
    return np.where(leaf < 0, 0.0, by_leaf[np.clip(leaf, 0, by_leaf.size - 1)])


def cropping(planted: Array, standing: Array, share: Array) -> Array:
    """(years, cultivars) trees in full crop, or parts of them, that the trees planted are worth in each year.

    Parameters
    ----------
    planted : (autumns, cultivars) new trees; standing : (cultivars,), in full from the start
    share : (cultivars, leaves)
    """
    autumns, leaves = planted.shape[0], share.shape[1]
    worth = np.tile(standing, (leaves, 1)).astype(float)
    for autumn in range(autumns):
        worth[autumn:] += (planted[autumn][:, None] * share[:, : leaves - autumn]).T
    return worth


def autumns_needed(raised: int, per_year: int | None, stated: int) -> int:
    """Autumns it takes: those stated, or more where the nursery cannot raise the trees in them."""
    return stated if per_year is None else max(stated, ceil(raised / per_year))


def batches(
    by_leaf: Array,
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    useful: Donors,
    *,
    trees: Index,
    service: Service,
    first: int,
    autumns: int,
    per_year: int | None,
) -> Batches | None:
    """New trees by autumn, for the greatest service before full crop.

    Where one autumn is planned and enough, two of equal size are worked out as advice.

    Parameters
    ----------
    by_leaf : share of a full crop in leaf 1, 2 and so on
    trees : (cultivars,) of the plan; service : that of the full-grown trees
    first : year of the first planting autumn; autumns : as stated
    per_year : trees the nursery can raise for an autumn, bought ones not counted
    """
    there = limits.there(supply)
    keep = np.flatnonzero(trees > there)
    if not keep.size:
        return None
    bearers = np.flatnonzero(trees)
    few = supply.chosen(bearers).in_years(sample_years(service))
    some = limits.some(bearers)
    standing, new = there[bearers], (trees - there)[bearers]
    own = np.array([row.right is Right.FREE for row in few.cultivars])
    raised = int(new[own].sum())
    takes = autumns_needed(raised, per_year, autumns)
    planned = takes > 1
    takes = max(takes, 2)
    counted = own if per_year is not None else np.ones(own.size, dtype=bool)
    room = float(per_year) if planned and per_year is not None else float(ceil(new[counted].sum() / takes))
    share = bearing(by_leaf, few.cultivars, LEAVES + takes - 1)
    wanted = _fractions(few, needs, some, new=new, standing=standing, share=share, counted=counted, room=room,
                        autumns=takes)  # fmt: skip
    planted = _whole(wanted, new, np.minimum(limits.fewest_trees, new), counted, room)
    once = np.zeros_like(planted)
    once[0] = new
    evenly = np.tile(new / takes, (takes, 1))
    years = Years(few, needs, some)
    cost = [_cost(years, cropping(one, standing, share)) for one in (planted, once, evenly)]
    names = [row.name for row in few.cultivars]
    by_now = np.cumsum(planted, axis=0) + standing > 0
    among = useful[np.ix_(bearers, bearers)]
    found = tuple(
        Batch(
            first + at,
            tuple((names[i], int(planted[at, i])) for i in np.flatnonzero(planted[at])),
            int(planted[at, ~own].sum()),
            tuple(names[i] for i in np.flatnonzero(planted[at]) if not among[by_now[at], i].any()),
        )
        for at in range(takes)
        if planted[at].any()
    )
    return Batches(found, planned, cost[0] - cost[1], cost[2] - cost[0], share.shape[1])


def sample_years(service: Service) -> Index:
    """A well served and a badly served weather year."""
    order = np.argsort(service.short, kind="stable")
    return np.unique(order[np.round(np.array(SAMPLE) * (order.size - 1)).astype(np.int64)])


def _fractions(
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    *,
    new: Array,
    standing: Array,
    share: Array,
    counted: npt.NDArray[np.bool_],
    room: float,
    autumns: int,
) -> Array:
    """(autumns, cultivars) trees, in fractions. The cellar is looked at when the years are served, not here."""
    model = Model()
    planted = [model.add_columns(np.zeros(new.size), high=new) for _ in range(autumns)]
    all_of_it = model.add_rows(new, new)
    for batch in planted:
        model.put(all_of_it, batch, 1.0)
        model.put(model.add_rows(-np.inf, room), batch[counted], 1.0)
    for year in range(share.shape[1]):
        worth = model.add_columns(np.zeros(new.size))
        rows = model.add_rows(standing, standing)  # worth - share of each batch = standing
        model.put(rows, worth, 1.0)
        for autumn, batch in enumerate(planted[: year + 1]):
            model.put(rows, batch, -share[:, year - autumn])
        if (standing > 0).any() or share[:, : year + 1].any():
            add_years(model, supply, needs, limits, trees=worth, counts=LATER**year)
    found = Live(model).solve()
    if found.values is None:
        raise RuntimeError(
            "planting in several autumns has always a solution: the rooms of all hold the trees"
        )
    return np.array([found.values[batch] for batch in planted])


def _whole(wanted: Array, new: Array, fewest: Array, counted: npt.NDArray[np.bool_], room: float) -> Array:
    """The nearest whole batches: none, or at least the fewest of a cultivar. Slivers only where nothing else fits."""
    for least in (fewest, np.minimum(fewest, 1)):
        model = Model()
        trees, off = [], []
        all_of_it = model.add_rows(new, new)
        for at, batch in enumerate(wanted):
            number = model.add_columns(np.full(new.size, EARLIER * at), high=new, whole=True)
            there = model.add_columns(np.zeros(new.size), high=1.0, whole=True)
            away = model.add_columns(np.ones(new.size))
            trees.append(number)
            off.append(away)
            model.put(all_of_it, number, 1.0)
            model.put(model.add_rows(-np.inf, room), number[counted], 1.0)
            for sign in (1.0, -1.0):  # away >= |number - wanted|
                rows = model.add_rows(-sign * batch, np.inf)
                model.put(rows, away, 1.0)
                model.put(rows, number, -sign)
            rows = model.add_rows(np.full(new.size, -np.inf), 0.0)
            model.put(rows, number, 1.0)
            model.put(rows, there, -new)
            rows = model.add_rows(np.zeros(new.size), np.inf)
            model.put(rows, number, 1.0)
            model.put(rows, there, -least)
        found = solve(model, gap=1e-3, most_nodes=2000)
        if found.values is not None:
            return np.round(np.array([found.values[number] for number in trees]))
    raise RuntimeError("single trees always fit: the rooms of all autumns hold them")


def _cost(years: Years, worth: Array) -> float:
    """Weighted kilograms short over all young years, mean over the sample of weather years."""
    every = np.arange(years.supply.years.size)
    return sum(float(years.short(numbers, every)[1].mean()) for numbers in worth)
