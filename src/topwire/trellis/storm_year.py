"""When gusts come, what hangs on the trees then, and how wet the ground is: the year of storms a row goes through."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.trellis.wind import return_factor
from topwire.values.arrays import Floats

BROADSIDE = 0.85  # of the pressure: a gust seldom comes square to the rows (ASCE7-16, wind directionality)
GUST_SCATTER = 0.15  # of ln gust at the row about that at the station, from storm to storm (GUESS)
# Pressure on an inner row over that on an outer one: rows behind rows take half (SHELTER-FENCES); a downburst comes
# from above and shelters little (fitted to storm reports: 0.7-1.0).
WIDESPREAD, DOWNBURST = 0.50, 0.90


@dataclass(frozen=True)
class SeasonState:
    """One part of the year.

    Attributes
    ----------
    storms : share of the year's strong gusts that come in it
    crop : share of the full crop that hangs, in the middle
    leaf : drag over that in full leaf
    soaked : chance that the ground is soaked when a strong gust of widespread wind comes
    soaked_before : the same of a downburst, on the ground as it was before; None where only one is known
    downbursts : share of its strong gusts that are downbursts
    """

    storms: float
    crop: float
    leaf: float
    soaked: float
    downbursts: float
    soaked_before: float | None = None


# Shares are readings of the season of severe gusts (GUST-SEASON: thunderstorm gusts peak in June and July, others come
# in the cool half of the year) and of storm reports; nobody has counted them for orchards.
YEAR = (
    SeasonState(storms=0.50, crop=0.0, leaf=0.35, soaked=0.50, downbursts=0.05),  # bare
    SeasonState(storms=0.30, crop=0.3, leaf=1.0, soaked=0.25, downbursts=0.60),  # leaf, fruit small
    SeasonState(storms=0.20, crop=1.0, leaf=1.0, soaked=0.35, downbursts=0.40),  # crop heavy
)


@dataclass(frozen=True)
class GustClimate:
    """Strong gusts of a place: storms above V come exp(-(V - mode) / scale) times a year (Gumbel).

    The return-period rule V_T = V_50 (0.36 + 0.1 ln 12 T) is this law with mode 0.608 V_50 and scale 0.1 V_50.
    [ASCE7-16]
    """

    mode: float  # [m/s]
    scale: float

    @staticmethod
    def of(gust_50: float) -> "GustClimate":
        scale = 0.1 * gust_50 / float(return_factor(50))
        return GustClimate(gust_50 - scale * float(np.log(50)), scale)

    def storms(self, gust: npt.ArrayLike) -> Floats:
        """Storms a year whose gust broadside to the rows passes this [m/s]."""
        free = np.asarray(gust, dtype=float) / np.sqrt(BROADSIDE)
        return np.asarray(np.exp(-(free - self.mode) / self.scale))


@dataclass(frozen=True)
class StormKind:
    """One kind of storm in one season: its share of the year's, and what it meets."""

    share: float
    crop: float
    leaf: float
    soaked: bool
    shelter: float  # pressure over that on an outer row


def storm_kinds(year: Sequence[SeasonState], *, outer: bool) -> tuple[StormKind, ...]:
    """The year's storms by season, wetness and kind of wind; an outer row takes all in full."""
    found: dict[tuple[float, float, bool, float], float] = {}
    for season in year:
        burst = season.soaked if season.soaked_before is None else season.soaked_before
        for shelter, part, wet in (
            (WIDESPREAD, 1 - season.downbursts, season.soaked),
            (DOWNBURST, season.downbursts, burst),
        ):
            for soaked, chance in ((False, 1 - wet), (True, wet)):
                key = (season.crop, season.leaf, soaked, 1.0 if outer else shelter)
                found[key] = found.get(key, 0.0) + season.storms * chance * part
    return tuple(StormKind(share, *key) for key, share in found.items() if share > 0)
