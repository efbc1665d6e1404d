"""The cheaper way: fewer grafts in spring, spare stocks in a pool, and the failures budded again in August.

A bench graft that fails in spring leaves a living stock that can be budded in August, to whichever cultivar is
short. Such a tree is a season younger than its neighbours. How the pool's stocks are shared out hangs on all cultivars
at once and has no closed form: spring and pool are drawn with a stated seed, and what becomes of each cultivar's trees
after that is worked out (`fates`).
"""

from dataclasses import dataclass, replace
from math import prod

import numpy as np

from topwire.nursery.fates import by_lot, fates, lots_of_buds
from topwire.nursery.starts import Floats, Integers, OutOfReach, lot_shares, smallest_start

_DRAWN = 20_000  # springs drawn for what an order comes to
_MORE = 200  # spares added at most to make good what luck in the search has hidden


@dataclass(frozen=True)
class Rates:
    """Shares of the steps, and what they cost. Costs are for one, in the plan's currency."""

    take: Floats  # (cultivars,) bench grafts that take
    bud_take: float  # August buds that take
    rest: float  # of live trees, those that winter, make the grade and are transplanted well
    stock_lives: float  # stocks of failed grafts fit to be budded in August
    correlation: float  # between two grafts of one scion lot
    graft_cost: Floats  # (cultivars,) stock, wood, work and care of one bench graft
    spare_cost: float  # a stock without graft: stock, lining out, care
    bud_cost: float  # wood and work of one August bud


@dataclass(frozen=True)
class SparePlan:
    """Grafts in spring, spare stocks, and what comes of them."""

    started: tuple[int, ...]
    spares: int
    chance: float  # all cultivars reach their numbers, the late trees counted
    error: float  # standard error of `chance`
    each: tuple[float, ...]  # the same for each cultivar
    missing: float  # mean number of trees missing where not all are there
    buds: float  # mean number of August buds
    late_trees: float  # mean number of trees a season younger
    cost: float  # mean

    def reaches(self, chance: float) -> bool:
        """One standard error above, so that it is not luck."""
        return self.chance >= min(1.0, chance + self.error)


