"""The orchard's own thermometer beside the record: how much colder its clear mornings are, month by month.

A hollow differs from a station on clear calm nights and hardly on others, so only such mornings are taken: those the
grower calls clear, or else those before which the record swung as far from day to night as it does in the middle night
of the month. Ten to twenty pairs show the difference (common practice, no source); few pairs draw it towards none, and
each month towards the mean of all.
"""

from dataclasses import dataclass

import numpy as np

from topwire.files.cells import read_cells
from topwire.values.arrays import Booleans, Days, Floats
from topwire.values.fault import Faults, FileNotice, fault
from topwire.weather.cell import month_of
from topwire.weather.table import day_of

FEWEST = 10  # clear mornings paired with the record, before they count
DRAWN, DRAWN_MONTH = 3.0, 8.0  # pairs that weigh as much as “no difference”, and as “a month like all”
FARTHEST = 15.0  # [K] beyond it the two are not of one morning
_COLD = {"lowest_c": (1.0, 0.0), "lowest_f": (1 / 1.8, -32 / 1.8)}
_SKIES = {"clear": True, "cloudy": False, "windy": False, "": None}


@dataclass(frozen=True)
class OwnMornings:
    """Mornings read in the orchard.

    Attributes
    ----------
    day : (mornings,)
    lowest : (mornings,) [deg C]
    clear : for each, True or False as the grower says; None where he does not
    """

    day: Days
    lowest: Floats
    clear: tuple[bool | None, ...]


@dataclass(frozen=True)
class MorningSteps:
    """What the mornings teach.

    Attributes
    ----------
    colder : [K] how much colder the orchard's clear mornings are than the record's, drawn towards nothing
    month : (12,) [K] what a month's clear mornings are warmer (+) or colder (-) beside that mean
    clear : clear mornings paired
    other : mornings paired that were not clear
    colder_other : [K] the same of those, for information; NaN where there are none
    spread : [K] standard deviation of the clear pairs about their mean
    """

    colder: float
    month: Floats
    clear: int
    other: int
    colder_other: float
    spread: float


def read_mornings(text: str, where: str) -> OwnMornings:
    """A table of date, lowest_c or lowest_f, and, if there, sky: clear, cloudy or windy.

    Raises
    ------
    Faults
        Every line that cannot be read, with what would be right.
    """
    columns, lines = read_cells(text, where)
    cold = [name for name in columns if name in _COLD]
    faults: list[FileNotice] = []
    if "date" not in columns or len(cold) != 1:
        says = "needs a column date and one of lowest_c, lowest_f."
        raise Faults([fault(f"{where}, line 1", says, "date,lowest_f,sky")])
    factor, offset = _COLD[cold[0]]
    days, lowest, clear = [], [], []
    for number, cells in lines:
        day, sky = day_of(cells["date"]), cells.get("sky", "").lower()
        try:
            value = float(cells[cold[0]]) * factor + offset
        except (ValueError, KeyError):
            value = float("nan")
        if day is None:
            faults.append(fault(f"{where}, line {number}, date", "is not a date.", "Write 2026-04-21."))
        elif not -60 < value < 40:
            says = f"“{cells.get(cold[0], '')[:20]}” is no lowest temperature."
            faults.append(fault(f"{where}, line {number}, {cold[0]}", says, "Write a number."))
        elif sky not in _SKIES:
            faults.append(
                fault(f"{where}, line {number}, sky", f"“{sky[:20]}” is not known.", "clear, cloudy or windy")
            )
        else:
            days.append(day)
            lowest.append(value)
            clear.append(_SKIES[sky])
    if len(set(days)) < len(days):
        faults.append(fault(where, "holds a morning twice.", "Keep one line a morning."))
    if faults:
        raise Faults(faults[:20])
    return OwnMornings(np.array(days, dtype="datetime64[D]"), np.array(lowest), tuple(clear))


def steps_of(mornings: OwnMornings, day: Days, tmin: Floats, tmax: Floats) -> MorningSteps | None:
    """What the mornings say beside the record; None where fewer than ten clear ones have a pair.

    Parameters
    ----------
    day : (days,) of the record, unbroken
    tmin, tmax : (days,) [deg C]
    """
    if not mornings.day.size or not day.size:
        return None
    at = (mornings.day - day[0]).astype(np.int64)
    inside = (at >= 0) & (at < day.size)
    apart = np.full(at.size, np.nan)
    apart[inside] = mornings.lowest[inside] - tmin[at[inside]]
    known = np.isfinite(apart) & (np.abs(apart) <= FARTHEST)
    swung = clear_nights(day, tmin, tmax)
    clear = np.array(
        [
            bool(swung[place]) if told is None and ok else bool(told)
            for told, place, ok in zip(mornings.clear, at, inside, strict=True)
        ]
    )
    pairs, others = apart[known & clear], apart[known & ~clear]
    if pairs.size < FEWEST:
        return None
    mean = float(pairs.mean() * pairs.size / (pairs.size + DRAWN))
    month = month_of(mornings.day[known & clear])
    count = np.bincount(month, minlength=12)
    total = np.bincount(month, weights=pairs - pairs.mean(), minlength=12)
    return MorningSteps(
        colder=-mean,
        month=total / (count + DRAWN_MONTH),
        clear=pairs.size,
        other=others.size,
        colder_other=-float(others.mean()) if others.size else float("nan"),
        spread=float(pairs.std(ddof=1)),
    )


def clear_nights(day: Days, tmin: Floats, tmax: Floats) -> Booleans:
    """Nights before which the temperature fell at least as far as in the middle night of the month. (days,)"""
    fell = np.full(day.size, np.nan)
    fell[1:] = tmax[:-1] - tmin[1:]
    month = month_of(day)
    middle = np.full(12, np.nan)
    for one in range(12):
        of = fell[(month == one) & np.isfinite(fell)]
        if of.size:
            middle[one] = np.median(of)
    with np.errstate(invalid="ignore"):
        found: Booleans = fell >= middle[month]
    return found


def by_month(steps: MorningSteps, day: Days, tmin: Floats, tmax: Floats) -> Floats:
    """The record's lowest, with what each month's clear nights are beside the mean of all. (days,) [deg C]"""
    moved = np.where(clear_nights(day, tmin, tmax), tmin + steps.month[month_of(day)], tmin)
    found: Floats = np.where(np.isfinite(tmax), np.fmin(moved, tmax), moved)
    return found
