"""How often the ground is soaked when gusts come, out of the place's own weather: a bucket of soil, day by day.

Gales come with rain (TRELLIS-STORMS: Hugo, Dorian, Ida); gusts out of a thunderstorm reach dry ground as often as not
(Washington 2020). So in widespread wind the ground is that of the evening of a day of rain, in a downburst that of the
evening before, whatever day it is.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from topwire.trellis.storm_year import SeasonState
from topwire.values.arrays import Booleans, Floats

USES = 0.9  # of the reference evapotranspiration, grass and trees together (FAO-56 table 12, MEMORY)
RAINY = 25.0  # [mm] a day on which gales come: those that felled rows brought 80 to 120 (TRELLIS-STORMS)
# Days that water above field capacity takes to drain: sand one, loam two, clay three (FAO-56 chapter 8, MEMORY).
DRAINS = {"sand": 1, "loam": 2, "clay": 3}
LEAST_DAYS = 60  # of one kind, from which a share is told; else the reading of reports stays


@dataclass(frozen=True)
class HeldWaterRow:
    """soils_water.csv: what ground of a texture holds, by volume."""

    texture: str
    field_capacity: float
    wilting_point: float


def drains_in(texture: str) -> int:
    """Days [d] that ground of a texture stays soaked after it was filled."""
    last = texture.split()[-1]
    return DRAINS["clay" if "clay" in texture else "sand" if last == "sand" else "loam"]


def soaked_evenings(rain: npt.ArrayLike, wanted: npt.ArrayLike, *, holds: float, drains: int) -> Booleans:
    """(days,) whether the ground holds water above field capacity in the evening.

    Parameters
    ----------
    rain : (days,) [mm]
    wanted : (days,) [mm] taken by grass and trees, where there is so much
    holds : [mm] between field capacity and wilting
    drains : [d] that it stays soaked after water last ran through
    """
    given, taken = np.asarray(rain, dtype=float), np.asarray(wanted, dtype=float)
    water, since = holds, drains + 1
    found = np.zeros(given.size, dtype=bool)
    for day, (comes, goes) in enumerate(zip(given.tolist(), taken.tolist(), strict=True)):
        water = max(water + comes - goes, 0.0)
        since = 0 if water > holds else since + 1
        water = min(water, holds)
        found[day] = since < drains
    return found


def with_wetness(
    year: Sequence[SeasonState], season: npt.NDArray[np.int64], rain: Floats, soaked: Booleans
) -> tuple[SeasonState, ...]:
    """The year's seasons with the shares of this place.

    Parameters
    ----------
    season : (days,) number of each day's season
    rain, soaked : (days,) [mm]; in the evening
    """
    before = np.concatenate([[False], soaked[:-1]])
    found = []
    for number, state in enumerate(year):
        here = season == number
        rainy = here & (rain >= RAINY)
        if here.sum() < LEAST_DAYS or rainy.sum() < LEAST_DAYS / 4:
            found.append(state)
            continue
        found.append(
            replace(state, soaked=float(soaked[rainy].mean()), soaked_before=float(before[here].mean()))
        )
    return tuple(found)
