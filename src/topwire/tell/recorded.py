"""An entry of the records in words, in the reader's units: what `topwire note` answers and what lists show."""

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from topwire.records.entries import Counted, Entry, EntryKind, LotFate, TreeEvent
from topwire.records.form import EntryField, fields_of
from topwire.tell.reader import Reader, counted
from topwire.values.notice import Measured
from topwire.values.quantities import Plain
from topwire.values.units import Kind


def said(entry: Entry, reader: Reader) -> str:
    """“14 Sep 2031: picked 120 lb of Wealthy, Meadow 2, into crate 14 (table).”"""
    words = _WORDS[entry.KIND](entry, reader)
    tail = f" ({entry.remark})" if entry.remark else ""
    return f"{reader.date(entry.day.isoformat())}: {words}{tail}"


def changed(before: Entry, after: Entry, reader: Reader) -> list[str]:
    """What a correction changed, a line each: “mass: 120 lb, now 110 lb”."""
    lines = []
    for name, field in fields_of(after.KIND).items():
        old, new = getattr(before, name, None), getattr(after, name)
        if old != new and name not in ("identity", "noted", "corrects", "how"):
            shown = [_shown(value, field, reader) for value in (old, new)]
            lines.append(f"{name.replace('_', ' ')}: {shown[0]}, now {shown[1]}")
    return lines


def _shown(value: Any, field: EntryField, reader: Reader) -> str:
    if value in (None, "", ()):
        return "not said"
    if isinstance(value, tuple):
        return " ".join(_shown(one, field, reader) for one in value)
    if isinstance(value, date):
        return reader.date(value.isoformat()[:10])
    if isinstance(value, float) and field.measures is not None:
        digits = reader.digits(field.measures)
        return reader.text(value, field.measures, max(1, digits))
    return str(value)


def _join(*parts: str) -> str:
    return ", ".join(part for part in parts if part)


def _about(entry: Entry) -> str:
    """Cultivar and place, as far as they are said."""
    return _join(entry.cultivar, entry.where)


def _figures(reader: Reader, *figures: tuple[str, float | None, Any, int | None]) -> str:
    """“starch 4.0, firmness 16 lbf”: only what was measured."""
    return _join(
        *(
            f"{name} {reader.measured(Measured(value, kind), digits)}".strip()
            for name, value, kind, digits in figures
            if value is not None
        )
    )


def _mass(value: float | None, reader: Reader) -> str:
    digits = 0 if value is None or reader.convert(value, Kind.MASS) >= 20 else 1
    return "" if value is None else reader.text(value, Kind.MASS, digits)


def _of(amount: str, name: str) -> str:
    return f"{amount} of {name}" if amount and name else amount or name


def _tree(entry: Any, reader: Reader) -> str:
    on = f" on {entry.rootstock}" if entry.rootstock else ""
    name = f"{entry.cultivar}{on}"
    said_of = {
        TreeEvent.PLANTED: f"planted{f' with {name}' if name else ''}",
        TreeEvent.DIED: f"dead{f' ({name})' if name else ''}",
        TreeEvent.REPLACED: f"replaced{f' by {name}' if name else ''}",
        TreeEvent.REGRAFTED: f"re-grafted{f' to {name}' if name else ''}",
        TreeEvent.REMOVED: "taken out, the place is empty",
    }
    return f"{entry.where} {said_of[entry.event]}"


def _count(entry: Any, reader: Reader) -> str:
    what = entry.counted if entry.count != 1 else Counted(entry.counted).removesuffix("s")
    return f"{entry.count:,} {what} on {counted(entry.trees, 'tree')}, {_about(entry)}".rstrip(", ")


def _size(entry: Any, reader: Reader) -> str:
    sizes = [reader.text(value, Kind.FINE_LENGTH) for value in entry.diameters]
    shown = _join(*sizes[:8]) + (f" and {len(sizes) - 8} more" if len(sizes) > 8 else "")
    tag = f"fruitlet {entry.tag}" if entry.tag else ""
    return f"{_join(_about(entry), tag)} measures {shown}"


def _test(entry: Any, reader: Reader) -> str:
    figures = _figures(
        reader,
        ("starch", entry.starch, Plain.RATIO, 1),
        ("firmness", entry.firmness, Kind.FORCE, 1),
        ("Brix", entry.brix, Plain.RATIO, 1),
        ("acid", entry.acid, Plain.CONCENTRATION, 1),
        ("weight", entry.mass, Kind.SMALL_MASS, None),
    )
    sample = f"{counted(entry.fruits, 'fruit')} tested" if entry.fruits else ""
    return _join(_about(entry), figures, sample, entry.lot)


def _pest(entry: Any, reader: Reader) -> str:
    amount = "" if entry.count is None else f"{entry.count:,}"
    share = "" if entry.share is None else f"{reader.text(entry.share, Plain.SHARE)} of"
    found = f"{entry.what}{f': {amount}' if amount else ''}"
    on = f"{share or 'on'} {entry.on}" if entry.on else share.removesuffix(" of")
    return _join(f"{found} {on}".strip(), _about(entry))


def _sample(entry: Any, reader: Reader) -> str:
    figures = _join(*(f"{one.name} {one.value:g} {one.unit}".strip() for one in entry.figures))
    return f"{entry.of} test{f' of {_about(entry)}' if _about(entry) else ''}: {figures}"


def _weather(entry: Any, reader: Reader) -> str:
    figures = _figures(
        reader,
        ("low", entry.low, Kind.TEMPERATURE, 1),
        ("high", entry.high, Kind.TEMPERATURE, 1),
        ("rain", entry.rain, Kind.RAIN, None),
    )
    return _join(figures, entry.at, entry.where)


