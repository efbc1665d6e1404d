"""Notes a phone sends become entries: what it may note, and what became of each."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from topwire.records.entries import Entry, EntryKind, How
from topwire.records.form import NotAnEntry, check_days, from_plain
from topwire.records.store import RecordStore, open_store
from topwire.web.phone.pairing import Phone

MAY_NOTE = frozenset(
    (
        EntryKind.TREE, EntryKind.STAGE, EntryKind.TRUNK, EntryKind.FRUIT_COUNT, EntryKind.FRUIT_SIZE,
        EntryKind.FRUIT_TEST, EntryKind.PEST, EntryKind.WORK, EntryKind.WATERING, EntryKind.PICK, EntryKind.UNDO,
    )
)  # fmt: skip
MOST_AT_ONCE = 100
UNDO_WITHIN = timedelta(minutes=5)  # on the phone's clock; the page offers a minute of it


@dataclass
class Taken:
    """What came of notes sent. `kept`: identities on the disk now; `refused`: why, by identity."""

    kept: list[str] = field(default_factory=list)
    refused: dict[str, str] = field(default_factory=dict)


def take(
    folder: Path, phone: Phone, sent: Iterable[Any], *, today: date, cultivars: Collection[str]
) -> Taken:
    """Keep what a phone sends; one note that cannot be kept does not hold up the others.

    Parameters
    ----------
    cultivars : names a note may use

    Raises
    ------
    NotSaved
        The records cannot be written: nothing is lost, the phone sends again.
    """
    taken = Taken()
    with open_store(folder) as store:
        for one in sent:
            said = str(one.get("identity", "")) if isinstance(one, Mapping) else ""
            identity = said[:100].encode("ascii", "replace").decode()
            try:
                entry = _entry(one, phone, store, today)
                if entry.cultivar and entry.cultivar not in cultivars:
                    raise NotAnEntry((("cultivar", f"there is no cultivar “{entry.cultivar[:60]}” here"),))
                store.append([entry], checked=True)
            except NotAnEntry as wrong:
                taken.refused[identity] = "; ".join(says for _, says in wrong.wrong)
            except (AttributeError, OverflowError, RecursionError, UnicodeError):
                taken.refused[identity] = "it is no note"  # what only a forged note holds
            else:
                taken.kept.append(entry.identity)
    return taken


def _entry(one: Any, phone: Phone, store: RecordStore, today: date) -> Entry:
    if not isinstance(one, Mapping) or not one.get("identity"):
        raise NotAnEntry((("identity", "the note has no identity"),))
    if str(one.get("kind")) not in MAY_NOTE:
        raise NotAnEntry((("kind", "a phone may not note this; note it at the desk"),))
    entry = replace(from_plain({**one, "how": str(How.PHONE)}), who=phone.who)
    check_days(entry, today)
    if entry.KIND is EntryKind.UNDO:
        _may_undo(entry, store.find([entry.corrects or ""]))
    elif entry.corrects is not None:
        raise NotAnEntry((("corrects", "a phone adds notes; corrections are made at the desk"),))
    return entry


def _may_undo(entry: Entry, found: tuple[Entry, ...]) -> None:
    """A phone takes back what it has just noted itself, nothing else."""
    for target in found:
        just_now = abs(entry.noted - target.noted) <= UNDO_WITHIN
        if target.how is not How.PHONE or target.who != entry.who or not just_now:
            says = "a phone takes back only what it has just noted; take this back at the desk"
            raise NotAnEntry((("corrects", says),))
