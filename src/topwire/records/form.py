"""How an entry is written down, read from the entries' own types: its fields, what each may hold, plain mappings.

`to_plain` and `from_plain` are what goes over HTTP as JSON: `{"kind": "pick", "day": "2031-09-14", "mass": 54.4, ...}`,
SI values under the fields' names; what is not said is left out.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import MISSING, dataclass, fields
from datetime import UTC, date, datetime, timedelta
from difflib import get_close_matches
from enum import StrEnum
from functools import cache
from math import isclose, isfinite
from operator import attrgetter
from types import UnionType
from typing import Annotated, Any, NamedTuple, Union, get_args, get_origin, get_type_hints

from topwire.files.plain_text import unprintable
from topwire.records.entries import ENTRY_TYPES, Entry, EntryKind, Fact, LabFigure
from topwire.values.days import cannot_have_been
from topwire.values.quantities import Plain, Quantity
from topwire.values.units import Kind, bound_in, from_si, to_si, written_units

LONGEST_TEXT = 2_000
_UUID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", re.ASCII)
_A_UUID = "0b0e3a52-7c1f-4c3e-9f6a-1d2c3b4a5f60"
_ACCURACY = 1e-9  # of a bound: what rounding of units may do


class NotAnEntry(ValueError):
    """An entry that cannot be one; `wrong` has (field, what is wrong and what would be right)."""

    def __init__(self, wrong: tuple[tuple[str, str], ...]) -> None:
        self.wrong = wrong
        super().__init__("; ".join(f"{name}: {says}" for name, says in wrong))


class Written(NamedTuple):
    """A figure as a person wrote it (“-5 lb”), and the unit its bounds are told in."""

    text: str
    unit: str


@dataclass(frozen=True)
class EntryField:
    """One field of a kind of entry.

    Attributes
    ----------
    sort : the type of one value: str, int, float, date, datetime, an enumeration, LabFigure
    many : a tuple of such
    needed : it has no default
    optional : it may be None
    measures : what a figure measures
    """

    name: str
    fact: Fact
    sort: type[Any]
    many: bool
    needed: bool
    optional: bool
    default: Any
    measures: Quantity | None

    @property
    def kind(self) -> Kind | None:
        """Kind of quantity, where it is one with units."""
        return self.measures if isinstance(self.measures, Kind) else None

    def outside(self, value: float) -> float:
        """An SI figure in the unit of files."""
        if self.fact.unit == "%" and self.measures is Plain.SHARE:
            return value * 100.0
        return (
            from_si(value, self.fact.unit, self.kind) if self.kind is not None and self.fact.unit else value
        )

    def inside(self, figure: float) -> float:
        """A figure in the unit of files as SI."""
        if self.fact.unit == "%" and self.measures is Plain.SHARE:
            return figure / 100.0
        return (
            to_si(figure, self.fact.unit, self.kind) if self.kind is not None and self.fact.unit else figure
        )

    @property
    def bounds(self) -> str:
        """The bounds in words; empty where there are none."""
        fact = self.fact
        if not isfinite(fact.high):
            return ""
        unit = f" {fact.unit}" if fact.unit else ""
        return f"{'above ' if fact.over else ''}{fact.low:g} to {fact.high:,g}{unit}"

    def bounds_in(self, unit: str) -> str:
        """The same in a unit of the person's own."""
        if self.kind is None or not isfinite(self.fact.high):
            return self.bounds
        low, high = (
            bound_in(self.inside(bound), unit, self.kind, most=most, slack=_ACCURACY)
            for bound, most in ((self.fact.low, False), (self.fact.high, True))
        )
        low = low.removesuffix(f" {unit}")
        return f"{'above ' if self.fact.over else ''}{low} to {high}"


@cache
def fields_of(kind: EntryKind) -> Mapping[str, EntryField]:
    """All fields of a kind of entry by name, the common ones first."""
    entry_type = ENTRY_TYPES[kind]
    hints = get_type_hints(entry_type, include_extras=True)
    found = {}
    for item in fields(entry_type):
        fact, measures, many, optional = Fact(""), None, False, False
        sort: type[Any] = object
        for part in _parts(hints[item.name]):
            if isinstance(part, Fact):
                fact = part
            elif isinstance(part, Kind | Plain):
                measures = part
            elif part is tuple:
                many = True
            elif part is type(None):
                optional = True
            elif isinstance(part, type):
                sort = part
        needed = item.default is MISSING and item.default_factory is MISSING
        default = None if item.default is MISSING else item.default
        found[item.name] = EntryField(item.name, fact, sort, many, needed, optional, default, measures)
    return found


COMMON = tuple(item.name for item in fields(Entry))


@cache
def own_fields(kind: EntryKind) -> Mapping[str, EntryField]:
    """The fields only this kind has."""
    return {name: found for name, found in fields_of(kind).items() if name not in COMMON}


