"""Sugar in the thinning window of every weather year, on a scale made of the place's own years."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from topwire.growth.asked import SpringWeather
from topwire.growth.carbon import BASE, canopy_photosynthesis, leaf_area_index, sugar_wanted
from topwire.growth.trunk import Floats, Integers
from topwire.values.quantities import DayOfYear, Share
from topwire.weather.radiation import radiation_from_range
from topwire.weather.sun import day_length, extraterrestrial_radiation

_PAR = 0.5  # share of the global radiation leaves can use
WINDOW = (200.0, 250.0)  # [K d] base 4 deg C after full bloom, fruit about 12 mm (THIN-WISC21)
AFTER = 3  # [d] after the window that count with it, since fruitlets fall days after a want: planning figure
FEW_YEARS = 8  # below it a rank says little: planning figure, no source
_SHORTEST, _RICHEST = 0.25, 0.75  # the shortest and the richest quarter of a place's years


class SugarYearIs(StrEnum):
    """Where a year stands among the place's own."""

    SHORT = "short"  # in the shortest quarter: more fruit falls by itself
    ORDINARY = "ordinary"
    AMPLE = "ample"  # in the richest quarter: fruit holds


@dataclass(frozen=True)
class SugarYear:
    """The main thinning window of one weather year.

    `made` and `wanted` are daily means beside those of the place's middle year, 1 = equal; `shorter` is the share of
    the place's other years in which less was made for what was wanted.
    """

    year: int
    first_day: DayOfYear
    last_day: DayOfYear
    made: Share
    wanted: Share
    shorter: Share
    stands: SugarYearIs


def sugar_years(
    spring: SpringWeather, years: Integers, full_bloom: Floats, *, latitude: float
) -> tuple[SugarYear, ...]:
    """Window of main thinning, and the sugar made and wanted in it, year by year.

    Means are over the window and the three days after it. Radiation comes from the record where it has it, else from
    the day's swing of temperature. Years whose record has a gap from bloom to then are left out.

    Parameters
    ----------
    spring : SpringWeather
    years : ndarray
        Shape (years,).
    full_bloom : ndarray
        Middle of the orchard's cultivars, shape (years,). [day of year]
    latitude : float
        [deg north]
    """
    day = spring.day
    sky = extraterrestrial_radiation(latitude, day)
    mean = (spring.coldest + spring.warmest) / 2
    sun = np.where(
        np.isfinite(spring.sun), spring.sun, radiation_from_range(spring.coldest, spring.warmest, sky)
    )
    growing = np.nan_to_num(np.maximum(mean - BASE, 0.0))
    leaves = leaf_area_index(np.cumsum(growing * (day >= spring.green_tip[:, None]), axis=1))
    since_bloom = np.cumsum(growing * (day >= full_bloom[:, None]), axis=1)
    inside = (since_bloom >= WINDOW[0]) & (since_bloom <= WINDOW[1])
    counted = inside.copy()
    for later in range(1, AFTER + 1):
        counted[:, later:] |= inside[:, :-later]
    made = canopy_photosynthesis(_PAR * sun, day_length(latitude, day), leaves)
    wanted = sugar_wanted(mean, leaves)
    # From bloom to the last day counted nothing may be missing, else the window's days are not known.
    needed = (day >= np.floor(full_bloom)[:, None]) & (since_bloom <= WINDOW[1]) | counted
    whole = np.isfinite(np.where(needed, made + wanted, 0.0)).all(axis=1)
    there = np.flatnonzero(
        whole & inside.any(axis=1) & np.isfinite(full_bloom) & np.isfinite(spring.green_tip)
    )
    if not there.size:
        return ()
    supply, demand = (
        np.array([figure[year, counted[year]].mean() for year in there]) for figure in (made, wanted)
    )
    balance = supply / demand
    found = []
    for index, year in enumerate(there):
        shorter = float((balance < balance[index]).sum() / max(there.size - 1, 1))
        days = day[inside[year]]
        found.append(
            SugarYear(
                int(years[year]),
                float(days[0]),
                float(days[-1]),
                float(supply[index] / np.median(supply)),
                float(demand[index] / np.median(demand)),
                shorter,
                _stands(shorter),
            )
        )
    return tuple(found)


def _stands(shorter: float) -> SugarYearIs:
    if shorter < _SHORTEST:
        return SugarYearIs.SHORT
    return SugarYearIs.AMPLE if shorter > _RICHEST else SugarYearIs.ORDINARY
