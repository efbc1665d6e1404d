"""Which station's record serves the orchard best: near, of like height, long, whole, still reporting.

The weights are ours (common practice, no source): 30 km off, 100 m higher or lower, a fifth of the days missing, or
ten years short of thirty each cost one point; a record that has stopped costs two. Fewest points win.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from topwire.values.arrays import Days
from topwire.weather.online.lists import NearStation
from topwire.weather.reading import Reading

WANTED = 30  # [years]
STOPPED = 60  # [d] without a day, from which a record no longer goes on
SPRING = (4, 5)  # months whose coldest nights are held beside each other
FEWEST_NIGHTS = 60
_KILOMETRES, _METRES, _MISSING, _SHORT = 30_000.0, 100.0, 0.2, 10.0


class Lost(StrEnum):
    """What a station's points come from."""

    DISTANCE = "distance"
    HEIGHT = "height"
    GAPS = "gaps"
    SHORT = "short"
    STOPPED = "stopped"


@dataclass(frozen=True)
class StationCandidate:
    """A station with what its record holds.

    Attributes
    ----------
    station : place in the list
    first, last : day with a temperature
    years : from the first to the last [a]
    whole : share of the days of the last thirty years (or of its own, where shorter) with both temperatures
    failed : share of values that failed the network's own checks
    hour : of the day at which it is read, most often; NaN where not told
    coldest : how much colder (-) than the other candidates its coldest tenth of April and May nights is, on nights both
        have [K]; NaN where no other has enough
    points : by what they come from; fewest are best
    """

    station: NearStation
    first: np.datetime64
    last: np.datetime64
    years: float
    whole: float
    failed: float
    hour: float
    coldest: float
    points: dict[Lost, float]

    @property
    def total(self) -> float:
        return sum(self.points.values())


def judged(
    found: Sequence[tuple[NearStation, Reading, float, float]], today: np.datetime64
) -> list[StationCandidate]:
    """Candidates, the best first.

    Parameters
    ----------
    found : station, its record, share of values that failed, hour of observation (NaN where not told)
    today : the present day
    """
    made = []
    for at, (station, reading, failed, hour) in enumerate(found):
        others = [other for number, (_, other, _, _) in enumerate(found) if number != at]
        made.append(_judged(station, reading, failed, hour, others, today))
    return sorted(made, key=lambda one: (one.total, one.station.station))


def why_lost(one: StationCandidate, best: StationCandidate) -> Lost:
    """What costs `one` most, beside the best."""
    return max(Lost, key=lambda cause: one.points[cause] - best.points[cause])


def _judged(
    station: NearStation,
    reading: Reading,
    failed: float,
    hour: float,
    others: Sequence[Reading],
    today: np.datetime64,
) -> StationCandidate:
    both = reading.day[_both(reading)]
    first, last = (both[0], both[-1]) if both.size else (today, today - 99_999)
    since = max(first, today - np.timedelta64(round(WANTED * 365.25), "D"))
    span = max(int((min(last, today) - since).astype(np.int64)) + 1, 1)
    whole = float((both >= since).sum() / span)
    years = max(float((last - first).astype(np.int64)) / 365.25, 0.0)
    higher = _METRES if np.isnan(station.higher) else abs(station.higher)
    points = {
        Lost.DISTANCE: station.distance / _KILOMETRES,
        Lost.HEIGHT: higher / _METRES,
        Lost.GAPS: (1 - min(whole, 1.0)) / _MISSING,
        Lost.SHORT: max(WANTED - years, 0.0) / _SHORT,
        Lost.STOPPED: 2.0 if (today - last).astype(np.int64) > STOPPED else 0.0,
    }
    return StationCandidate(
        station, first, last, years, whole, failed, hour, _colder(reading, others), points
    )


def _both(reading: Reading) -> np.ndarray:
    nothing = np.full(reading.day.size, np.nan)
    low, high = (reading.columns.get(name, nothing) for name in ("tmin", "tmax"))
    return np.isfinite(low) & np.isfinite(high)


def _colder(reading: Reading, others: Sequence[Reading]) -> float:
    """Mean difference to the others on the coldest tenth of spring nights, coldest by the mean of both."""
    day, low = _spring(reading)
    apart = []
    for other in others:
        other_day, other_low = _spring(other)
        _, here, there = np.intersect1d(day, other_day, return_indices=True)
        if here.size < FEWEST_NIGHTS:
            continue
        middle = (low[here] + other_low[there]) / 2
        coldest = middle <= np.quantile(middle, 0.1)
        apart.append(float(np.mean((low[here] - other_low[there])[coldest])))
    return float(np.mean(apart)) if apart else float("nan")


def _spring(reading: Reading) -> tuple[Days, np.ndarray]:
    low = reading.columns.get("tmin", np.full(reading.day.size, np.nan))
    month = reading.day.astype("datetime64[M]").astype(np.int64) % 12 + 1
    kept = np.isfinite(low) & np.isin(month, SPRING)
    return reading.day[kept], low[kept]
