"""Which dates of a season are weighed: one far from what is reckoned is taken for a slip unless others bear it out."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from topwire.phenology.calibration import DateSpread
from topwire.phenology.forecast import Array, Forecast
from topwire.phenology.own_dates import events_of
from topwire.season.medians import medians
from topwire.season.seen import DaySeen
from topwire.values.own_date import DateSeen, OwnDate

FAR = 4.0  # of its errors from which a date is left out: one in ten thousand, were they normal
BORNE_OUT = 2  # other cultivars as early or late from which it was the year


@dataclass(frozen=True)
class DateLeftOut:
    """A date that moves nothing; `days` later than reckoned, below zero earlier."""

    row: OwnDate
    days: float


@dataclass(frozen=True)
class DatesWeighed:
    """Dates of one kind: those taken, one a cultivar and event, and those left out."""

    taken: tuple[OwnDate, ...]
    left_out: tuple[DateLeftOut, ...]


@dataclass(frozen=True)
class Judge:
    """What dates are held against.

    Attributes
    ----------
    names : of the cultivars
    middle, error : (cultivars,) by event: day reckoned, and its standard deviation with that of the weather to come [d]
    own : (cultivars,) the part of the error that no other cultivar shares [d]
    """

    names: tuple[str, ...]
    middle: Mapping[DateSeen, Array]
    error: Mapping[DateSeen, Array]
    own: Array

    @classmethod
    def of(cls, found: Forecast, names: tuple[str, ...], spread: DateSpread, offset: Array) -> "Judge":
        own = np.hypot(offset, spread.single)
        whole = np.sqrt(own**2 + spread.place**2 + spread.year**2)
        middle, error = {}, {}
        for event, days in events_of(found).items():
            known = np.isfinite(days)
            count = np.maximum(known.sum(axis=0), 1)
            mean = np.where(known, days, 0.0).sum(axis=0) / count
            variance = (np.where(known, days - mean, 0.0) ** 2).sum(axis=0) / count
            middle[event], error[event] = medians(days), np.sqrt(whole**2 + variance)
        return cls(names, middle, error, own)

    def left_out(self, rows: Sequence[OwnDate]) -> tuple[DateLeftOut, ...]:
        """Those too far off that no two other cultivars bear out; what is not reckoned is not judged."""
        away = [(row, self.names.index(row.cultivar)) for row in rows]
        days = np.array(
            [float(row.date.timetuple().tm_yday - self.middle[row.event][at]) for row, at in away]
        )
        found = []
        for (row, at), off in zip(away, days, strict=True):
            if not abs(off) > FAR * self.error[row.event][at]:
                continue
            alike = np.abs(days - off) <= FAR * self.own[at]
            others = {other.cultivar for (other, _), near in zip(away, alike, strict=True) if near}
            if len(others - {row.cultivar}) < BORNE_OUT:
                found.append(DateLeftOut(row, float(off)))
        return tuple(found)

    def weigh(
        self, rows: Sequence[OwnDate], picked: Mapping[str, Sequence[date]] | None = None
    ) -> DatesWeighed:
        """Dates as they were noted, and where no first pick was that is believed, the first fruit picked.

        Parameters
        ----------
        picked : by cultivar, days on which fruit was picked
        """
        out: tuple[DateLeftOut, ...] = ()
        doubted = {one.row for one in self.left_out(rows)}
        noted = {row.cultivar for row in rows if row.event is DateSeen.FIRST_PICK and row not in doubted}
        days = {name: sorted(its) for name, its in (picked or {}).items() if name not in noted and its}
        while True:
            first = [_first_fruit(name, its[0]) for name, its in days.items()]
            every = [*rows, *first]
            now = self.left_out(every)
            # A slip before the harvest: the next day's fruit is the first.
            slips = [
                one for one in now if one.days < 0 and one.row in first and len(days[one.row.cultivar]) > 1
            ]
            if not slips:
                break
            out += tuple(slips)
            for one in slips:
                days[one.row.cultivar].pop(0)
        left_out = dict.fromkeys((*out, *now))
        gone = {one.row for one in left_out}
        return DatesWeighed(_merged([row for row in every if row not in gone]), tuple(left_out))


def _first_fruit(name: str, day: date) -> OwnDate:
    return OwnDate(f"{name}, fruit of {day}", name, DateSeen.FIRST_PICK, day)


def _merged(rows: Sequence[OwnDate]) -> tuple[OwnDate, ...]:
    """One date a cultivar and event: the middle of those seen."""
    days: dict[tuple[str, DateSeen], list[int]] = defaultdict(list)
    for row in rows:
        times = row.times if isinstance(row, DaySeen) else 1
        days[row.cultivar, row.event] += [row.date.toordinal()] * times
    return tuple(
        OwnDate(f"{name} {event}", name, event, date.fromordinal(round(float(np.median(its)))))
        for (name, event), its in days.items()
    )
