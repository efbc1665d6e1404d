"""What the water may carry, and what water may do to people: notices, never doses."""

from typing import Any

import numpy as np
import numpy.typing as npt

from topwire.values.notice import Measured, Notice, assumption, caution, remark, warning
from topwire.values.terms import WaterSource
from topwire.values.units import Kind
from topwire.water.asked import PlantedQuestion, WaterQuestion
from topwire.water.clogging import CLOGS, FLUSH_EVERY, Hazard, InWater, clogging, hazard, row_of
from topwire.water.tables import QualityRow

Array = npt.NDArray[np.float64]

SALT_THRESHOLD = 1.7  # [dS/m] of the soil extract; indicative, source FAO29 from memory
SALT_SLOPE = 16.0  # [% per dS/m] weak, from the same older table
SOIL_OVER_WATER = 1.5  # [-] salt of the soil extract over that of the water, source FAO29 from memory
NOTHING_YIELDS = SALT_THRESHOLD + 100 / SALT_SLOPE  # [dS/m] of the soil extract
FROST_RATE = 3.5e-3  # [m/h] over all the floor, overhead water on a frost night, common practice
_FROSTY = 0.02  # share of bloom lost in a middle year from which water against frost is spoken of


def yield_under_salt(
    soil_salt: npt.ArrayLike, threshold: float = SALT_THRESHOLD, slope: float = SALT_SLOPE
) -> Array:
    """Yield left under salt, form of source MG99. [%]

    Parameters
    ----------
    soil_salt : array_like
        [dS/m] electrical conductivity of the saturated soil extract.
    """
    left: Array = np.maximum(100 - slope * np.maximum(np.asarray(soil_salt, dtype=float) - threshold, 0), 0)
    return left


def leaching_share_drip(water_salt: float, most_soil_salt: float) -> float:
    """Share of water beyond the need that keeps salt down under drip; from memory, source FAO29. [-]

    Parameters
    ----------
    water_salt, most_soil_salt : float
        [dS/m] of the water; of the soil extract at which nothing yields.
    """
    return water_salt / (2 * most_soil_salt)


def tested(asked: WaterQuestion) -> list[Notice]:
    """What a laboratory's figures mean; an assumption where there are none."""
    found: list[Notice] = []
    rows, test = asked.tables.quality, asked.test
    untested = [what.value for what in (InWater.SALT, *CLOGS) if what not in test]
    if untested:
        found.append(assumption("water.untested", setting="water.salt", source="BUCKS", concerns=untested))
    for what, value in test.items():
        if hazard(what, value, rows) is Hazard.NONE:
            continue
        row = row_of(what, rows)
        facts: dict[str, Any] = {
            "setting": f"water.{what.name.lower()}",
            "source": row.source,
            **_remarks(row),
        }
        if what is InWater.SALT:
            crop, more = yield_under_salt(SOIL_OVER_WATER * value), leaching_share_drip(value, NOTHING_YIELDS)
            found.append(warning("water.salty", salt=value, crop=float(crop) / 100, more=more, **facts))
            continue
        found.append(
            warning(
                "water.laden",
                what=what.value,
                value=value,
                unit=row.unit,
                too_much=hazard(what, value, rows) is Hazard.SEVERE,
                drip=what in CLOGS,
                **facts,
            )
        )
    worst = clogging(test, rows)
    if any(what in test for what in CLOGS):
        found.append(
            remark(
                "water.cleaned",
                setting="water.suspended",
                source="BUCKS",
                days=FLUSH_EVERY[worst],
                media=asked.source.laden or asked.source.open_water,
            )
        )
    return found


def _remarks(row: QualityRow) -> dict[str, str]:
    """What it does and what to do, in the catalogue's words."""
    return {"does": row.says, "remedy": row.remedy}


def cautions(asked: WaterQuestion, *, from_tap: bool = False, stored: bool = False) -> list[Notice]:
    """Cautions on the source, its law and its quality; `stored`: it takes a store, at hand or not."""
    source = asked.source_kind
    found = []
    if source is WaterSource.DRINKING_WATER:
        found.append(
            caution("water.tap_flows_back" if from_tap else "water.flows_back", setting="water.source")
        )
    else:
        found.append(caution("water.permit", setting="water.source", kind=source.value))
    if stored or source is WaterSource.POND:  # however much it holds
        found.append(
            caution("water.drowns", setting="water.source" if source is WaterSource.POND else "water.storage")
        )
    found.append(caution("water.feeding_in"))
    if source in (WaterSource.POND, WaterSource.STREAM):
        found.append(caution("water.germs", setting="water.source"))
    if not from_tap:
        found.append(caution("water.electricity"))
    return found


def against_frost(asked: PlantedQuestion) -> list[Notice]:
    """What water against frost would take, where frost takes bloom."""
    if asked.planted.bloom_kill <= _FROSTY:
        return []
    wanted = FROST_RATE * asked.floor / 3600
    return [
        remark(
            "water.frost",
            setting="water.flow",
            wanted=Measured(wanted, Kind.FLOW),
            has=Measured(asked.source.flow, Kind.FLOW),
            enough=asked.source.flow >= wanted,
        )
    ]
