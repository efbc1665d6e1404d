"""All words by code, and every notice told."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cache

from topwire.tell import (
    choice,
    engine,
    ground,
    growth,
    guests,
    layout,
    learning,
    ledger,
    nursery,
    place,
    press,
    prices,
    protection,
    season,
    soil,
    trellis,
    trellis_cost,
    trellis_ground,
    trellis_work,
    water,
)
from topwire.tell.reader import Reader
from topwire.tell.words import Speech, Told, told
from topwire.values.fault import FileNotice
from topwire.values.notice import Notice, Severity

_ROOMS: tuple[Mapping[str, Speech], ...] = (
    choice.WORDS, engine.WORDS, ground.WORDS, growth.WORDS, guests.WORDS, layout.WORDS, learning.WORDS,
    ledger.WORDS, nursery.WORDS, place.WORDS, press.WORDS, prices.WORDS, soil.WORDS, protection.WORDS,
    season.WORDS, season.CELLAR_WORDS, trellis.WORDS, trellis_cost.WORDS, trellis_ground.WORDS,
    trellis_work.WORDS, water.WORDS,
)  # fmt: skip


@cache
def speech() -> Mapping[str, Speech]:
    """Words of every department by code.

    Raises
    ------
    ValueError
        When two departments have words for one code.
    """
    found: dict[str, Speech] = {}
    for room in _ROOMS:
        for code, words in room.items():
            if code in found:
                raise ValueError(f"“{code}” has words in two places")
            found[code] = words
    return found


def all_told(
    notices: Iterable[Notice | FileNotice], reader: Reader, *, outdated: bool = False
) -> tuple[Told, ...]:
    """Each notice in words of the reader's units; what is said alike of several rows or cultivars is said once.

    Parameters
    ----------
    outdated : they are of a plan that may have been worked out by another version of topwire; what this one has no
        words for is told to be so
    """
    found: list[Notice | FileNotice] = []
    of_code: dict[str, list[int]] = {}
    for notice in notices:
        if isinstance(notice, Notice):
            before = of_code.setdefault(notice.code, [])
            alike = next((at for at in before if _alike(found[at], notice, reader, outdated)), None)
            if alike is not None:
                one = found[alike]
                assert isinstance(one, Notice)
                found[alike] = replace(one, concerns=tuple(dict.fromkeys((*one.concerns, *notice.concerns))))
                continue
            before.append(len(found))
        found.append(notice)
    return tuple(_told(one, reader, outdated) if isinstance(one, Notice) else _old(one) for one in found)


def _alike(one: Notice | FileNotice, other: Notice, reader: Reader, outdated: bool) -> bool:
    """Whether two notices of a code say the same in the reader's units, but for what they concern. What counts its
    cultivars or rows stays apart."""
    if (
        not isinstance(one, Notice)
        or not one.concerns
        or not other.concerns
        or other.severity is Severity.FAULT
    ):
        return False
    if any(
        type(fact) is int and fact in (len(one.concerns), len(other.concerns))
        for fact in other.facts.values()
    ):
        return False
    return _told(replace(one, concerns=other.concerns), reader, outdated) == _told(other, reader, outdated)


def _told(notice: Notice, reader: Reader, outdated: bool) -> Told:
    try:
        return told(notice, speech(), reader)
    except KeyError:
        if not outdated:
            raise
        says, remedy = "Another version of topwire had something to say here.", "Work the plan out anew."
        return Told(
            notice.severity, notice.department, says, remedy, notice.source, notice.setting, notice.concerns
        )


def _old(notice: FileNotice) -> Told:
    severity = Severity(str(notice.severity))
    return Told(severity, notice.where, notice.says, notice.remedy, notice.source, "", ())
