"""An entry as a row of the store, and back."""

from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, timedelta, timezone
from enum import StrEnum
from functools import cache
from operator import itemgetter
from typing import Any

from sqlalchemy import RowMapping

from topwire.records.entries import ENTRY_TYPES, Entry, EntryKind, How, LabFigure
from topwire.records.form import COMMON, own_fields, plain


def row_of(entry: Entry) -> dict[str, Any]:
    """Its values by column; facts of its own kind that are as always are left out."""
    offset = entry.noted.utcoffset() or timedelta()
    facts = {}
    for name, known in own_fields(entry.KIND).items():
        value = getattr(entry, name)
        if known.needed or value != known.default:
            facts[name] = plain(value)
    return {
        "identity": entry.identity,
        "kind": str(entry.KIND),
        "day": entry.day,
        "noted": entry.noted.astimezone(UTC).replace(tzinfo=None),
        "offset": round(offset.total_seconds() / 60),
        "known": entry.noted.date(),
        "who": entry.who,
        "how": str(entry.how),
        "corrects": entry.corrects,
        "block": entry.block,
        "row": entry.row,
        "place": entry.place,
        "cultivar": entry.cultivar,
        "lot": entry.lot,
        "remark": entry.remark,
        "facts": facts,
    }


_PLAIN_COMMON = itemgetter(*(name for name in COMMON if name not in ("noted", "how")))
_PLAIN_NAMES = tuple(name for name in COMMON if name not in ("noted", "how"))


def entry_of(line: RowMapping) -> Entry:
    """The entry of a row as it was kept; it was checked before it was saved."""
    kind = EntryKind(line["kind"])
    values: dict[str, Any] = dict(zip(_PLAIN_NAMES, _PLAIN_COMMON(line), strict=True))
    values["how"] = How(line["how"])
    noted = line["noted"].replace(tzinfo=UTC)
    values["noted"] = noted.astimezone(_zone(line["offset"])) if line["offset"] else noted
    facts = line["facts"]
    values.update(facts)
    for name, made in _made_of(kind).items():
        if name in facts:
            values[name] = made(facts[name])
    return ENTRY_TYPES[kind](**values)


@cache
def _zone(minutes: int) -> timezone:
    return timezone(timedelta(minutes=minutes))


@cache
def _made_of(kind: EntryKind) -> Mapping[str, Callable[[Any], Any]]:
    """What makes a value of what JSON holds, by the fields where the two differ."""
    made: dict[str, Callable[[Any], Any]] = {}
    for name, field in own_fields(kind).items():
        if field.many:
            made[name] = _figures if field.sort is LabFigure else tuple
        elif issubclass(field.sort, StrEnum):
            made[name] = field.sort
    return made


def _figures(rows: Iterable[Iterable[Any]]) -> tuple[LabFigure, ...]:
    return tuple(LabFigure(*row) for row in rows)
