"""What the records say of an orchard by a day: the only picture of them the season's sums see."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from topwire.values.own_date import OwnDate


@dataclass(frozen=True)
class Seen:
    """By the morning of `day`.

    Attributes
    ----------
    dates : of bloom and first picks, this year's and earlier ones
    done : keys of jobs of the calendar noted as done
    picked : this year, by cultivar [kg]
    over : cultivars whose harvest is noted as over this year
    runs : hours of water run this year, by zone
    """

    day: date
    dates: tuple[OwnDate, ...] = ()
    done: frozenset[str] = frozenset()
    picked: Mapping[str, float] = field(default_factory=dict)
    over: tuple[str, ...] = ()
    runs: Mapping[str, tuple[tuple[date, float], ...]] = field(default_factory=dict)

    @property
    def this_year(self) -> tuple[OwnDate, ...]:
        return tuple(row for row in self.dates if row.date.year == self.day.year)
