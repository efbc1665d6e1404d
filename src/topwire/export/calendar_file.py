"""Every job to the horizon as an iCalendar file (RFC 5545), from the Ledger's calendar alone."""

import hashlib
from datetime import UTC, date, datetime, timedelta

from topwire.engine.orchard import Orchard
from topwire.export.comma import Absent
from topwire.ledger.findings import Job, WorkText
from topwire.tell.ledger import hangs_on, job_words
from topwire.tell.reader import Reader

PRODUCT = "-//topwire//orchard calendar//EN"


def calendar(orchard: Orchard) -> bytes:
    """All-day events; a job keeps its UID from run to run whatever its dates become, so a calendar program moves it.

    Raises
    ------
    Absent
        When the ledger was not computed.
    """
    from icalendar import Calendar, Event

    if orchard.ledger is None:
        raise Absent("the ledger was not computed")
    found = Calendar()
    found.add("prodid", PRODUCT)
    found.add("version", "2.0")
    found.add("x-wr-calname", orchard.origin.name)
    # Fixed: the same plan gives the same bytes.
    stamp = datetime(orchard.origin.planting_year, 1, 1, tzinfo=UTC)
    works = {line.item: line for line in orchard.ledger.works}
    reader = Reader(orchard.origin.units)
    for job in orchard.ledger.calendar:
        said = job_words(job, works, reader)
        event = Event()
        name = f"{orchard.origin.name}|{job.key}"
        event.add("uid", f"{hashlib.sha256(name.encode()).hexdigest()[:32]}@topwire")
        event.add("dtstamp", stamp)
        event.add("dtstart", date.fromisoformat(job.start))
        event.add("dtend", date.fromisoformat(job.end) + timedelta(days=1))  # the day after the last
        event.add("summary", said.what)
        event.add("description", _described(job, said, reader))
        event.add("categories", [str(job.kind)])
        event.add("transp", "TRANSPARENT")
        found.add_component(event)
    made: bytes = found.to_ical()
    return made


def _described(job: Job, said: WorkText, reader: Reader) -> str:
    hours = "" if job.hours is None else f"About {job.hours:,.0f} hours, {job.people} at a time."
    parts = [
        "" if job.leaf is None else f"Leaf {job.leaf}.",
        f"{said.how}." if said.how else "",
        f"Tools: {said.tools}." if said.tools else "",
        hours,
        f"Hangs on: {hangs_on(job, reader)}.",
        f"Caution: {said.caution}" if said.caution else "",
    ]
    return " ".join(filter(None, parts))
