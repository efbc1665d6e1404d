"""How many grafts to start, so that the trees wanted are there in time.

A graft becomes a good tree when it takes, lives through the winter and the lifting, makes the grade and survives
the transplanting. The number started is the smallest that yields the trees wanted with a stated chance. Grafts of
one scion lot fail together, so the count of good trees is beta-binomial: with correlation rho between two grafts of
a lot it has alpha = p (1/rho - 1) and beta = (1 - p)(1/rho - 1); rho = 0 is the binomial.

All curves use the waiting time: the n-th good tree comes from the N-th graft with probability
C(N-1, n-1) B(n + alpha, N - n + beta) / B(alpha, beta), so the chance of enough is its running sum over N.
"""

from dataclasses import dataclass
from math import prod

import numpy as np
import numpy.typing as npt
from scipy.special import betaln, gammaln, xlog1py, xlogy

Floats = npt.NDArray[np.float64]
Integers = npt.NDArray[np.int64]


class OutOfReach(ValueError):
    """No sensible number of grafts reaches the chance."""


_LONGEST = 40_000  # grafts of one cultivar; beyond it a plan asks for trees that cannot be raised this way
_FINE = (
    1500  # grafts to spare up to which the joint start is exact; beyond it goes in steps of several grafts
)


def chain_success(take: float, overwinter: float, grade: float, transplant: float) -> float:
    """Share of grafts that end as good trees in the orchard.

    Parameters
    ----------
    take, overwinter, grade, transplant : float
        Share that survives each step. [-]

    Raises
    ------
    ValueError
        When a share is not between 0 and 1.
    """
    steps = {"take": take, "overwinter": overwinter, "grade": grade, "transplant": transplant}
    for name, share in steps.items():
        if not 0 < share <= 1:
            raise ValueError(f"{name} is {share}; it is a share above 0 and at most 1")
    return prod(steps.values())


def chance_curve(wanted: int, success: float, most: int, correlation: float = 0.0) -> Floats:
    """Chance of at least `wanted` good trees from 0, 1, ... `most` grafts.

    Parameters
    ----------
    wanted : int
        Good trees wanted.
    success : float
        Share of grafts that become good trees. [-]
    most : int
        Last number of grafts on the curve.
    correlation : float
        Between two grafts of one scion lot, 0 to below 1. [-]

    Returns
    -------
    ndarray
        Chances, shape (most + 1,). [-]
    """
    _check(success, correlation)
    curve = np.zeros(most + 1)
    if wanted <= 0:
        return curve + 1.0
    if most < wanted:
        return curve
    started = np.arange(wanted, most + 1, dtype=float)
    ways = gammaln(started) - gammaln(wanted) - gammaln(started - wanted + 1)
    if correlation == 0:
        log_chance = ways + xlogy(wanted, success) + xlog1py(started - wanted, -success)
    else:
        alpha, beta = lot_parameters(success, correlation)
        log_chance = ways + betaln(wanted + alpha, started - wanted + beta) - betaln(alpha, beta)
    curve[wanted:] = np.minimum(np.cumsum(np.exp(log_chance)), 1.0)
    return curve


def lot_parameters(success: float, correlation: float) -> tuple[float, float]:
    """Alpha and beta of the success share of a scion lot with this mean and correlation."""
    weight = 1 / correlation - 1
    return success * weight, (1 - success) * weight


def chance_of_enough(wanted: int, started: int, success: float, correlation: float = 0.0) -> float:
    """Chance that `started` grafts give at least `wanted` good trees. [-]"""
    return float(chance_curve(wanted, success, started, correlation)[started])


def smallest_start(wanted: int, success: float, chance: float, correlation: float = 0.0) -> int:
    """Fewest grafts that give `wanted` good trees with at least `chance`.

    Raises
    ------
    OutOfReach
        When no number below 40,000 does.
    """
    if not 0 < chance < 1:
        raise ValueError(f"chance is {chance}; it lies between 0 and 1, for instance 0.95")
    if wanted <= 0:
        return 0
    most = int(1.3 * wanted / success) + 20
    while most <= _LONGEST:
        curve = chance_curve(wanted, success, most, correlation)
        if curve[-1] >= chance:
            return int(np.searchsorted(curve, chance))
        most *= 2
    raise OutOfReach(
        f"{wanted} good trees at a success of {success:.0%} need more than {_LONGEST:,} grafts; "
        "lower the chance asked for, or buy these trees"
    )


@dataclass(frozen=True)
class JointStart:
    """Grafts per cultivar that reach a joint chance at the least cost."""

    started: tuple[int, ...]
    chance_each: tuple[float, ...]
    chance: float  # all cultivars together
    cost: float


