"""A week as an iCalendar file: the plan's own events, moved with this year's stages, and when fruit is ripe."""

from datetime import UTC, date, datetime, timedelta

from topwire.export.calendar_file import PRODUCT, all_day, described
from topwire.ledger.findings import JobKind
from topwire.protection.telling import about_bees
from topwire.season.findings import WeekFindings
from topwire.tell.ledger import job_words
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told


def week_calendar(found: WeekFindings) -> bytes:
    """Jobs keep the UID they have in calendar.ics, so that a calendar program moves them."""
    from icalendar import Calendar

    made = Calendar()
    made.add("prodid", PRODUCT)
    made.add("version", "2.0")
    made.add("x-wr-calname", found.name)
    day = date.fromisoformat(found.day)
    stamp = datetime(day.year, day.month, day.day, tzinfo=UTC)
    works = {line.item: line for line in found.works}
    reader = Reader(found.units)
    told = set()
    for line in found.jobs:
        job = line.job
        if job.kind is JobKind.PICK:
            told.add(job.cultivar)
        said = job_words(job, works, reader)
        event = all_day(
            f"{found.name}|{job.key}",
            (line.start, line.end),
            said.what,
            described(job, said, reader),
            str(job.kind),
            stamp,
        )
        event.add("sequence", day.toordinal())  # a later week's word wins
        made.add_component(event)
    for bees in all_told(about_bees(found.threats.open_bloom if found.stages else ()), reader):
        what = f"{found.name}|bees|{day}", (found.day, found.day), "flowers open: bees fly"
        made.add_component(all_day(*what, bees.says, "bees", stamp))
    for pick in found.picks:
        if pick.cultivar in told:
            continue
        start, end = (
            date(day.year, 1, 1) + timedelta(days=round(when.middle) - 1) for when in (pick.first, pick.last)
        )
        event = all_day(
            f"{found.name}|pick|{pick.cultivar}|{day.year}",
            (start.isoformat(), end.isoformat()),
            f"pick {pick.cultivar}",
            f"{'; '.join(pick.rows)}. {pick.crates} crates this week.",
            str(JobKind.PICK),
            stamp,
        )
        event.add("sequence", day.toordinal())
        made.add_component(event)
    written: bytes = made.to_ical()
    return written