def _parts(hint: Any) -> Iterator[Any]:
    """What a type hint is made of: types, Kind, Fact; `tuple` where it holds several."""
    origin = get_origin(hint)
    if origin is Annotated:
        yield from hint.__metadata__
        yield from _parts(get_args(hint)[0])
    elif origin in (Union, UnionType):
        for inner in get_args(hint):
            yield from _parts(inner)
    elif origin is tuple:
        yield tuple
        yield from _parts(get_args(hint)[0])
    else:
        yield hint


def check(entry: Entry, written: Mapping[float, Written] | None = None) -> None:
    """Nothing where the entry can be kept. Raises NotAnEntry with everything that is wrong.

    Parameters
    ----------
    written : how a person wrote its figures, by their SI values
    """
    get, quick = _quick(entry.KIND)
    wrong: list[tuple[str, str]] = []
    for value, (known, fits) in zip(get(entry), quick, strict=True):
        if value == known.default or fits(value):
            continue
        each = value if known.many else (value,)
        says = next(filter(None, (_wrong(one, known, written or {}) for one in each)), "")
        if says:
            wrong.append((known.name, says))
    if not wrong:
        wrong = _apart(entry)
    if wrong:
        raise NotAnEntry(tuple(wrong))


def check_days(entry: Entry, today: date) -> None:
    """Nothing where the entry can have been noted by now, in every way in the same; raises NotAnEntry.

    Apart from `check`, which passes what was kept before there was such a bound. Whoever sends it may live in another
    time zone, or by a clock of his own: a day is allowed for it.
    """
    for name, day in (("day", entry.day), ("noted", entry.noted.date())):
        wrong = cannot_have_been(day, today + timedelta(days=1))
        if wrong:
            raise NotAnEntry(((name, f"it {wrong}; a record tells what has been"),))


@cache
def _quick(
    kind: EntryKind,
) -> tuple[Callable[[Entry], tuple[Any, ...]], tuple[tuple[EntryField, Callable[[Any], bool]], ...]]:
    """What takes an entry's values out, and for each field a test that most values pass; the others are looked at."""
    known = fields_of(kind)
    return attrgetter(*known), tuple((field, _fits(field)) for field in known.values())


def _fits(field: EntryField) -> Callable[[Any], bool]:
    if field.sort in (int, float) and not field.many:
        low, high = (field.inside(bound) for bound in (field.fact.low, field.fact.high))
        return lambda value: type(value) is field.sort and low < value < high
    if field.name in ("identity", "corrects"):
        return lambda value: type(value) is str and _UUID.fullmatch(value) is not None
    if field.sort is str and not field.needed:
        return lambda value: type(value) is str and value.isprintable() and len(value) <= LONGEST_TEXT
    if field.sort is date:
        return lambda value: type(value) is date
    return lambda value: False


def _wrong(value: Any, known: EntryField, written: Mapping[float, Written]) -> str:
    if value is None:
        return "" if known.optional else "it has to be said"
    if isinstance(value, str):
        return _wrong_text(value, known)
    if isinstance(value, datetime):
        return (
            ""
            if value.tzinfo is not None
            else "the time needs its offset from UTC: 2031-05-12T18:30:00-04:00"
        )
    if isinstance(value, int | float) and not isinstance(value, bool):
        return _wrong_figure(value, known, written.get(value))
    if isinstance(value, LabFigure):
        return _wrong_text(value.name + value.unit, known) or (
            "" if isfinite(value.value) else "no finite number"
        )
    if isinstance(value, known.sort) and not isinstance(value, bool):  # True is an int to Python
        return ""
    return f"it is no {_SORTS.get(known.sort, known.sort.__name__)}"


def _wrong_text(value: str, known: EntryField) -> str:
    if issubclass(known.sort, StrEnum):
        return "" if isinstance(value, known.sort) else f"write {', '.join(known.sort)}"
    if known.name in ("identity", "corrects"):
        return "" if _UUID.fullmatch(value) else f"an identity is a uuid in small letters, as {_A_UUID}"
    found = "" if value.isprintable() else unprintable(value)
    if found:
        return f"it holds {found}"
    if len(value) > LONGEST_TEXT:
        return f"it has {len(value):,} signs; at most {LONGEST_TEXT:,} are kept"
    return "it has to be said" if known.needed and not value.strip() else ""


def _wrong_figure(value: float, known: EntryField, written: Written | None) -> str:
    if known.sort is int and not isinstance(value, int):
        return f"write a whole number, {known.bounds}"
    if not isfinite(value):
        return "no finite number"
    fact, figure = known.fact, known.outside(value)
    slack = _ACCURACY * max(1.0, abs(figure))
    if figure < fact.low - slack or figure > fact.high + slack or (fact.over and figure <= fact.low):
        if written is not None and known.kind is not None and written.unit in written_units(known.kind):
            return f"“{written.text}” does not fit: {known.bounds_in(written.unit)}"
        unit = f" {fact.unit}" if fact.unit else ""
        return f"{figure:,.6g}{unit} does not fit: {known.bounds or 'it may not be below 0'}"
    return ""


