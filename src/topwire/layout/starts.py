"""Plantings a search begins from: the last layout where there is one, else orders of harvest, the catalogue, chance."""

import numpy as np
import numpy.typing as npt

from topwire.layout.planner import Order, Planner
from topwire.layout.stand import EMPTY

Index = npt.NDArray[np.int64]

DRAWN = 60  # orders weighed before the search
NOISE = (
    0.1,
    0.2,
    0.4,
    2.0,
)  # chance in an order, as a share of the harvest's span: from nearly ripe-by-ripe to none
WIDEST = 40  # trees of one cultivar on end where neighbours in harvest take turns; or two rows of them
TOGETHER = (2, 3, 4, 6, 10)  # cultivars that take turns
KEPT_SHARE = 0.5  # of the trees that have to be in the last layout for it to be a start


def starting_plantings(planner: Planner, *, seed: int, most: int) -> list[Index]:
    """The `most` best plantings of many drawn ones, the best first; the last layout alone where there is one."""
    last = from_last(planner)
    if last is not None:
        return [last]
    random = np.random.default_rng((seed, 1))
    kinds = [kind for kind in range(planner.kinds.trees.size) if planner.kinds.trees[kind] > 0]
    weeks = np.array([_middle(row) for row in planner.kinds.ripe])
    span = float(np.ptp(weeks[kinds])) if kinds else 0.0
    by_harvest = sorted(kinds, key=lambda kind: (weeks[kind], kind))
    orders = [planner.in_order(kinds), planner.in_order(by_harvest)]
    ways = [
        (together, widest) for together in TOGETHER for widest in sorted({WIDEST, 2 * _row_of_trees(planner)})
    ]
    orders += [_in_turn(planner, planner.in_order(by_harvest), *way) for way in ways]
    for number in range(DRAWN):
        drawn = weeks + random.normal(0.0, 1.0, weeks.size) * span * NOISE[number % len(NOISE)]
        order = planner.in_order(sorted(kinds, key=lambda kind: float(drawn[kind])))
        turn = number // len(NOISE)
        orders.append(_in_turn(planner, order, *ways[turn // 2 % len(ways)]) if turn % 2 else order)
    weighed = []
    for number, order in enumerate(orders):
        kind = planner.laid(order)
        planner.hold(kind)
        weighed.append((planner.total, number, kind))
    weighed.sort(key=lambda item: item[:2])
    return [kind for _, _, kind in weighed[:most]]


def _middle(ripe: npt.NDArray[np.bool_]) -> float:
    weeks = np.flatnonzero(ripe)
    return float(weeks.mean()) if weeks.size else float(ripe.size)


def _row_of_trees(planner: Planner) -> int:
    """Free places of the middle row."""
    return int(np.median(np.bincount(planner.stand.row)[np.unique(planner.stand.row)]))


def _in_turn(planner: Planner, order: Order, together: int, widest: int) -> Order:
    """Wide plantings in parts of `widest` trees, those of `together` donors of one another taking turns.

    No tree is then far from another cultivar. Whoever stands next in the order and serves all of a group joins it, else
    simply the next.
    """
    left = list(order)
    found: list[tuple[int, int]] = []
    while left:
        group = [left.pop(0)]
        while left and len(group) < together:
            serving = (
                at
                for at, (kind, _) in enumerate(left)
                if all(planner.is_donor(kind, own) and planner.is_donor(own, kind) for own, _ in group)
            )
            group.append(left.pop(next(serving, 0)))
        parts = [
            [(kind, len(part)) for part in np.array_split(np.arange(count), -(-count // widest))]
            for kind, count in group
        ]
        deepest = max(len(pieces) for pieces in parts)
        found += [pieces[turn] for turn in range(deepest) for pieces in parts if turn < len(pieces)]
    return tuple(found)


def from_last(planner: Planner) -> Index | None:
    """The last layout with the trees that went taken out and those that came put in; None where little of it is left.

    A tree more is set at the edge of its cultivar, and the runs from there to the nearest free place move up by one:
    but one tree of each of them changes.
    """
    kind = planner.stand.before.copy()
    wanted = planner.kinds.trees
    have = np.bincount(kind[kind != EMPTY], minlength=wanted.size)
    if int(np.minimum(have, wanted).sum()) < KEPT_SHARE * int(wanted.sum()):
        return None
    for what in np.flatnonzero(have > wanted):
        for _ in range(int(have[what] - wanted[what])):
            kind[_to_go(kind, int(what))] = EMPTY
    for what in np.flatnonzero(have < wanted):
        for _ in range(int(wanted[what] - have[what])):
            _put_in(kind, int(what))
    return kind


def _to_go(kind: Index, what: int) -> int:
    """The tree of a cultivar that goes: the last of its shortest run."""
    places = np.flatnonzero(kind == what)
    runs = np.split(places, np.flatnonzero(np.diff(places) > 1) + 1)
    return int(min(runs, key=len)[-1])


def _put_in(kind: Index, what: int) -> None:
    """One more tree of a cultivar, the runs between it and the nearest free place moved by one."""
    free = np.flatnonzero(kind == EMPTY)
    own = np.flatnonzero(kind == what)
    if not own.size:
        kind[free[-1]] = what
        return
    away = np.abs(free[:, None] - own[None])
    place, tree = np.unravel_index(int(np.argmin(away)), away.shape)
    to, at = int(free[place]), int(own[tree])
    if to > at:
        kind[at + 2 : to + 1] = kind[at + 1 : to]
        kind[at + 1] = what
    else:
        kind[to : at - 1] = kind[to + 1 : at]
        kind[at - 1] = what
