"""One order of stocks and wood for all places of a winter: together fewer grafts do than each for itself.

By bench grafts alone, so that all trees are of one age. A place's own plan may count on August buds in failed stocks
and so start fewer; a region that buds in August orders fewer too.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from topwire.many.findings import JointLine, JointWinter, PlaceAnswer
from topwire.nursery.starts import OutOfReach, chance_of_enough, least_cost_joint_start, smallest_start

LARGEST_LOT = (
    4_000  # trees wanted of one lot of scions; larger orders come from several trees' wood, and fail apart
)


@dataclass
class _Wanted:
    """One cultivar on one stock in one winter, over the places."""

    places: int = 0
    trees: int = 0
    grafts: int = 0
    good: float = 0.0  # trees times success


@dataclass
class JointOrders:
    """Takes in one place after the other, and then makes the orders."""

    _wanted: dict[int, dict[tuple[str, str], _Wanted]] = field(default_factory=dict)
    _places: dict[int, int] = field(default_factory=dict)
    _correlation: float = 0.0
    _chance: float = 0.0

    def take(self, answer: PlaceAnswer) -> None:
        planned = answer.planned
        if planned is None:
            return
        lines = [line for line in planned.lines if line.grafted]
        if not lines:
            return
        self._places[planned.winter] = self._places.get(planned.winter, 0) + 1
        self._correlation = max(self._correlation, planned.correlation)
        self._chance = max(self._chance, planned.chance)  # the strictest of the places'
        winter = self._wanted.setdefault(planned.winter, {})
        apart, _ = _start(
            np.array([line.grafted for line in lines]),
            np.array([line.success for line in lines]),
            planned.chance,
            planned.correlation,
        )
        for line, grafts in zip(lines, apart, strict=True):
            one = winter.setdefault((line.cultivar, line.rootstock), _Wanted())
            one.places += 1
            one.trees += line.grafted
            one.grafts += grafts
            one.good += line.grafted * line.success

    def orders(self) -> tuple[tuple[JointWinter, ...], tuple[JointLine, ...]]:
        """By winter; within it by cultivar."""
        winters, lines = [], []
        for winter, wanted in sorted(self._wanted.items()):
            found = list(self._of_winter(winter, dict(sorted(wanted.items()))))
            lines += found
            winters.append(
                JointWinter(
                    winter,
                    self._places[winter],
                    sum(line.trees for line in found),
                    sum(line.grafts for line in found),
                    sum(line.grafts_apart for line in found),
                    float(np.prod([line.chance for line in found])),
                )
            )
        return tuple(winters), tuple(lines)

    def _of_winter(self, winter: int, wanted: dict[tuple[str, str], _Wanted]) -> Iterable[JointLine]:
        lots = [-(-one.trees // LARGEST_LOT) for one in wanted.values()]
        trees = [
            part
            for one, count in zip(wanted.values(), lots, strict=True)
            for part in _shared(one.trees, count)
        ]
        success = np.repeat([one.good / one.trees for one in wanted.values()], lots)
        started, chances = _start(np.array(trees), success, self._chance, self._correlation)
        at = 0
        for ((cultivar, stock), one), count in zip(wanted.items(), lots, strict=True):
            part = slice(at, at + count)
            at += count
            yield JointLine(
                winter,
                cultivar,
                stock,
                one.places,
                one.trees,
                int(sum(started[part])),
                one.grafts,
                float(np.prod(chances[part])),
            )


def _shared(trees: int, lots: int) -> list[int]:
    return [trees // lots + (number < trees % lots) for number in range(lots)]


def _start(
    wanted: np.ndarray, success: np.ndarray, chance: float, correlation: float
) -> tuple[tuple[int, ...], tuple[float, ...]]:
    """Grafts of each lot, and the chance that it brings its trees: all of them with `chance` together."""
    try:
        found = least_cost_joint_start(
            wanted, success, np.ones(wanted.size), chance=chance, correlation=correlation
        )
        return found.started, found.chance_each
    except OutOfReach:  # so many lots that none may fail: each at its share of the chance
        each = chance ** (1.0 / wanted.size)
        started = tuple(
            smallest_start(int(trees), float(share), each, correlation)
            for trees, share in zip(wanted, success, strict=True)
        )
        return started, tuple(
            chance_of_enough(int(trees), grafts, float(share), correlation)
            for trees, grafts, share in zip(wanted, started, success, strict=True)
        )
