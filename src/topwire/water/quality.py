"""What the water may carry, and what water may do to people: notices, never doses."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from topwire.notices import Notice, assumption, caution, remark, warning
from topwire.plan.trees import WaterSource
from topwire.values.units import Kind, UnitSystem, shown
from topwire.water.tables import QualityRow

Array = npt.NDArray[np.float64]

SALT_THRESHOLD = 1.7  # [dS/m] of the soil extract; indicative, source FAO29 from memory
SALT_SLOPE = 16.0  # [% per dS/m] weak, from the same older table
SOIL_OVER_WATER = 1.5  # [-] salt of the soil extract over that of the water, source FAO29 from memory
NOTHING_YIELDS = SALT_THRESHOLD + 100 / SALT_SLOPE  # [dS/m] of the soil extract
FROST_RATE = 3.5e-3  # [m/h] over all the floor, overhead water on a frost night, common practice


def yield_under_salt(
    soil_salt: npt.ArrayLike, threshold: float = SALT_THRESHOLD, slope: float = SALT_SLOPE
) -> Array:
    """Yield left under salt, form of source MG99. [%]

    Parameters
    ----------
    soil_salt : array_like
        [dS/m] electrical conductivity of the saturated soil extract.
    """
    left: Array = np.clip(100 - slope * np.maximum(np.asarray(soil_salt, dtype=float) - threshold, 0), 0, 100)
    return left


def leaching_share_drip(water_salt: float, most_soil_salt: float) -> float:
    """Share of water beyond the need that keeps salt down under drip; from memory, source FAO29. [-]

    Parameters
    ----------
    water_salt, most_soil_salt : float
        [dS/m] of the water; of the soil extract at which nothing yields.
    """
    return water_salt / (2 * most_soil_salt)


def tested(salt: float | None, iron: float | None, table: Sequence[QualityRow]) -> tuple[Notice, ...]:
    """What a laboratory's figures mean; an assumption where there are none.

    Parameters
    ----------
    salt : float or None
        [dS/m] electrical conductivity of the water.
    iron : float or None
        [mg/L]
    """
    found = []
    if salt is None or iron is None:
        found.append(
            assumption(
                "water",
                "nobody has said what is in this water; salt, iron, lime and slime decide filter and upkeep.",
                "Have a laboratory test it (the table of water quality says for what) before ordering, and state "
                "water.salt and water.iron.",
                "BUCKS",
            )
        )
    rows = {row.what.split(" (")[0]: row for row in table}
    if salt is not None and salt > rows["salt"].well_below:
        row = rows["salt"]
        left = float(yield_under_salt(SOIL_OVER_WATER * salt))
        wash = leaching_share_drip(salt, NOTHING_YIELDS)
        found.append(
            warning(
                "water",
                f"water of {salt:g} dS/m: {row.says}; in the long run about {left:.0f} % of a full crop (indicative).",
                f"Give about {wash:.0%} more than the need where winter rain does not wash salt down; {row.remedy}.",
                row.source,
            )
        )
    if iron is not None and iron > rows["iron"].well_below:
        row = rows["iron"]
        grave = "Too much for drip as it comes: " if iron > row.trouble_above else ""
        found.append(
            warning("water", f"{iron:g} mg/L of iron: {row.says}.", f"{grave}{row.remedy}.", row.source)
        )
    return tuple(found)


def notices(
    source: WaterSource, *, floor: float, flow: float, units: UnitSystem, frosty: bool
) -> tuple[Notice, ...]:
    """Cautions on the source, its law, its quality, and on frost.

    Parameters
    ----------
    floor : float
        [m2] of the orchard.
    flow : float
        [m3/s] of the source.
    frosty : bool
        Frost takes bloom here often enough to think of water against it.
    """
    found = []
    if source is WaterSource.DRINKING_WATER:
        found.append(
            caution(
                "water",
                "the source is drinking water: orchard water must never be able to flow back into it.",
                "A reduced-pressure backflow assembly stands first on the line, above ground, tested every year; the "
                "water supplier and the plumbing code have the last word. A licensed plumber makes the connection.",
            )
        )
    else:
        found.append(
            caution(
                "water",
                f"taking water from a {source.value} for irrigation often needs a permit, and the right to it may be "
                "limited in a dry year.",
                "Ask the local water authority before the system is bought. A check valve with vacuum relief keeps "
                "orchard water out of the source.",
            )
        )
    found.append(
        caution(
            "water",
            "fertiliser or anything else is fed into the lines only behind a working backflow assembly.",
            "With an injector also a check valve on the injection line and an interlock that stops it with the pump; "
            "local rules on chemigation apply. Never feed anything in where people drink from the same pipe.",
        )
    )
    found.append(
        caution(
            "water",
            "water from open sources may carry germs; drip under the trees keeps it off the fruit, overhead water does "
            "not.",
            "Have it tested each year; fruit that touched water of unknown quality is washed with drinking water.",
        )
        if source in (WaterSource.POND, WaterSource.STREAM)
        else caution(
            "water",
            "electricity at pump, valves and controller stands in wet places.",
            "A licensed electrician, a residual-current (ground-fault) breaker, and power off before the pump or "
            "filter is opened; let the pressure out first.",
        )
    )
    if frosty:
        wanted = FROST_RATE * floor / 3600
        have = flow
        amounts = (
            f"{shown(wanted, Kind.FLOW, units, digits=1)} all night, the source gives "
            f"{shown(have, Kind.FLOW, units, digits=1)}"
        )
        verdict = "It is enough, with sprinklers of its own." if have >= wanted else "It is not enough."
        found.append(
            remark(
                "water",
                f"drip does not protect bloom from frost: that takes overhead water, about {amounts}. {verdict}",
                "Overhead water once begun must run until the ice melts by itself; ice breaks branches and wires, and "
                "wet ground at night is slippery. Soil moist from an afternoon's drip holds a little heat, no more.",
            )
        )
    return tuple(found)
