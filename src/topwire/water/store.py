"""Pond or tank day by day: rain and catchment in, evaporation, seepage and the trees' draw out, over all years."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from topwire.values.calendar import MONTH_STARTS
from topwire.water.findings import Store, StoreMonth

Array = npt.NDArray[np.float64]

OPEN_WATER = 1.05  # [-] evaporation over reference, shallow open water, source FAO56 table 12 from memory
SEEPAGE = 1.0  # [mm/d] through a liner or puddled clay, common practice
ENOUGH = 0.9  # share of years in which the store must not run dry
_SIZES = np.geomspace(0.02, 4.0, 70)  # of a dry year's draw


@dataclass(frozen=True)
class StoreWeather:
    """What comes and goes each day. Arrays are (days, years).

    Attributes
    ----------
    rain, evaporation : [mm] onto and from open water; zero over a covered tank
    runoff : [m3] from the catchment, and whatever else fills the store
    draw : [m3] the trees want
    full_on : day of the year on which it is taken as full; None: it carries over from year to year
    """

    rain: Array
    evaporation: Array
    runoff: Array
    draw: Array
    full_on: int | None


@dataclass(frozen=True)
class StoreRun:
    """Days of stores of several sizes; arrays are (days, years, sizes), [m3]."""

    level: Array  # at the end of the day
    served: Array
    spilled: Array
    lost: Array  # evaporated and seeped
    rained: Array

    def dry_years(self, draw: Array) -> Array:
        """(sizes,) years in which the trees wanted more than there was."""
        short: Array = (self.served < draw[:, :, np.newaxis] - 1e-6).any(axis=0).sum(axis=0)
        return short


def run(weather: StoreWeather, size: Array, depth: float) -> StoreRun:
    """Stores of `size` [m3] and one depth [m], steep-sided, full on the first day.

    Notes
    -----
    Rain and runoff come before evaporation and draw; what does not fit in the evening spills. So on every day
    level = before + rained + runoff - spilled - lost - served.
    """
    days, years = weather.draw.shape
    held = tuple(np.empty((days, years, size.size)) for _ in range(5))
    if weather.full_on is not None:
        _through(weather, slice(0, years), np.broadcast_to(size, (years, size.size)), size, depth, held)
    else:
        now = size[np.newaxis]
        for year in range(years):
            now = _through(weather, slice(year, year + 1), now, size, depth, held)
    return StoreRun(*held)


def _through(
    weather: StoreWeather, span: slice, now: Array, size: Array, depth: float, held: tuple[Array, ...]
) -> Array:
    """One year of the columns `span`, beginning at `now`; what happened is written into `held`."""
    level, served, spilled, lost, rained = held
    area = size / depth
    seeping = np.where(weather.evaporation.any(), SEEPAGE, 0.0)
    for day in range(weather.draw.shape[0]):
        if day + 1 == weather.full_on:
            now = np.broadcast_to(size, now.shape)
        fell = weather.rain[day, span, np.newaxis] / 1000 * area
        filled = now + fell + weather.runoff[day, span, np.newaxis]
        gone = np.minimum((weather.evaporation[day, span, np.newaxis] + seeping) / 1000 * area, filled)
        given = np.minimum(weather.draw[day, span, np.newaxis], filled - gone)
        rest = filled - gone - given
        over = np.maximum(rest - size, 0.0)
        now = rest - over
        level[day, span], served[day, span], spilled[day, span] = now, given, over
        lost[day, span], rained[day, span] = gone, fell
    return now


def least_size(weather: StoreWeather, depth: float) -> float | None:
    """Least size [m3] that does not run dry in nine years of ten, to 8 %; None where no size does."""
    dry = float(np.percentile(weather.draw.sum(axis=0), 90))
    if dry <= 0:
        return 0.0
    sizes = dry * _SIZES
    failing = run(weather, sizes, depth).dry_years(weather.draw)
    enough = failing <= (1 - ENOUGH) * weather.draw.shape[1]
    good = np.flatnonzero(enough)
    return float(sizes[good[0]]) if good.size else None


def store_of(weather: StoreWeather, size: float, depth: float) -> Store:
    """The store's months over all years."""
    found = run(weather, np.array([size]), depth)
    months = []
    for begin, end in pairwise(MONTH_STARTS):
        span = slice(begin, end)

        def middle(values: Array, span: slice = span) -> float:
            return float(np.median(values[span].sum(axis=0)))

        low, half = np.percentile(found.level[end - 1, :, 0], [10, 50])
        months.append(
            StoreMonth(
                rain=middle(found.rained[:, :, 0]),
                runoff=middle(weather.runoff),
                lost=middle(found.lost[:, :, 0]),
                draw=middle(weather.draw),
                level=float(half),
                dry_level=float(low),
            )
        )
    return Store(
        size=size,
        surface=size / depth,
        dry_years=int(found.dry_years(weather.draw)[0]),
        carries_over=weather.full_on is None,
        months=tuple(months),
    )
