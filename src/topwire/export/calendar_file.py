"""The year's work, the nursery's and the irrigation's dates as an iCalendar file (RFC 5545)."""

import hashlib
from datetime import UTC, date, datetime, timedelta

from topwire.engine.orchard import Orchard
from topwire.export.comma import Absent
from topwire.tell.ledger import event_words, hangs_on, leaf_words
from topwire.tell.nursery import JOBS
from topwire.tell.reader import Reader
from topwire.tell.water import JOBS as WATER_JOBS
from topwire.tell.words import in_system

PRODUCT = "-//topwire//orchard calendar//EN"


def calendar(orchard: Orchard) -> bytes:
    """All-day events; the same entry keeps its UID from run to run, so a calendar program replaces it.

    Raises
    ------
    Absent
        When neither ledger nor nursery nor water was computed.
    """
    from icalendar import Calendar, Event

    if orchard.ledger is None and orchard.nursery is None and orchard.water is None:
        raise Absent("neither ledger nor nursery nor water was computed")
    found = Calendar()
    found.add("prodid", PRODUCT)
    found.add("version", "2.0")
    found.add("x-wr-calname", orchard.origin.name)
    stamp = datetime(
        orchard.origin.planting_year, 1, 1, tzinfo=UTC
    )  # fixed: the same plan gives the same bytes
    seen: dict[str, int] = {}
    for start, end, what, how, category in sorted(_entries(orchard)):
        name = f"{orchard.origin.name}|{category}|{what}"  # not the date: an entry that moves keeps its UID
        seen[name] = seen.get(name, 0) + 1
        event = Event()
        event.add("uid", f"{hashlib.sha256(f'{name}|{seen[name]}'.encode()).hexdigest()[:32]}@topwire")
        event.add("dtstamp", stamp)
        event.add("dtstart", date.fromisoformat(start))
        event.add("dtend", date.fromisoformat(end) + timedelta(days=1))  # the day after the last
        event.add("summary", what)
        event.add("description", how)
        event.add("categories", [category])
        event.add("transp", "TRANSPARENT")
        found.add_component(event)
    made: bytes = found.to_ical()
    return made


def _entries(orchard: Orchard) -> list[tuple[str, str, str, str, str]]:
    """Start, end, what, how, category."""
    entries = []
    reader = Reader(orchard.origin.units)
    if orchard.nursery is not None:
        for dates in orchard.nursery.dates:
            job = JOBS[dates.job]
            how = in_system(job.remedy, reader)
            entries.append((dates.first, dates.last, in_system(job.says, reader), how, "nursery"))
    if orchard.ledger is not None:
        works = {line.item: line for line in orchard.ledger.works}
        for event in orchard.ledger.calendar:
            said, leaf = event_words(event, works, reader), leaf_words(event)
            parts = [
                "" if leaf == "all" else f"Leaf {leaf}.",
                f"{said.how}." if said.how else "",
                f"Hangs on: {hangs_on(event)}.",
                f"Caution: {said.caution}" if said.caution else "",
            ]
            entries.append((event.start, event.end, said.what, " ".join(filter(None, parts)), "orchard"))
    if orchard.water is not None:
        year = date(orchard.origin.planting_year + 1, 1, 1)
        for entry in orchard.water.calendar:
            day = (year + timedelta(days=round(entry.day) - 1)).isoformat()
            words = WATER_JOBS[entry.job]
            entries.append((day, day, words.says, in_system(words.remedy, reader), "water"))
    return entries
