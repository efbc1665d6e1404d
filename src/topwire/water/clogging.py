"""What a laboratory found in the water, and what that asks of filter and flushing.

Bounds are those of the table of water quality: below the lower one no trouble, above the upper one trouble. [BUCKS]
"""

from collections.abc import Mapping, Sequence
from enum import IntEnum, StrEnum

from topwire.water.tables import QualityRow


class InWater(StrEnum):
    """Rows of the table of water quality, by the word they begin with."""

    SALT = "salt"
    CHLORIDE = "chloride"
    SODIUM = "sodium"
    BORON = "boron"
    IRON = "iron"
    MANGANESE = "manganese"
    SULPHIDE = "hydrogen sulphide"
    ACIDITY = "hardness with pH"
    SUSPENDED = "suspended matter"
    BACTERIA = "bacteria"


class Hazard(IntEnum):
    """How far a figure lies above what gives no trouble."""

    NONE = 0
    SOME = 1
    SEVERE = 2


CLOGS = (
    InWater.IRON, InWater.MANGANESE, InWater.SULPHIDE, InWater.ACIDITY, InWater.SUSPENDED, InWater.BACTERIA,
)  # fmt: skip
# Matter, slime and what falls out as water meets air are held by sand, not by a screen; lime passes both.
HELD_BY_SAND = (InWater.IRON, InWater.MANGANESE, InWater.SULPHIDE, InWater.SUSPENDED, InWater.BACTERIA)
FLUSH_EVERY = {Hazard.NONE: 28, Hazard.SOME: 14, Hazard.SEVERE: 7}  # [d] common practice, no source


def row_of(what: InWater, rows: Sequence[QualityRow]) -> QualityRow:
    """The table's row of what was tested."""
    return next(row for row in rows if row.what.startswith(what.value))


def hazard(what: InWater, found: float, rows: Sequence[QualityRow]) -> Hazard:
    """Where a figure lies between the table's bounds."""
    row = row_of(what, rows)
    if found <= row.well_below:
        return Hazard.NONE
    return Hazard.SEVERE if found > row.trouble_above else Hazard.SOME


def clogging(test: Mapping[InWater, float], rows: Sequence[QualityRow]) -> Hazard:
    """The worst of what clogs emitters; NONE where nothing was tested."""
    return max((hazard(what, test[what], rows) for what in CLOGS if what in test), default=Hazard.NONE)


def needs_media(test: Mapping[InWater, float], rows: Sequence[QualityRow]) -> bool:
    """Whether sand has to filter what a screen would not hold or would clog on."""
    return any(hazard(what, test[what], rows) > Hazard.NONE for what in HELD_BY_SAND if what in test)
