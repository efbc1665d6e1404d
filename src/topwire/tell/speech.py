"""All words by code, and every notice told."""

from collections.abc import Iterable, Mapping
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
    water,
)
from topwire.tell.reader import Reader
from topwire.tell.words import Speech, Told, told
from topwire.values.fault import FileNotice
from topwire.values.notice import Notice, Severity

_ROOMS: tuple[Mapping[str, Speech], ...] = (
    choice.WORDS,
    engine.WORDS,
    ground.WORDS,
    growth.WORDS,
    guests.WORDS,
    layout.WORDS,
    learning.WORDS,
    ledger.WORDS,
    nursery.WORDS,
    place.WORDS,
    press.WORDS,
    prices.WORDS,
    soil.WORDS,
    protection.WORDS,
    season.WORDS,
    season.CELLAR_WORDS,
    trellis.WORDS,
    trellis_cost.WORDS,
    trellis_ground.WORDS,
    water.WORDS,
)


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
    """Each notice in words of the reader's units.

    Parameters
    ----------
    outdated : they are of a plan that may have been worked out by another version of topwire; what this one has no
        words for is told to be so
    """
    return tuple(
        _told(notice, reader, outdated) if isinstance(notice, Notice) else _old(notice) for notice in notices
    )


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
