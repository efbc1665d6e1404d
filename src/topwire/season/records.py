"""From the records of an orchard's folder to what a week sees of them."""

from datetime import date

from topwire.records.read import read_records
from topwire.season.kept import OpenedFolder
from topwire.season.seen import Seen
from topwire.values.own_date import OwnDate


def seen_by(opened: OpenedFolder, day: date) -> Seen:
    """What was written down before `day`.

    Raises
    ------
    Faults
        When a file of the records cannot be used.
    """
    rows = read_records(opened.folder, None).rows("bloom", OwnDate)
    return Seen(day, tuple(row for row in rows if row.date < day))
