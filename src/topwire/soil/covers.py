"""Cover crops before the trees: the weeks in which each is sown here, how much seed, and how it ends."""

from dataclasses import dataclass
from enum import StrEnum

from topwire.values.quantities import DayOfYear, KilogramsPerSquareMetre

_KG_HECTARE = 1e-4  # [kg/m2]


class Cover(StrEnum):
    SUDANGRASS = "sudangrass"
    BUCKWHEAT = "buckwheat"
    MUSTARD = "mustard"
    RADISH = "radish"
    RYE = "rye"
    ALLEY_GRASS = "alley grass"


@dataclass(frozen=True)
class CoverWindow:
    """When a cover is sown here.

    Attributes
    ----------
    first, last : days between which it is sown
    seed_least, seed_most : on ground sown
    """

    cover: Cover
    first: DayOfYear
    last: DayOfYear
    seed_least: KilogramsPerSquareMetre
    seed_most: KilogramsPerSquareMetre
    source: str


# Days before the first autumn frost by which each is sown: mid-August and mid-September where that frost comes in the
# second week of October (read), moved with the place's own; sudangrass from the day the soil has 16 deg C.
_BEFORE_FROST = {
    Cover.SUDANGRASS: 56,
    Cover.BUCKWHEAT: 65,
    Cover.MUSTARD: 26,
    Cover.RADISH: 32,
    Cover.RYE: -18,
    Cover.ALLEY_GRASS: 20,
}
_LONG = {Cover.MUSTARD: 20, Cover.RADISH: 12, Cover.RYE: 35, Cover.ALLEY_GRASS: 35}  # [d] from first to last
_SEED = {
    Cover.SUDANGRASS: (34, 56, "COVER-CORNELL"),
    Cover.BUCKWHEAT: (50, 80, "COVER-ORGANIC140"),
    Cover.MUSTARD: (7, 10, "COVER-CORNELL"),
    Cover.RADISH: (8, 10, "COVER-CORNELL"),
    Cover.RYE: (100, 125, "COVER-CORNELL"),
    Cover.ALLEY_GRASS: (25, 40, "SOIL-OMAFRA-FALL"),
}


def cover_windows(soil_16: float | None, last_frost: float, first_frost: float) -> tuple[CoverWindow, ...]:
    """Every cover that has weeks to be sown in here, in order of the year.

    Parameters
    ----------
    soil_16 : float or None
        Day the soil reaches 16 deg C; None where it never does.
    last_frost, first_frost : float
        Of the middle year. [day of the year]
    """
    found = []
    for cover, before in _BEFORE_FROST.items():
        last = first_frost - before
        if cover is Cover.SUDANGRASS:
            first = None if soil_16 is None else max(soil_16, last_frost + 7)
        elif cover is Cover.BUCKWHEAT:
            first = last_frost + 7
        else:
            first = last - _LONG[cover]
        if first is not None and first < last:
            least, most, source = _SEED[cover]
            found.append(CoverWindow(cover, first, last, least * _KG_HECTARE, most * _KG_HECTARE, source))
    return tuple(sorted(found, key=lambda line: line.first))