def _apart(entry: Entry) -> list[tuple[str, str]]:
    """What does not go together, each field being right by itself."""
    wrong = []
    if entry.row is not None and not entry.block:
        wrong.append(("row", "a row needs its block"))
    if entry.place is not None and entry.row is None:
        wrong.append(("place", "a tree needs its block and row, as in “South 3, tree 41”"))
    if entry.KIND is EntryKind.TREE and entry.address is None:
        wrong.append(("place", "which tree? Write it as “South 3, tree 41”"))
    if entry.KIND is EntryKind.UNDO and entry.corrects is None:
        wrong.append(("corrects", "which entry is taken back?"))
    if entry.corrects == entry.identity:
        wrong.append(("corrects", "an entry cannot stand in place of itself"))
    good, started = getattr(entry, "good", None), getattr(entry, "started", None)
    if good is not None and started is not None and good > started:
        wrong.append(("good", f"{good} alive of {started} made is no count"))
    kept = own_fields(entry.KIND)
    figures = [name for name, known in kept.items() if known.optional]
    if entry.KIND in _ONE_OF_SEVERAL and all(getattr(entry, name) is None for name in figures):
        wrong.append((figures[0], f"nothing is measured; one of {', '.join(figures)}"))
    return wrong


_ONE_OF_SEVERAL = (EntryKind.FRUIT_TEST, EntryKind.WEATHER, EntryKind.WATERING)


def same(one: Entry, other: Entry) -> bool:
    """Whether two entries say the same; a figure may have been through another unit."""
    return type(one) is type(other) and all(
        _alike(getattr(one, name), getattr(other, name)) for name in fields_of(one.KIND)
    )


def _alike(one: Any, other: Any) -> bool:
    if isinstance(one, float) and isinstance(other, float):
        return isclose(one, other, rel_tol=_ACCURACY)
    if isinstance(one, tuple) and isinstance(other, tuple):
        return len(one) == len(other) and all(map(_alike, one, other))
    return bool(one == other)


def to_plain(entry: Entry) -> dict[str, Any]:
    """An entry as a mapping that JSON can hold; what is as by default is left out."""
    found: dict[str, Any] = {"kind": str(entry.KIND)}
    for name, known in fields_of(entry.KIND).items():
        value = getattr(entry, name)
        if known.needed or value != known.default:
            found[name] = plain(value)
    return found


def plain(value: Any) -> Any:
    """One value as JSON can hold it."""
    if isinstance(value, tuple):
        return [plain(one) for one in value]
    if isinstance(value, LabFigure):
        return [value.name, value.value, value.unit]
    if isinstance(value, date):
        return value.isoformat()
    return str(value) if isinstance(value, StrEnum) else value


def from_plain(found: Mapping[str, Any]) -> Entry:
    """The entry of a mapping, checked. Raises NotAnEntry with everything that is wrong, unknown fields too."""
    kind = found.get("kind")
    if kind not in list(EntryKind):
        raise NotAnEntry((("kind", f"“{kind}” is none{_near(str(kind), list(EntryKind))}"),))
    entry_type = ENTRY_TYPES[EntryKind(str(kind))]
    known = fields_of(entry_type.KIND)
    wrong = [
        (name, f"there is no such field{_near(name, list(known))}")
        for name in found
        if name not in {*known, "kind"}
    ]
    values: dict[str, Any] = {}
    for name, field_ in known.items():
        given = found.get(name)
        if given is None:
            if field_.needed:
                wrong.append((name, "it has to be said"))
            continue
        try:
            values[name] = _read(given, field_)
        except (TypeError, ValueError):
            wrong.append((name, f"{str(given)[:60]!r} is no {_SORTS.get(field_.sort, field_.sort.__name__)}"))
    if wrong:
        raise NotAnEntry(tuple(wrong))
    entry = entry_type(**values)
    check(entry)
    return entry


_SORTS: Mapping[type[Any], str] = {
    str: "text", int: "whole number", float: "number", date: "date, as 2031-05-12",
    datetime: "time with its offset, as 2031-05-12T18:30:00-04:00", LabFigure: "figure of a laboratory",
}  # fmt: skip


def _near(name: str, known: list[str]) -> str:
    near = get_close_matches(name, known, n=1)
    return f"; did you mean {near[0]}?" if near else f"; there are {', '.join(known)}"


def _read(given: Any, known: EntryField) -> Any:
    if known.many:
        if isinstance(given, str):
            raise TypeError
        return tuple(_read_one(one, known.sort) for one in given)
    return _read_one(given, known.sort)


def _read_one(given: Any, sort: type[Any]) -> Any:
    if sort is LabFigure:
        name, value, unit = given
        if isinstance(value, bool):
            raise TypeError
        return LabFigure(str(name), float(value), str(unit))
    if sort in (date, datetime):
        made = sort.fromisoformat(given)
        return made if sort is date or made.tzinfo is not None else made.replace(tzinfo=UTC)
    if sort is float and isinstance(given, int | float) and not isinstance(given, bool):
        return float(given)
    if sort is int and isinstance(given, float) and given.is_integer():
        return int(given)
    if issubclass(sort, StrEnum):
        try:
            return sort(given)
        except ValueError:
            raise ValueError from None
    if type(given) is not sort:
        raise TypeError
    return given
