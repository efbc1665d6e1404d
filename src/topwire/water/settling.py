"""A tank in which well water is aired and its iron falls out, before it reaches the filter."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from topwire.values.notice import Measured, Notice, remark, warning
from topwire.values.terms import WaterSource
from topwire.values.units import Kind
from topwire.water.clogging import Hazard, InWater, hazard, row_of
from topwire.water.tables import QualityRow

Array = npt.NDArray[np.float64]

RATE = 8.0e13  # [1/(M2 atm min)] at 20.5 deg C, STUMM61 from memory
OXYGEN = 0.21  # [atm] of the air
TENFOLD = 15.0  # [K] warmer at one pH and iron turns ten times as fast, STUMM61 from memory
MEASURED_AT = 20.5  # [deg C]
WELL_WATER = 12.0  # [deg C] taken, common practice
USUAL_ACIDITY = 7.0  # pH taken where none was tested
LEAST_MINUTES = 15.0  # that water stands in a settling basin, common practice
MOST_MINUTES = 240.0  # beyond it air alone is no cure


@dataclass(frozen=True)
class Settling:
    """What the tank has to be.

    Attributes
    ----------
    minutes : water stands in it
    volume : [m3]; 0 where air alone is no cure
    acidity : pH reckoned with
    tested : whether that was tested
    iron : it is for iron, not for gas alone
    """

    minutes: float
    volume: float
    acidity: float
    tested: bool
    iron: bool


def minutes_to_turn(
    found: npt.ArrayLike,
    wanted: npt.ArrayLike,
    acidity: npt.ArrayLike,
    temperature: npt.ArrayLike = WELL_WATER,
) -> Array:
    """Minutes in which air turns dissolved iron from `found` to `wanted` [mg/L], first order: k [OH-]2 p(O2). [STUMM61]

    Parameters
    ----------
    acidity : pH, from 5 to 8
    temperature : [deg C]
    """
    hydroxide = 10.0 ** (np.asarray(acidity, dtype=float) - 14)
    warm = 10.0 ** ((np.asarray(temperature, dtype=float) - MEASURED_AT) / TENFOLD)
    rate = RATE * hydroxide**2 * OXYGEN * warm
    less: Array = np.log(np.maximum(np.asarray(found, dtype=float) / np.asarray(wanted, dtype=float), 1.0))
    return np.asarray(less / rate)


def settling_of(
    test: Mapping[InWater, float], rows: Sequence[QualityRow], source: WaterSource, flow: float
) -> Settling | None:
    """The tank for a well whose test shows iron or hydrogen sulphide; None where none is wanted.

    Ponds and streams have met the air already; drinking water has been treated.

    Parameters
    ----------
    flow : [m3/s] the most the system takes
    """
    laden = [what for what in (InWater.IRON, InWater.SULPHIDE) if what in test]
    if source is not WaterSource.WELL or all(hazard(what, test[what], rows) is Hazard.NONE for what in laden):
        return None
    acidity, minutes = test.get(InWater.ACIDITY, USUAL_ACIDITY), LEAST_MINUTES
    iron = InWater.IRON in test and hazard(InWater.IRON, test[InWater.IRON], rows) is not Hazard.NONE
    if iron:
        wanted = row_of(InWater.IRON, rows).well_below
        minutes = max(minutes, float(minutes_to_turn(test[InWater.IRON], wanted, acidity)))
    volume = flow * 60 * minutes if minutes <= MOST_MINUTES else 0.0
    return Settling(minutes, volume, acidity, InWater.ACIDITY in test, iron)


def told(settling: Settling | None) -> list[Notice]:
    """The tank, or why air alone does not do."""
    if settling is None:
        return []
    facts: dict[str, Any] = {
        "setting": "water.iron" if settling.iron else "water.sulphide",
        "source": "STUMM61",
        "acidity": settling.acidity,
    }
    if not settling.volume:
        return [warning("water.too_sour_to_air", hours=settling.minutes / 60, **facts)]
    return [
        remark(
            "water.settled",
            minutes=round(settling.minutes),
            size=Measured(settling.volume, Kind.VOLUME, 1),
            tested=settling.tested,
            iron=settling.iron,
            **facts,
        )
    ]
