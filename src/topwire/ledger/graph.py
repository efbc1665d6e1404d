"""Tasks that wait for one another and for the ground: the days on which each can be done, worked out from the graph."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

_YEAR = 366


@dataclass(frozen=True)
class Wait:
    """A task another one waits for: until it is done, or only until it has begun."""

    task: str
    begun: bool = False


@dataclass(frozen=True)
class Wish:
    """When a task would be done if nothing stood in its way. Days are whole numbers on one running count.

    Attributes
    ----------
    key : of the task
    start, length : first day, and days from the first to the last
    waits : tasks it waits for
    moves : may be done earlier than wished, so that what waits for it is not held up
    ground : needs open ground
    earliest : first day on which it may be done; None: any
    least : days it takes at least, where `length` gives it more
    """

    key: str
    start: int
    length: int
    waits: tuple[Wait, ...] = ()
    moves: bool = False
    ground: bool = False
    earliest: int | None = None
    least: int = 7


@dataclass(frozen=True)
class Done:
    """When a task is done.

    Attributes
    ----------
    start, end : first and last day
    latest : last day on which it may end without holding up what waits for it; its own end where nothing waits
    slipped : days it starts later than wished, because of what it waits for or of frozen ground
    """

    start: int
    end: int
    latest: int
    slipped: int


class Circle(ValueError):
    """Tasks that wait for one another in a ring."""

    def __init__(self, ring: Sequence[str]) -> None:
        self.ring = tuple(ring)
        super().__init__(f"these tasks wait for one another: {' → '.join(ring)}")


def worked_out(wishes: Sequence[Wish], frozen: Callable[[int], bool]) -> Mapping[str, Done]:
    """Days of every task, so that none comes before what it waits for and none opens frozen ground.

    What may move goes back as far as those that wait for it want; then everything else goes forward until nothing is
    in its way.

    Parameters
    ----------
    wishes : sequence of Wish
        Every task waited for is among them.
    frozen : callable
        Whether the ground is shut on a day.

    Raises
    ------
    Circle
        When tasks wait for one another in a ring.
    """
    by_key = {wish.key: wish for wish in wishes}
    order = in_order(by_key)
    start = {wish.key: wish.start for wish in wishes}
    followers: dict[str, list[tuple[str, bool]]] = {key: [] for key in by_key}
    for wish in wishes:
        for wait in wish.waits:
            followers[wait.task].append((wish.key, wait.begun))

    def limit(key: str) -> int | None:
        """Last day on which it may end, by what waits until it is done."""
        ends = [start[other] - 1 for other, begun in followers[key] if not begun]
        return min(ends, default=None)

    for key in reversed(order):
        wish, last = by_key[key], limit(key)
        if wish.moves:
            held = start[key] if last is None else min(start[key], last - wish.length)
            start[key] = _clear(held, wish, frozen, -1)
            if wish.earliest is not None:
                start[key] = max(start[key], wish.earliest)
    for key in order:
        wish = by_key[key]
        for wait in wish.waits:
            other = by_key[wait.task]
            ready = start[wait.task] if wait.begun else start[wait.task] + other.length + 1
            start[key] = max(start[key], ready)
        start[key] = _clear(start[key], wish, frozen, 1)
    found = {}
    for key, wish in by_key.items():
        end = start[key] + wish.length
        last = limit(key)
        found[key] = Done(
            start[key], end, end if last is None else max(last, end), max(start[key] - wish.start, 0)
        )
    return found


def last_days(
    wishes: Sequence[Wish],
    done: Mapping[str, Done],
    goal: str,
    frozen: Callable[[int], bool],
    caps: Mapping[str, int],
) -> dict[str, int]:
    """Last day on which each task may end so that the goal still begins on its day; only tasks the goal waits for.

    `caps` are days after which a task of its season cannot be done at all, whatever waits for it.
    """
    by_key = {wish.key: wish for wish in wishes}
    starts = {goal: done[goal].start}
    ends: dict[str, int] = {}
    for key in reversed(in_order(by_key)):
        if key not in starts:
            continue
        if key in caps and caps[key] < ends.get(key, caps[key]):
            ends[key] = caps[key]
            starts[key] = min(starts[key], _clear(ends[key] - by_key[key].length, by_key[key], frozen, -1))
        for wait in by_key[key].waits:
            other = by_key[wait.task]
            end = starts[key] + other.length if wait.begun else starts[key] - 1
            ends[wait.task] = min(ends.get(wait.task, end), end)
            start = ends[wait.task] - other.length
            starts[wait.task] = _clear(start, other, frozen, -1)
            ends[wait.task] = starts[wait.task] + other.length
    return ends


def _clear(start: int, wish: Wish, frozen: Callable[[int], bool], step: int) -> int:
    """The nearest start, later or earlier by `step`, from which the task finds open ground to its end."""
    if not wish.ground:
        return start
    for moved in range(_YEAR):
        day = start + step * moved
        if not any(frozen(at) for at in range(day, day + wish.length + 1)):
            return day
    return start  # the ground is never open for that long


def in_order(wishes: Mapping[str, Wish]) -> list[str]:
    """Every task after what it waits for; in the given order where that leaves a choice.

    Raises
    ------
    Circle
        When tasks wait for one another in a ring.
    """
    found: list[str] = []
    state: dict[str, bool] = {}  # False while its waits are looked at, True when it stands in the order

    for first in wishes:
        trail: list[tuple[str, int]] = [(first, 0)]
        while trail:
            key, at = trail.pop()
            if state.get(key):
                continue
            waits = wishes[key].waits
            if at == 0:
                state[key] = False
            if at < len(waits):
                trail.append((key, at + 1))
                other = waits[at].task
                if state.get(other) is False:
                    names = [name for name, _ in trail]
                    raise Circle([*names[names.index(other) :], other])
                if other not in state:
                    trail.append((other, 0))
            else:
                state[key] = True
                found.append(key)
    return found
