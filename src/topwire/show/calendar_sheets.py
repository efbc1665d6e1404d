"""Sheets of the calendar: the next ninety days, the years to the first crop, the year of grown trees, a late start."""

from collections.abc import Sequence
from datetime import date, timedelta

from topwire.layout.findings import Ground, Layout
from topwire.ledger.findings import Job, JobKind, LateLine, Ledger
from topwire.ledger.tasks import DueTask, rows_of, tasks_between, trees_by_row
from topwire.ledger.tools import tools_in
from topwire.show.sheet import Column, Link, Linked, LinkKind, Sheet, StandsIn, Value, sheet_of, table
from topwire.tell.ledger import BILLS, hangs_on, how_had, job_words, lost_words
from topwire.tell.reader import Reader
from topwire.values.quantities import Plain

_LABOUR = table("labour")
_WORK = table("work_calendar")
_FIRST_LEAVES = 3
_AHEAD = 90  # [d]
SPRAYED = frozenset(
    {"scout", "hives in"}
)  # their cautions, of any spray and of bees, stand wherever the year does
_LARGE = 3e4  # [m2] of tree ground from which parts of an hour do not count


def calendar_sheets(found: Ledger, reader: Reader) -> list[Sheet]:
    """Every sheet of the calendar, what comes first first."""
    made = [next_days(found, reader), first_years(found, reader), tools(found, reader)]
    made.append(every_year(found, reader))
    if found.late:
        made.append(late_start(found, reader))
    return [*made, calendar(found, reader)]


def hour_digits(found: Ledger) -> int:
    """A few trees take parts of an hour."""
    return 0 if found.areas.tree_ground >= _LARGE else 1


def due_next(found: Ledger) -> tuple[DueTask, ...]:
    """The first ninety days of the list."""
    if not found.calendar:
        return ()
    first = date.fromisoformat(min(job.start for job in found.calendar))
    return tasks_between(found.calendar, first, first + timedelta(days=_AHEAD - 1))


def next_days(found: Ledger, reader: Reader) -> Sheet:
    works = {line.item: line for line in found.works}
    return sheet_of(
        "ledger.next_days",
        "The first 90 days",
        (
            Column("from", "from", width=0.9, of=lambda due: date.fromisoformat(due.first)),
            Column("to", "to", width=0.9, of=lambda due: date.fromisoformat(due.job.end)),
            Column(
                "what", "what", width=2, links=_WORK, of=lambda due: job_words(due.job, works, reader).what
            ),
            Column("hours", "hours", Plain.HOURS, hour_digits(found), width=0.6, links=_LABOUR),
            Column("people", "people", width=0.6, of=lambda due: due.job.people),
            Column("tools", "tools", width=2, of=lambda due: job_words(due.job, works, reader).tools),
            Column("bill", "material", width=1.4, of=lambda due: BILLS.get(due.job.bill, "")),
        ),
        due_next(found),
        "From the first day of the list, or from the day years.begin names; hours of these days alone.",
        tuple(cautions([due.job for due in due_next(found)], found, reader)),
    )


def row_hours(found: Ledger, ground: Ground, layout: Layout) -> Sheet:
    """Hours in each row by leaf, of the work that is done row by row."""
    rows = trees_by_row(ground, layout)
    shown = [leaf for leaf in (1, 2, 3, 5, 10) if leaf < len(found.years)]
    hours = {row: dict.fromkeys(shown, 0.0) for row in rows}
    for job in found.calendar:
        if job.leaf in shown and job.hours is not None:
            for part in rows_of(job, rows):
                hours[part.row][job.leaf] += part.share * job.hours
    return Sheet(
        "ledger.rows",
        "Hours of each row",
        (
            Column("row", "row"),
            Column("trees", "trees"),
            *(Column(f"leaf_{leaf}", f"leaf {leaf}", Plain.HOURS, 1, links=_LABOUR) for leaf in shown),
        ),
        tuple((row, sum(kinds.values()), *hours[row].values()) for row, kinds in rows.items()),
        "Work done row by row, shared out by the trees; picking by those of the cultivar.",
        stands_in=StandsIn.SPREADSHEET,
    )


