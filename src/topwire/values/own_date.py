"""A date the grower saw: bloom or the first pick of one cultivar in one year."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class DateSeen(StrEnum):
    FIRST_BLOOM = "first bloom"
    FULL_BLOOM = "full bloom"
    PETAL_FALL = "petal fall"
    FIRST_PICK = "first pick"


@dataclass(frozen=True)
class OwnDate:
    """A row of records/bloom.csv: a date seen in the orchard, or near it.

    `entry` is any number or word that no other row has; `date` is written 2024-04-28 and says the year.
    """

    entry: str
    cultivar: str
    event: DateSeen
    date: date
    remark: str | None = None
