"""A late start: work whose weeks are past is left out, the rest is done as soon as it can be."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from topwire.ledger.graph import Done, Wish, worked_out
from topwire.ledger.work_rows import SEASON

_GRACE = 14  # [d] work of a season may still begin after its weeks: proposal


@dataclass(frozen=True)
class Started:
    """What is still done, when, and what is left out."""

    wishes: tuple[Wish, ...]
    days: Mapping[str, Done]
    left_out: tuple[str, ...]


def started(
    wishes: Sequence[Wish], late: Mapping[str, str], begin: int | None, frozen: Callable[[int], bool]
) -> Started:
    """Days of every task that can still be done.

    Parameters
    ----------
    wishes : sequence of Wish
        Every task of the list.
    late : mapping
        Of tasks done once: "season" for those only done in their weeks, another task's key for those left out with
        it, empty for the others.
    begin : int or None
        First day on which anything can be done; None: early enough for all.
    frozen : callable
        Whether the ground is shut on a day.
    """
    left: list[str] = []
    while True:
        there = _without(wishes, left)
        held = [_held(wish, late, begin) for wish in there]
        days = worked_out(held, frozen)
        gone = [wish.key for wish in there if _past(wish, days[wish.key], late, begin, left)]
        if not gone:
            return Started(tuple(held), days, tuple(left))
        left += gone


def _held(wish: Wish, late: Mapping[str, str], begin: int | None) -> Wish:
    """Not before the first day, and then in less time; work of a season still ends with it."""
    if begin is None or wish.key not in late or wish.start >= begin:
        return replace(wish, earliest=begin if wish.key in late else None)
    least = 0 if late[wish.key] == SEASON else min(wish.least, wish.length)
    return replace(wish, start=begin, length=max(wish.start + wish.length - begin, least), earliest=begin)


def _past(wish: Wish, done: Done, late: Mapping[str, str], begin: int | None, left: Sequence[str]) -> bool:
    says = late.get(wish.key, "")
    if says == SEASON:
        end = wish.start + wish.length
        return (begin is not None and end < begin) or done.start > end + _GRACE
    return says in left


def _without(wishes: Sequence[Wish], left: Sequence[str]) -> list[Wish]:
    """The tasks not left out; who waited for one that is waits for what that one waited for."""
    by_key = {wish.key: wish for wish in wishes}
    found = []
    for wish in wishes:
        if wish.key in left:
            continue
        waits, look = [], list(wish.waits)
        while look:
            wait = look.pop(0)
            if wait.task in left:
                look += by_key[wait.task].waits
            elif wait not in waits:
                waits.append(wait)
        found.append(replace(wish, waits=tuple(waits)))
    return found