def cheapest_spare_plan(
    wanted: Integers, rates: Rates, *, chance: float, nurseries: int | None = None, seed: int = 7
) -> SparePlan | None:
    """Cheapest plan of spring grafts and spare stocks that reaches the joint `chance`; None where none is found.

    Spring grafts are set for each cultivar at one common chance of its own; for each such level the fewest spare
    stocks are sought by halving over 1,500 springs drawn (fewer with more than forty cultivars); of the plan found,
    over more springs, until it is sure of the chance.
    """
    nurseries = nurseries or int(np.clip(60_000 / len(wanted), 300, 1500))
    try:
        tables = _august_tables(wanted, rates, chance)
    except OutOfReach:
        return None
    best: SparePlan | None = None
    for level in (0.4, 0.6, 0.8):
        started = np.array(
            [
                smallest_start(int(n), float(take) * rates.rest, level, rates.correlation)
                for n, take in zip(wanted, rates.take, strict=True)
            ],
            dtype=np.int64,
        )
        drawn = _Nurseries(wanted, started, rates, tables, seed, (nurseries, len(wanted)))
        low, high = 0, int(np.sum(wanted)) + 20
        found = None
        while low <= high:
            middle = (low + high) // 2
            plan = drawn.with_spares(middle)
            if plan.reaches(chance):
                found, high = plan, middle - 1
            else:
                low = middle + 1
        if found is not None and (best is None or found.cost < best.cost):
            best = found
    if best is None:
        return None
    more = _Nurseries(wanted, np.array(best.started), rates, tables, seed + 1, (_DRAWN, len(wanted)))
    for spares in range(best.spares, best.spares + _MORE + 1, max(1, best.spares // 50)):
        plan = more.with_spares(spares)
        if plan.reaches(chance):
            return plan
    return None


def outcome(
    wanted: Integers,
    started: Integers,
    spares: int,
    rates: Rates,
    chance: float,
    seed: int,
    hit: Floats,
) -> SparePlan:
    """What an order with a pool comes to; August buds are set so that `chance` is reached.

    Parameters
    ----------
    hit : ndarray
        Factor on the share of grafts that take, shape (nurseries, cultivars).
    """
    struck = replace(rates, take=rates.take * hit)
    tables = _august_tables(wanted, rates, chance)
    return _Nurseries(wanted, started, struck, tables, seed, hit.shape).with_spares(spares)


def without_pool(wanted: Integers, started: Integers, rates: Rates) -> SparePlan:
    """What grafts alone come to, exactly: no cultivar waits for what another leaves."""
    each, missing = [], 0.0
    for trees, grafts, take in zip(wanted, started, rates.take, strict=True):
        live = by_lot(np.array([grafts]), int(grafts), float(take), rates.correlation)[0]
        fate = fates(int(trees), np.arange(int(grafts) + 1), np.ones((1, 1)), rates.rest)
        each.append(float(live @ fate.enough[:, 0]))
        missing += float(live @ fate.missing[:, 0])
    chance = prod(each)
    cost = _cost(started, 0, 0.0, rates)
    whole = tuple(int(n) for n in started)
    return SparePlan(whole, 0, chance, 0.0, tuple(each), _when_short(missing, chance), 0.0, 0.0, cost)


def _august_tables(wanted: Integers, rates: Rates, chance: float) -> tuple[Integers, Integers]:
    """Live trees each cultivar needs in August, and buds to set for 0, 1, 2 ... live trees missing."""
    sure = 1 - (1 - chance) / (4 * len(wanted))
    needed = np.array([smallest_start(int(n), rates.rest, sure) for n in wanted], dtype=np.int64)
    buds = [smallest_start(n, rates.bud_take, sure, rates.correlation) for n in range(int(needed.max()) + 1)]
    return needed, np.array(buds, dtype=np.int64)


class _Nurseries:
    """Nurseries drawn up to August, and what becomes of each cultivar's trees by its living grafts and its buds."""

    def __init__(
        self,
        wanted: Integers,
        started: Integers,
        rates: Rates,
        tables: tuple[Integers, Integers],
        seed: int,
        shape: tuple[int, ...],
    ) -> None:
        random = np.random.default_rng(seed)
        live = random.binomial(
            np.broadcast_to(started, shape), lot_shares(random, rates.take, rates.correlation, shape)
        )
        needed, buds_for = tables
        self._started, self._rates = started, rates
        self._stocks = random.binomial((started - live).sum(axis=1), rates.stock_lives)
        self._wish = buds_for[np.maximum(needed - live, 0)]
        first, last, most = live.min(axis=0), live.max(axis=0), self._wish.max(axis=0)
        self._row = live - first  # in the tables of fates
        late_trees = lots_of_buds(int(most.max(initial=0)), rates.bud_take, rates.rest, rates.correlation)
        self._fates = [
            fates(trees, np.arange(low, high + 1), late_trees[: buds + 1], rates.rest)
            for trees, low, high, buds in zip(
                wanted.tolist(), first.tolist(), last.tolist(), most.tolist(), strict=True
            )
        ]

    def with_spares(self, spares: int) -> SparePlan:
        """What the order comes to with so many stocks to spare."""
        buds = _share_out(self._wish, spares + self._stocks)
        nurseries = len(buds)
        all_there, missing, late = np.ones(nurseries), 0.0, 0.0
        each = []
        for number, fate in enumerate(self._fates):
            at = self._row[:, number] * fate.enough.shape[1] + buds[:, number]  # of the tables row by row
            there = fate.enough.ravel()[at]
            all_there *= there
            each.append(float(there.mean()))
            missing += float(fate.missing.ravel()[at].mean())
            late += float(fate.late.ravel()[at].mean())
        chance = float(all_there.mean())
        budded = float(buds.sum(axis=1).mean())
        return SparePlan(
            tuple(int(n) for n in self._started),
            spares,
            chance,
            float(all_there.std()) / nurseries**0.5,
            tuple(each),
            _when_short(missing, chance),
            budded,
            late,
            _cost(self._started, spares, budded, self._rates),
        )


def _when_short(missing: float, chance: float) -> float:
    """Mean number of trees missing where some are, out of that over all nurseries."""
    return missing / (1 - chance) if chance < 1 else 0.0


def _cost(started: Integers, spares: int, buds: float, rates: Rates) -> float:
    return float(np.dot(started, rates.graft_cost)) + spares * rates.spare_cost + buds * rates.bud_cost


def _share_out(wish: Integers, stocks: Integers) -> Integers:
    total = wish.sum(axis=1)
    share = np.minimum(1.0, stocks / np.maximum(total, 1))
    buds = np.floor(wish * share[:, None]).astype(np.int64)
    left = np.minimum(stocks, total) - buds.sum(axis=1)
    room = wish - buds
    before = np.cumsum(room, axis=1) - room
    topped: Integers = buds + np.clip(left[:, None] - before, 0, room)
    return topped