def late_start(found: Ledger, reader: Reader) -> Sheet:
    def begins(line: LateLine) -> Value:
        return "left out" if line.begins is None else date.fromisoformat(line.begins)

    def slips(line: LateLine) -> Value:
        if line.begins is None:
            return ""
        return max((date.fromisoformat(line.begins) - date.fromisoformat(line.wished)).days, 0)

    return sheet_of(
        "ledger.late_start",
        "Starting late: the last date of each, and what is lost",
        (
            Column(
                "what", "what", width=1.8, links=_WORK, of=lambda line: lost_words(line, found, reader).what
            ),
            Column("wished", "wished from", width=0.9, of=lambda line: date.fromisoformat(line.wished)),
            Column("begins", "begins", width=0.9, of=begins, links=(Link(LinkKind.SETTING, "years.begin"),)),
            Column("slips", "days later", width=0.6, of=slips),
            Column(
                "last",
                "done by, to plant on the day",
                width=1,
                of=lambda line: None if line.last is None else date.fromisoformat(line.last),
            ),
            Column(
                "lost",
                "what is lost without it",
                width=2.4,
                of=lambda line: lost_words(line, found, reader).lost,
            ),
        ),
        found.late,
        "Set years.begin to the day you can begin: what cannot be done any more is left out, the rest moves.",
    )


def first_years(found: Ledger, reader: Reader) -> Sheet:
    """From the soil test to the end of the third leaf."""
    jobs = [job for job in found.calendar if job.leaf is None or job.leaf <= _FIRST_LEAVES]
    return Sheet(
        "ledger.first_years",
        "From the soil test to the third leaf",
        (
            Column("from", "from", width=0.9),
            Column("to", "to", width=0.9),
            Column("latest", "at the latest", width=0.9),
            Column("what", "what", width=1.4, links=_WORK),
            Column("how", "how, and tools", width=2.8),
            Column("hours", "hours", Plain.HOURS, hour_digits(found), width=0.5, links=_LABOUR),
            Column("people", "people", width=0.6),
            Column("hangs_on", "hangs on", width=1.1),
        ),
        _rows(jobs, found, reader, with_year=True),
        "Dates of a middle year. No line comes before what it waits for. At the latest: later holds up what waits.",
        tuple(cautions(jobs, found, reader)),
    )


def own_grafts(found: Ledger, reader: Reader) -> Sheet:
    """From the order of stocks to the planting: when wood is cut, grafted and budded, and how."""
    words = {work.item: work for work in found.works}
    return sheet_of(
        "ledger.own_grafts",
        "From the order of stocks to the planting",
        (
            Column("from", "from", width=0.9, of=lambda job: date.fromisoformat(job.start)),
            Column("latest", "at the latest", width=0.9, of=lambda job: date.fromisoformat(job.latest)),
            Column("what", "what", width=1.3, of=lambda job: job_words(job, words, reader).what),
            Column("how", "how", width=4.6, of=lambda job: job_words(job, words, reader).how),
        ),
        [job for job in found.calendar if job.kind is JobKind.NURSERY],
        "Dates of a middle year. At the latest: later holds up what waits for it.",
    )


def tools(found: Ledger, reader: Reader) -> Sheet:
    """Every tool of the first years, in the order it is wanted."""
    works = {line.item: line for line in found.works}
    rows = {row.tool: row for row in found.tools}
    wanted: dict[str, tuple[Job, list[str]]] = {}
    for job in found.calendar:
        if job.leaf is None or job.leaf <= _FIRST_LEAVES:
            said = job_words(job, works, reader)
            for name in tools_in(said.tools):
                uses = wanted.setdefault(name, (job, []))[1]
                if said.what not in uses:
                    uses.append(said.what)
    return Sheet(
        "ledger.tools",
        "Tools to the third leaf",
        (
            Column("tool", "tool", width=1.2, links=table("tools")),
            Column("had", "how to have it", width=2),
            Column("from", "from", width=0.8),
            Column("for", "for", width=3),
        ),
        tuple(
            (
                name,
                how_had(rows[name], found) if name in rows else "",
                date.fromisoformat(job.start),
                ", ".join(uses[:3]) + (f" and {len(uses) - 3} more" if len(uses) > 3 else ""),
            )
            for name, (job, uses) in wanted.items()
        ),
        "In the order they are wanted; what is hired is spoken for weeks before.",
    )