def _work(entry: Any, reader: Reader) -> str:
    hours = "" if entry.hours is None else reader.text(entry.hours, Plain.HOURS, 1)
    hands = "" if entry.hands is None else f"{entry.hands} hands"
    trees = "" if entry.trees is None else counted(entry.trees, "tree")
    return _join(f"{entry.job} done", hours, hands, trees, _about(entry))


def _watering(entry: Any, reader: Reader) -> str:
    hours = "" if entry.hours is None else reader.text(entry.hours, Plain.HOURS, 1)
    volume = "" if entry.volume is None else reader.text(entry.volume, Kind.VOLUME)
    return _join("watered", hours, volume, _about(entry))


def _pick(entry: Any, reader: Reader) -> str:
    into = f"into {entry.lot}" if entry.lot else ""
    crates = "" if entry.crates is None else counted(entry.crates, "crate")
    stored = f"kept in {entry.stored}" if entry.stored else ""
    picked = f"picked {_of(_mass(entry.mass, reader), entry.cultivar)}"
    return f"{_join(picked, entry.where, into, crates, stored)} ({entry.grade})"


def _cellar(entry: Any, reader: Reader) -> str:
    fruit = _of(_mass(entry.mass, reader) or "all", _join(entry.cultivar, entry.lot))
    to = {
        LotFate.MOVED: f"moved to {entry.stored}" if entry.stored else "moved",
        LotFate.KITCHEN: "to the kitchen",
        LotFate.PRESSED: "to the press",
        LotFate.LOST: "lost",
        LotFate.GIVEN: "given away",
    }
    return f"{fruit} {to[entry.fate]}"


def _press(entry: Any, reader: Reader) -> str:
    juice = "" if entry.volume is None else f"{reader.text(entry.volume, Kind.SMALL_VOLUME, 1)} of juice"
    more = _figures(reader, ("Brix", entry.brix, Plain.RATIO, 1), ("pH", entry.ph, Plain.RATIO, 2))
    batch = f"batch {entry.batch}" if entry.batch else ""
    return _join(f"pressed {_of(_mass(entry.mass, reader), entry.cultivar or entry.lot)}", juice, more, batch)


def _batch(entry: Any, reader: Reader) -> str:
    more = _figures(
        reader,
        ("", entry.volume, Kind.SMALL_VOLUME, 1),
        ("", entry.temperature, Kind.TEMPERATURE, None),
        ("pH", entry.ph, Plain.RATIO, 2),
    )
    return _join(f"batch {entry.batch}", entry.product, entry.step, more)


def _sale(entry: Any, reader: Reader) -> str:
    amount = _mass(entry.mass, reader) or (f"{entry.pieces:,}" if entry.pieces else "")
    money = "" if entry.money is None else f"for {reader.text(entry.money, Plain.MONEY, 2)}"
    what = f"{entry.cultivar} {entry.what}".strip()
    return _join(f"sold {amount} {what}".replace("  ", " "), money, entry.lot)


def _service(entry: Any, reader: Reader) -> str:
    portions = "" if entry.portions is None else f"{entry.portions:,} "
    fruit = _of(_mass(entry.mass, reader), _join(entry.cultivar, entry.lot))
    return f"served {portions}{entry.dish}" + (f", {fruit}" if fruit else "")


_WORDS: Mapping[EntryKind, Callable[[Any, Reader], str]] = {
    EntryKind.TREE: _tree,
    EntryKind.STAGE: lambda entry, reader: (
        f"{_about(entry)} in {entry.stage}"
        if entry.stage.endswith(("bloom", "tip", "cluster", "pink"))
        else f"{_about(entry)}: {entry.stage}"
    ),
    EntryKind.TRUNK: lambda entry, reader: (
        f"trunk of {_about(entry)} {reader.text(entry.diameter, Kind.FINE_LENGTH)}"
    ),
    EntryKind.HEIGHT: lambda entry, reader: (
        f"{_about(entry)} is {reader.text(entry.height, Kind.LENGTH)} high"
    ),
    EntryKind.FRUIT_COUNT: _count,
    EntryKind.FRUIT_SIZE: _size,
    EntryKind.FRUIT_TEST: _test,
    EntryKind.PEST: _pest,
    EntryKind.SAMPLE: _sample,
    EntryKind.PH: lambda entry, reader: _join(
        f"pH of {entry.of} {entry.ph:.2f}", f"batch {entry.batch}" if entry.batch else "", _about(entry)
    ),
    EntryKind.WEATHER: _weather,
    EntryKind.WORK: _work,
    EntryKind.WATERING: _watering,
    EntryKind.TAKE: lambda entry, reader: _join(
        f"{entry.good} of {counted(entry.started, 'graft')} alive", _about(entry), entry.lot
    ),
    EntryKind.PICK: _pick,
    EntryKind.CELLAR: _cellar,
    EntryKind.LOT_CHECK: lambda entry, reader: (
        f"{_join(entry.lot, entry.cultivar, entry.stored)}: {reader.text(entry.sound, Plain.SHARE)} sound"
    ),
    EntryKind.CELLAR_READING: lambda entry, reader: _join(
        _figures(
            reader,
            (entry.stored or "cellar", entry.temperature, Kind.TEMPERATURE, None),
            ("humidity", entry.humidity, Plain.SHARE, None),
        )
    ),
    EntryKind.PRESSING: _press,
    EntryKind.BATCH: _batch,
    EntryKind.SALE: _sale,
    EntryKind.SERVICE: _service,
    EntryKind.UNDO: lambda entry, reader: f"took back {str(entry.corrects)[:8]}",
}
