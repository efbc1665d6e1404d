"""The cheaper way: fewer grafts in spring, spare stocks in a pool, and the failures budded again in August.

A bench graft that fails in spring leaves a living stock that can be budded in August, to whichever cultivar is
short. Such a tree is a season younger than its neighbours. The policy has no closed form, so it is simulated with a
stated seed.
"""

from dataclasses import dataclass, replace

import numpy as np

from topwire.nursery.starts import Floats, Integers, OutOfReach, lot_shares, smallest_start

_LAST = 100_000  # nurseries of the last run
_AT_ONCE = 20_000
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
    each: tuple[float, ...]  # the same for each cultivar
    missing: float  # mean number of trees missing where not all are there
    buds: float  # mean number of August buds
    late_trees: float  # mean number of trees a season younger
    cost: float  # mean


def cheapest_spare_plan(
    wanted: Integers, rates: Rates, *, chance: float, nurseries: int | None = None, seed: int = 7
) -> SparePlan | None:
    """Cheapest plan of spring grafts and spare stocks that reaches the joint `chance`; None where none is found.

    Spring grafts are set for each cultivar at one common chance of its own; for each such level the fewest spare
    stocks are sought by halving (1,500 nurseries to search, fewer with more than forty cultivars). The plan found is
    simulated again with 100,000, and has spares added until it is sure of the chance.
    """
    nurseries = nurseries or int(np.clip(60_000 / len(wanted), 300, 1500))
    try:
        tables = _august_tables(wanted, rates, chance)
    except OutOfReach:
        return None
    # One standard error up, so that luck in the search does not choose the plan.
    bar = min(1.0, chance + (chance * (1 - chance) / nurseries) ** 0.5)
    best: SparePlan | None = None
    for level in (0.4, 0.6, 0.8):
        started = np.array(
            [
                smallest_start(int(n), float(take) * rates.rest, level, rates.correlation)
                for n, take in zip(wanted, rates.take, strict=True)
            ],
            dtype=np.int64,
        )
        low, high = 0, int(np.sum(wanted)) + 20
        found = None
        while low <= high:
            middle = (low + high) // 2
            trial = _simulate(wanted, started, middle, rates, tables, nurseries, seed)
            if trial.chance >= bar:
                found, high = trial, middle - 1
            else:
                low = middle + 1
        if found is not None and (best is None or found.cost < best.cost):
            best = found
    if best is None:
        return None
    # Luck in the search is made good by spares, one standard error of the last run up.
    sure = min(1.0, chance + (chance * (1 - chance) / _LAST) ** 0.5)
    spares = best.spares
    hopeless = (
        sure - 4 * (chance * (1 - chance) / _AT_ONCE) ** 0.5
    )  # in the first part of it: the rest is not run
    while True:
        found = simulated(wanted, np.array(best.started), spares, rates, chance, _AT_ONCE, seed + 1)
        if found.chance >= hopeless:
            found = simulated(wanted, np.array(best.started), spares, rates, chance, _LAST, seed + 1)
        if found.chance >= sure or spares > best.spares + _MORE:
            return found if found.chance >= sure else None
        spares += max(1, best.spares // 50)


def simulated(
    wanted: Integers,
    started: Integers,
    spares: int,
    rates: Rates,
    chance: float,
    nurseries: int,
    seed: int,
    hit: Floats | None = None,
) -> SparePlan:
    """What an order comes to, over many nurseries; August buds are set so that `chance` is reached.

    Parameters
    ----------
    hit : ndarray, optional
        Factor on the share of grafts that take, shape (nurseries, cultivars).
    """
    tables = _august_tables(wanted, rates, chance)
    if hit is not None:
        return _simulate(
            wanted, started, spares, replace(rates, take=rates.take * hit), tables, nurseries, seed
        )
    parts = [
        _simulate(wanted, started, spares, rates, tables, min(_AT_ONCE, nurseries - done), seed + done)
        for done in range(0, nurseries, _AT_ONCE)
    ]
    weight = np.array([min(_AT_ONCE, nurseries - done) for done in range(0, nurseries, _AT_ONCE)]) / nurseries

    def mean(name: str) -> float:
        return float(np.dot(weight, [getattr(part, name) for part in parts]))

    short = [1 - part.chance for part in parts]
    missing = float(np.dot(weight * short, [part.missing for part in parts])) / max(
        float(np.dot(weight, short)), 1e-12
    )
    each = np.array([part.each for part in parts]).T @ weight
    return replace(
        parts[0],
        chance=mean("chance"),
        each=tuple(float(share) for share in each),
        missing=missing,
        buds=mean("buds"),
        late_trees=mean("late_trees"),
        cost=mean("cost"),
    )


def _august_tables(wanted: Integers, rates: Rates, chance: float) -> tuple[Integers, Integers]:
    """Live trees each cultivar needs in August, and buds to set for 0, 1, 2 ... live trees missing."""
    sure = 1 - (1 - chance) / (4 * len(wanted))
    needed = np.array([smallest_start(int(n), rates.rest, sure) for n in wanted], dtype=np.int64)
    buds = [smallest_start(n, rates.bud_take, sure, rates.correlation) for n in range(int(needed.max()) + 1)]
    return needed, np.array(buds, dtype=np.int64)


def _simulate(
    wanted: Integers,
    started: Integers,
    spares: int,
    rates: Rates,
    tables: tuple[Integers, Integers],
    nurseries: int,
    seed: int,
) -> SparePlan:
    random = np.random.default_rng(seed)
    shape = (nurseries, len(wanted))
    needed, buds_for = tables
    live = random.binomial(
        np.broadcast_to(started, shape), lot_shares(random, rates.take, rates.correlation, shape)
    )
    failed = (np.asarray(started) - live).sum(axis=1)
    stocks = spares + random.binomial(failed, rates.stock_lives)
    buds = _share_out(buds_for[np.maximum(needed - live, 0)], stocks)
    took = random.binomial(buds, lot_shares(random, rates.bud_take, rates.correlation, shape))
    early = random.binomial(live, rates.rest)
    late = random.binomial(took, rates.rest)
    there = early + late >= wanted
    enough = there.all(axis=1)
    missing = np.maximum(wanted - early - late, 0).sum(axis=1)
    used = np.minimum(np.maximum(wanted - early, 0), late)
    budded = float(buds.sum(axis=1).mean())
    return SparePlan(
        tuple(int(n) for n in started),
        spares,
        float(enough.mean()),
        tuple(float(share) for share in there.mean(axis=0)),
        float(missing[~enough].mean()) if (~enough).any() else 0.0,
        budded,
        float(used.sum(axis=1).mean()),
        float(np.dot(started, rates.graft_cost)) + spares * rates.spare_cost + budded * rates.bud_cost,
    )


def _share_out(wish: Integers, stocks: Integers) -> Integers:
    total = wish.sum(axis=1)
    share = np.minimum(1.0, stocks / np.maximum(total, 1))
    buds = np.floor(wish * share[:, None]).astype(np.int64)
    left = np.minimum(stocks, total) - buds.sum(axis=1)
    room = wish - buds
    before = np.cumsum(room, axis=1) - room
    topped: Integers = buds + np.clip(left[:, None] - before, 0, room)
    return topped