def every_year(found: Ledger, reader: Reader) -> Sheet:
    """The year of full-grown trees."""
    leaf = min(10, len(found.years) - 1)
    jobs = [job for job in found.calendar if job.leaf == leaf]
    return Sheet(
        "ledger.every_year",
        f"The year of grown trees, here leaf {leaf}",
        (
            Column("from", "from", Plain.DAY_OF_YEAR, width=0.7),
            Column("to", "to", Plain.DAY_OF_YEAR, width=0.7),
            Column("what", "what", width=1.4, links=_WORK),
            Column("how", "how, and tools", width=3),
            Column("hours", "hours", Plain.HOURS, hour_digits(found), width=0.5, links=_LABOUR),
            Column("people", "people", width=0.6),
            Column("hangs_on", "hangs on", width=1.2),
        ),
        _rows(jobs, found, reader, with_year=False),
        "Dates of a middle year.",
        tuple(cautions(jobs, found, reader)),
    )


def _rows(
    jobs: Sequence[Job], found: Ledger, reader: Reader, *, with_year: bool
) -> tuple[tuple[Value, ...], ...]:
    """What is done as in the line before is not said again."""
    works = {line.item: line for line in found.works}
    rows: list[tuple[Value, ...]] = []
    before = ""
    for job in jobs:
        said = job_words(job, works, reader)
        how = f"{said.how} ({said.tools})" if said.tools else said.how
        days = [date.fromisoformat(day) for day in (job.start, job.end, job.latest)]
        when: tuple[Value, ...] = (
            tuple(days) if with_year else tuple(day.timetuple().tm_yday for day in days[:2])
        )
        what = Linked(said.what, Link(LinkKind.CULTIVAR, job.cultivar)) if job.cultivar else said.what
        shown = "as above" if how == before else how
        rows.append((*when, what, shown, job.hours, job.people, hangs_on(job, reader)))
        before = how
    return tuple(rows)


def calendar(found: Ledger, reader: Reader) -> Sheet:
    """Every job of the horizon."""
    works = {line.item: line for line in found.works}
    rows: list[tuple[Value, ...]] = [
        (
            date.fromisoformat(job.start),
            date.fromisoformat(job.end),
            job_words(job, works, reader).what,
            job.leaf,
            job.hours,
            job.people,
            job_words(job, works, reader).tools,
            BILLS.get(job.bill, ""),
            job.key,
            ", ".join(job.after),
        )
        for job in found.calendar
    ]
    return Sheet(
        "ledger.calendar",
        "All work to the horizon",
        (
            Column("from", "from"),
            Column("to", "to"),
            Column("what", "what", links=_WORK),
            Column("leaf", "leaf"),
            Column("hours", "hours", Plain.HOURS, 1, links=_LABOUR),
            Column("people", "people"),
            Column("tools", "tools"),
            Column("bill", "material"),
            Column("key", "name of the line"),
            Column("after", "waits for"),
        ),
        tuple(rows),
        "Dates of a middle year.",
        stands_in=StandsIn.SPREADSHEET,
    )


def cautions(jobs: Sequence[Job], found: Ledger, reader: Reader) -> list[str]:
    """Each caution once, with the work it belongs to."""
    works = {line.item: line for line in found.works}
    dangers: dict[str, list[str]] = {}
    for job in jobs:
        said = job_words(job, works, reader)
        if said.caution and said.what not in dangers.setdefault(said.caution, []):
            dangers[said.caution].append(said.what)
    return [
        f"Caution, {', '.join(names[:3])}{f' and {len(names) - 3} more' if len(names) > 3 else ''}: {says}"
        for says, names in dangers.items()
    ]
