"""What the commands of the weather say beside their sheets: what is sent where, why a station lost, what came."""

from collections.abc import Iterator, Sequence

import numpy as np

from topwire.tell.reader import Reader, counted
from topwire.values.quantities import Quantity
from topwire.values.units import Kind
from topwire.weather.changes import ColumnChange
from topwire.weather.online.asking import user_agent
from topwire.weather.online.german import PREFIX
from topwire.weather.online.journeys import Came, Looked
from topwire.weather.online.judged import Lost, StationCandidate, why_lost
from topwire.weather.online.services import WeatherService
from topwire.weather.record import Weather

_QUANTITIES: dict[str, tuple[str, Quantity]] = {
    "tmin": ("lowest temperature", Kind.TEMPERATURE_STEP),
    "tmax": ("highest temperature", Kind.TEMPERATURE_STEP),
    "rain": ("rain", Kind.RAIN),
    "dew_point": ("dew point", Kind.TEMPERATURE_STEP),
    "wind": ("wind", Kind.SPEED),
}
_CLOSED = ("cell_past.json", "historical.zip")  # files of years that are over
_STALE = 14  # [d] behind today, from which a record is told to have stopped


def question(services: Sequence[WeatherService], contact: str) -> Iterator[str]:
    """What is asked where and what is sent, before the first call."""
    yield "This opens a connection to"
    for one in services:
        yield f"  {one.host} ({one.source}). It is sent {one.sends}."
        yield f"    Licence: {one.licence}."
    yield f"Each sees this machine’s internet address, and who asks: {user_agent(contact)}."
    if not contact and any(one.needs_contact for one in services):
        yield "It wants to know whom to write to (--contact you@example.org), and may refuse who does not say."


def verdict(looked: Looked, folder: str, reader: Reader, *, bring: bool) -> Iterator[str]:
    """Which station serves best, and why the nearer ones do not."""
    for station, why in looked.unseen:
        yield f"{station.name} ({station.station}) could not be looked at: {why}"
    if not looked.candidates:
        yield f"No station near enough still reports both temperatures: topwire weather fetch {folder} --cell"
        return
    best = looked.candidates[0]
    nearest = min(looked.candidates, key=lambda one: one.station.distance)
    yield f"Best: {_named(best)}, {_how_far(best, reader)}."
    if nearest is not best:
        yield f"The nearest, {_named(nearest)}, loses by {_cost(nearest, best, reader)}."
    if best.whole < 0.9:
        yield f"Its gaps can be filled by the grid cell's record: topwire weather fetch {folder} --cell"
    if not best.station.station.startswith(("US", PREFIX)):
        yield (
            "It is no station of the United States: its maker's terms hold (WMO Resolution 40), and may close it to "
            "commercial use. Ask the national service."
        )
    hour = best.hour
    if 4 <= hour <= 10:
        yield (
            f"It is read at {_clock(hour)}: the highest temperature it tells is mostly that of the day before, "
            "the lowest that of the morning."
        )
    if bring:
        yield f"Bring it: topwire weather fetch {folder} {best.station.station}"


def what_came(came: Sequence[Came], today: np.datetime64, reader: Reader) -> Iterator[str]:
    """A line or two on every file."""
    for one in came:
        name = f"weather/{one.entry.file}"
        if one.how is None:
            yield f"{name} stays as it is, to {_day(one.last, reader)}: {one.why}"
            continue
        said = {
            "new": "came",
            "replaced": "came anew",
            "unchanged": "has not changed",
            "fresh": "is still good",
        }
        yield (
            f"{name} {said[one.how]}: {_day(one.first, reader)} to {_day(one.last, reader)}, {one.whole:.1%} of the "
            "days with both temperatures."
        )
        if one.changes is not None:
            yield f"  {counted(one.changes.came, 'day')} came" + (
                f", {counted(one.changes.went, 'day')} went." if one.changes.went else "."
            )
            yield from (f"  {_changed(column, reader)}" for column in one.changes.changed)
        late = int((today - one.last).astype(np.int64)) - 1
        if late > _STALE and not one.entry.file.endswith(_CLOSED):
            yield f"  Its last {late} days are missing: does the station still report?"
        elif late > 0 and not one.entry.file.endswith(_CLOSED):
            yield f"  The last {counted(late, 'day')} before today are not told yet."
        if one.outdated:
            yield "  The service says that this way of asking will end: look for a newer topwire."
    yield from dict.fromkeys(one.entry.credit for one in came)


def whole_record(record: Weather, today: np.datetime64, reader: Reader) -> Iterator[str]:
    """How far the plan's record goes now, and what of the last year is missing."""
    known = np.isfinite(record.tmin) & np.isfinite(record.tmax)
    last = record.day[known][-1]
    behind = int((today - last).astype(np.int64)) - 1
    yet = f", {counted(behind, 'day')} short of yesterday" if behind > 0 else ", yesterday"
    yield f"The plan's record goes from {_day(record.day[0], reader)} to {_day(last, reader)}{yet}."
    recent = (record.day > last - 365) & (record.day <= last)
    gone = record.day[recent & ~known]
    if gone.size:
        yield (
            f"Of its last year {counted(gone.size, 'day')} are missing, first {_day(gone[0], reader)}, last "
            f"{_day(gone[-1], reader)}: a second station or the grid cell (fetch --cell) fills them."
        )


def _changed(column: ColumnChange, reader: Reader) -> str:
    if column.column == "sun":
        return f"The sun of {counted(column.days, 'past day')} was changed."
    says, quantity = _QUANTITIES[column.column]
    digits = 2 if quantity is Kind.RAIN and reader.us else 1
    most = reader.text(abs(column.greatest), quantity, digits)
    return (
        f"The {says} of {counted(column.days, 'past day')} was changed, by up to {most} "
        f"({_day(column.first, reader)} to {_day(column.last, reader)})."
    )


def _named(one: StationCandidate) -> str:
    return f"{one.station.name} ({one.station.station})"


def _how_far(one: StationCandidate, reader: Reader) -> str:
    away = reader.text(one.station.distance, Kind.DISTANCE, 0)
    high = ""
    if not np.isnan(one.station.higher):
        step = "higher" if one.station.higher >= 0 else "lower"
        high = f", {reader.text(abs(one.station.higher), Kind.LENGTH, 0)} {step}"
    return f"{away} off{high}, {one.whole:.0%} of the days since {_since(one)}"


def _since(one: StationCandidate) -> int:
    """The year its looked-at days begin: its first, or thirty years ago."""
    last = int(str(one.last)[:4])
    return max(int(str(one.first)[:4]), last - 30)


def _cost(one: StationCandidate, best: StationCandidate, reader: Reader) -> str:
    cause = why_lost(one, best)
    if cause is Lost.HEIGHT:
        if np.isnan(one.station.higher):
            return "its height, which the list does not tell"
        step = "higher" if one.station.higher >= 0 else "lower"
        return f"its height: {reader.text(abs(one.station.higher), Kind.LENGTH, 0)} {step} than the orchard"
    if cause is Lost.GAPS:
        return f"its gaps: {one.whole:.0%} of the days since {_since(one)} have both temperatures"
    if cause is Lost.SHORT:
        return f"its few years: {one.years:.0f} of them"
    if cause is Lost.STOPPED:
        return f"its end: it has not reported since {_day(one.last, reader)}"
    return "its distance"


def _day(day: np.datetime64, reader: Reader) -> str:
    return "–" if np.isnat(day) else reader.date(str(day))


def _clock(hour: float) -> str:
    return f"{int(hour)}:{round(hour % 1 * 60):02d}"
