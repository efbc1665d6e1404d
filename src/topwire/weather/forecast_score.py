"""How good forecasts were: what they told of a day, beside what the record says came."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Annotated

import numpy as np

from topwire.values.arrays import Floats
from topwire.values.quantities import Celsius, Kelvins, Millimetres, Plain, Share
from topwire.weather.forecast_history import DayTold
from topwire.weather.record import Weather

WET = 1.0  # [mm] a day with rain
FROST = 0.0  # [deg C]
AROUND = 7  # [d] on either side of a day, whose mean in the years before stands as the plain guess
FEWEST = 5  # days, below which no score is told


@dataclass(frozen=True)
class DayCame:
    """One day: what the last forecast of an earlier day told, the one of three days before, and what came."""

    day: date
    tmin: tuple[Celsius, Celsius, Celsius]
    tmax: tuple[Celsius, Celsius, Celsius]
    rain: tuple[Millimetres, Millimetres, Millimetres]


@dataclass(frozen=True)
class AheadScore:
    """Forecasts of so many days ahead.

    Attributes
    ----------
    low_missed, high_missed : mean of what they missed by; low_plain, high_plain : the same of the usual of the season
    low_colder : by how much nights came colder than told, mean
    frosts : nights of frost that came; frosts_told : of them told
    wet : days with rain that came; wet_told : of them told; wet_false : share of days told wet that stayed dry
    """

    ahead: Annotated[int, Plain.COUNT]
    days: Annotated[int, Plain.COUNT]
    low_missed: Kelvins
    low_plain: Kelvins
    low_colder: Kelvins
    high_missed: Kelvins
    high_plain: Kelvins
    frosts: Annotated[int, Plain.COUNT]
    frosts_told: Annotated[int, Plain.COUNT]
    wet: Annotated[int, Plain.COUNT]
    wet_told: Annotated[int, Plain.COUNT]
    wet_false: Share


def scores(told: Sequence[DayTold], record: Weather, *, most: int = 7) -> tuple[AheadScore, ...]:
    """By days ahead, of all days whose low and high are in the record; the last forecast of a day stands for it."""
    found = []
    for ahead in range(most + 1):
        last = {one.day: one for one in told if one.ahead == ahead}  # in order of issue
        rows = [
            (one, low, high, rain)
            for one in last.values()
            for low, high, rain in [_of(record, one.day)]
            if np.isfinite([low, high, one.tmin, one.tmax]).all()
        ]
        if len(rows) >= FEWEST:
            found.append(_score(ahead, rows, record))
    return tuple(found)


def _score(ahead: int, rows: Sequence[tuple[DayTold, float, float, float]], record: Weather) -> AheadScore:
    low_told, high_told, rain_told = (
        np.array([getattr(one, name) for one, *_ in rows]) for name in ("tmin", "tmax", "rain")
    )
    low, high, rain = (np.array([row[at] for row in rows]) for at in (1, 2, 3))
    plain = np.array([_usual(record, one.day) for one, *_ in rows])
    both = np.isfinite(rain) & np.isfinite(rain_told)
    wet, says = (rain >= WET) & both, (rain_told >= WET) & both
    frost = low <= FROST
    return AheadScore(
        ahead,
        len(rows),
        _mean(np.abs(low - low_told)),
        _mean(np.abs(low - plain[:, 0])),
        float(np.mean(low_told - low)),
        _mean(np.abs(high - high_told)),
        _mean(np.abs(high - plain[:, 1])),
        int(frost.sum()),
        int((frost & (low_told <= FROST)).sum()),
        int(wet.sum()),
        int((wet & says).sum()),
        float((says & ~wet).sum() / says.sum()) if says.any() else float("nan"),
    )


def days_came(told: Sequence[DayTold], record: Weather, *, last: int) -> tuple[DayCame, ...]:
    """The last days of which something was told a day or three before and the record has what came."""
    by_day: dict[date, dict[int, DayTold]] = {}
    for one in told:
        by_day.setdefault(one.day, {})[one.ahead] = one
    found = []
    for day in sorted(by_day, reverse=True):
        came = _of(record, day)
        before = [by_day[day].get(ahead) for ahead in (1, 3)]
        if not any(before) or not np.isfinite(came[:2]).all():
            continue
        low, high, rain = (
            [float("nan") if one is None else getattr(one, name) for one in before]
            for name in ("tmin", "tmax", "rain")
        )
        found.append(
            DayCame(
                day,
                (low[0], low[1], came[0]),
                (high[0], high[1], came[1]),
                (rain[0], rain[1], came[2]),
            )
        )
        if len(found) == last:
            break
    return tuple(reversed(found))


def _of(record: Weather, day: date) -> tuple[float, float, float]:
    """Low, high and rain of a day that was measured; NaN where it was not, or a gap was filled."""
    at = int((np.datetime64(day) - record.day[0]).astype(np.int64)) if record.day.size else -1
    if not 0 <= at < record.day.size or record.filled[at]:
        return float("nan"), float("nan"), float("nan")
    return float(record.tmin[at]), float(record.tmax[at]), float(record.rain[at])


def _usual(record: Weather, day: date) -> tuple[float, float]:
    """Mean low and high about this day of the year in the years before it."""
    lows: list[Floats] = []
    highs: list[Floats] = []
    for back in range(1, 41):
        middle = day - timedelta(days=round(365.25 * back))
        at = int((np.datetime64(middle) - record.day[0]).astype(np.int64))
        if at - AROUND < 0:
            break
        stretch = slice(at - AROUND, at + AROUND + 1)
        lows.append(record.tmin[stretch])
        highs.append(record.tmax[stretch])
    if not lows:
        return float("nan"), float("nan")
    return _mean(np.concatenate(lows)), _mean(np.concatenate(highs))


def _mean(values: Floats) -> float:
    known = values[np.isfinite(values)]
    return float(known.mean()) if known.size else float("nan")