def least_cost_joint_start(
    wanted: Integers, success: Floats, cost: Floats, *, chance: float, correlation: float = 0.0
) -> JointStart:
    """Grafts per cultivar so that *all* cultivars reach their numbers with `chance`, at the least total cost.

    Exact: the cheapest combination is found by merging, cultivar by cultivar, the list of (cost, log chance) pairs
    none of which is beaten by another. A pair is dropped when its chance has already fallen below the target, when it
    costs more than a known solution, or when no continuation can bring it to the target. Lots of different cultivars
    are independent. Where more than 1,500 grafts are to be shared out it goes in steps of several grafts, still at or
    above the chance.

    Parameters
    ----------
    wanted, success, cost : ndarray
        Good trees wanted, share of grafts that become one, cost of one graft; shape (cultivars,).
    chance : float
        Wanted for all cultivars together. [-]
    correlation : float
        Between two grafts of one scion lot. [-]

    Raises
    ------
    ValueError
        When the arrays differ in length or a cost is not positive.
    """
    if not len(wanted) == len(success) == len(cost):
        raise ValueError("wanted, success and cost need one entry for each cultivar")
    if np.any(np.asarray(cost) <= 0):
        raise ValueError("a graft costs something: every cost has to be above 0")
    if len(wanted) == 0:
        return JointStart((), (), 1.0, 0.0)
    least = [
        smallest_start(int(n), float(p), chance, correlation) for n, p in zip(wanted, success, strict=True)
    ]
    spare, worth = _one_by_one(wanted, success, cost, least, chance, correlation)
    step = max(1, round(spare / float(np.min(cost)) / _FINE))
    if step > 1:
        spare += step * float(np.sum(cost))
    floor = np.log(chance) - 1e-12
    frontier_cost, frontier_log = np.zeros(1), np.zeros(1)
    trail: list[tuple[Integers, Integers]] = []  # by cultivar: the parent pair, and grafts above the least
    options = []
    for index in range(len(wanted)):
        extras = np.arange(0, int(spare / cost[index] + 1e-9) + 1, step)
        most = least[index] + int(extras[-1])
        curve = chance_curve(int(wanted[index]), float(success[index]), most, correlation)
        options.append((extras, np.log(curve[least[index] + extras])))
    # What the cultivars still to come can add at best, when a unit of cost is worth `worth` of log chance: a bound that
    # holds for any worth, and is nearly reached at this one.
    best = [float((log - worth * extras * c).max()) for (extras, log), c in zip(options, cost, strict=True)]
    for index, (extras, log_chance) in enumerate(options):
        to_come = sum(best[index + 1 :])
        total_cost = (frontier_cost[:, None] + extras * cost[index]).ravel()
        total_log = (frontier_log[:, None] + log_chance).ravel()
        hope = total_log + to_come + worth * (spare - total_cost)
        inside = np.flatnonzero((total_cost <= spare + 1e-9) & (total_log >= floor) & (hope >= floor - 1e-9))
        order = inside[np.lexsort((-total_log[inside], np.round(total_cost[inside], 9)))]
        best_so_far = np.maximum.accumulate(total_log[order])
        unbeaten = np.ones(len(order), dtype=bool)
        unbeaten[1:] = total_log[order][1:] > best_so_far[:-1]
        order = order[unbeaten]
        if len(order) == 0:
            raise OutOfReach(
                f"no number of grafts brings all cultivars through with a chance of {chance:.2%}"
            )
        frontier_cost, frontier_log = total_cost[order], total_log[order]
        trail.append((order // len(extras), extras[order % len(extras)]))
    pick, started = 0, [0] * len(wanted)  # the cheapest pair stands first
    for index in range(len(wanted) - 1, -1, -1):
        parents, added = trail[index]
        started[index] = least[index] + int(added[pick])
        pick = int(parents[pick])
    each = tuple(
        chance_of_enough(int(n), s, float(p), correlation)
        for n, s, p in zip(wanted, started, success, strict=True)
    )
    return JointStart(tuple(started), each, prod(each), float(np.dot(started, cost)))


def _one_by_one(
    wanted: Integers, success: Floats, cost: Floats, least: list[int], chance: float, correlation: float
) -> tuple[float, float]:
    """Cost above the least numbers of a good joint start, and the log chance its last unit of cost gained.

    Always one graft more where it gains most for its cost.
    """
    room = 60 + 4 * max(least)
    logs = [
        np.log(chance_curve(int(n), float(p), first + room, correlation)[first:])
        for n, p, first in zip(wanted, success, least, strict=True)
    ]
    extra = np.zeros(len(wanted), dtype=np.int64)
    gain = np.array([(log[1] - log[0]) / c for log, c in zip(logs, cost, strict=True)])
    reached = float(sum(log[0] for log in logs))
    worth = float(gain.max())
    while reached < np.log(chance) and extra.max() < room - 1:
        index = int(np.argmax(gain))
        worth = float(gain[index])
        log, at = logs[index], int(extra[index])
        reached += float(log[at + 1] - log[at])
        extra[index] += 1
        gain[index] = (log[at + 2] - log[at + 1]) / cost[index]
    return float(np.dot(extra, cost)), worth


def lot_shares(
    random: np.random.Generator, success: npt.ArrayLike, correlation: float, shape: tuple[int, ...]
) -> Floats:
    """Success share of each scion lot, drawn; all equal to `success` where there is no correlation."""
    mean = np.asarray(success, dtype=float)
    if correlation == 0:
        return np.broadcast_to(mean, shape).copy()
    weight = 1 / correlation - 1
    certain = mean >= 1
    good, bad = np.where(certain, 1.0, mean) * weight, np.where(certain, 1.0, 1 - mean) * weight
    drawn = random.beta(good, bad, size=shape)
    return np.where(certain, 1.0, drawn) if certain.any() else drawn


def _check(success: float, correlation: float) -> None:
    if not 0 < success <= 1:
        raise ValueError(f"success is {success}; it is a share above 0 and at most 1")
    if not 0 <= correlation < 1:
        raise ValueError(f"correlation is {correlation}; it lies from 0 to below 1")
    if correlation and success == 1:
        raise ValueError("a success of 100 % leaves nothing for lots to differ in; use a correlation of 0")
