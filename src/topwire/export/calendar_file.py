"""Every job to the horizon as an iCalendar file (RFC 5545), from the Ledger's calendar alone."""

import hashlib
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

from topwire.engine.orchard import Orchard
from topwire.export.comma import Absent
from topwire.ledger.findings import Job, WorkText
from topwire.tell.ledger import BILLS, hangs_on, job_words
from topwire.tell.reader import Reader

if TYPE_CHECKING:
    from icalendar import Event

PRODUCT = "-//topwire//orchard calendar//EN"


def calendar(orchard: Orchard) -> bytes:
    """All-day events; a job keeps its UID from run to run whatever its dates become, so a calendar program moves it.

    Raises
    ------
    Absent
        When the ledger was not computed.
    """
    from icalendar import Calendar

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
        found.add_component(
            all_day(
                f"{orchard.origin.name}|{job.key}",
                (job.start, job.end),
                said.what,
                described(job, said, reader),
                str(job.kind),
                stamp,
            )
        )
    made: bytes = found.to_ical()
    return made


def all_day(name: str, days: tuple[str, str], what: str, how: str, category: str, stamp: datetime) -> "Event":
    """An event of whole days; its UID hangs on `name` alone."""
    from icalendar import Event

    event = Event()
    event.add("uid", f"{hashlib.sha256(name.encode()).hexdigest()[:32]}@topwire")
    event.add("dtstamp", stamp)
    event.add("dtstart", date.fromisoformat(days[0]))
    event.add("dtend", date.fromisoformat(days[1]) + timedelta(days=1))  # the day after the last
    event.add("summary", what)
    event.add("description", how)
    event.add("categories", [category])
    event.add("transp", "TRANSPARENT")
    return event


def described(job: Job, said: WorkText, reader: Reader) -> str:
    hours = "" if job.hours is None else f"About {job.hours:,.0f} hours, {job.people} at a time."
    parts = [
        "" if job.leaf is None else f"Leaf {job.leaf}.",
        f"{said.how}." if said.how else "",
        f"Tools: {said.tools}." if said.tools else "",
        hours,
        f"Material: {BILLS[job.bill]}." if job.bill else "",
        f"Hangs on: {hangs_on(job, reader)}.",
        f"Caution: {said.caution}" if said.caution else "",
    ]
    return " ".join(filter(None, parts))
