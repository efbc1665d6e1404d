"""Which work of the calendar falls between two dates, and how its hours lie on the rows."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from topwire.layout.findings import Ground, Layout
from topwire.ledger.findings import Job, JobKind
from topwire.values.address import row_name
from topwire.values.quantities import Hours, Share


@dataclass(frozen=True)
class DueTask:
    """A job with its part between two dates.

    Attributes
    ----------
    job : as the calendar has it
    first, last : ISO dates of the part
    hours : of the part, the job's hours spread evenly over its days; None where they are counted with another job
    """

    job: Job
    first: str
    last: str
    hours: Hours | None


@dataclass(frozen=True)
class RowPart:
    """A row's part of a job."""

    row: str  # address, “South 3”
    trees: int
    share: Share


def tasks_between(jobs: Sequence[Job], first: date, last: date) -> tuple[DueTask, ...]:
    """Every job with a day from `first` to `last`, in the calendar's order.

    Parameters
    ----------
    jobs : sequence of Job
        The calendar of the Ledger.
    first, last : date
        Both counted in.
    """
    found = []
    for job in jobs:
        start, end = date.fromisoformat(job.start), date.fromisoformat(job.end)
        begins, ends = max(start, first), min(end, last)
        if begins <= ends:
            part = ((ends - begins).days + 1) / ((end - start).days + 1)
            hours = None if job.hours is None else job.hours * part
            found.append(DueTask(job, begins.isoformat(), ends.isoformat(), hours))
    return tuple(found)


def trees_by_row(ground: Ground, layout: Layout) -> Mapping[str, Mapping[str, int]]:
    """Trees of each cultivar in each row that has any, by the row's address."""
    found: dict[str, dict[str, int]] = {}
    for block, row, cultivar in zip(ground.block, ground.row, layout.cultivar, strict=True):
        if cultivar >= 0:
            land = ground.blocks[int(block)]
            row = found.setdefault(row_name(land.name, land.rows[int(row)].number), {})
            name = layout.cultivars[int(cultivar)]
            row[name] = row.get(name, 0) + 1
    return found


def rows_of(job: Job, rows: Mapping[str, Mapping[str, int]]) -> tuple[RowPart, ...]:
    """Rows a job is done in with their share of its hours, by their trees; none where it is not done by row.

    Parameters
    ----------
    job : Job
    rows : mapping
        As of `trees_by_row`.
    """
    if not job.by_row:
        return ()
    picks = job.kind is JobKind.PICK
    trees = {row: kinds.get(job.cultivar, 0) if picks else sum(kinds.values()) for row, kinds in rows.items()}
    total = sum(trees.values())
    return tuple(RowPart(row, count, count / total) for row, count in trees.items() if count)
