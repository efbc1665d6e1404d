"""Outside checks of the press: juice, gravity and alcohol, pH, blends, gas in the bottle, vinegar, harvest."""

from functools import cache, partial

from topwire.catalogue.model import Catalogue, Mark
from topwire.catalogue.tables import read_tables
from topwire.cellar.cider import (
    GAS_OF_SUGAR,
    SUGAR_OF_GRAVITY,
    VOLUME_OF_GAS,
    bottle_pressure,
    fruit_for,
    gas_absorbed,
    gravity_of_brix,
    gravity_to_ferment,
    ph_of_acid,
    strength,
    sulphite_at_pressing,
    vinegar_of,
)
from topwire.checks import Check
from topwire.choice.cider_question import PressRow
from topwire.press.asked import HarvestWay

PRESS = "Press"
PSI, BAR = 6894.757, 1e5  # [Pa]


@cache
def _tables() -> Catalogue:
    return Catalogue(read_tables())


def _juice(press: str, side: str) -> float:
    return next(
        float(getattr(row, side)) for row in _tables().rows("press_yields", PressRow) if row.press == press
    )


def _way(start: str, what: str) -> float:
    rows = _tables().rows("cider_harvest", HarvestWay)
    return next(float(getattr(row, what)) for row in rows if row.way.startswith(start))


def _over(volumes: float, temperature: float, unit: float) -> float:
    return float(bottle_pressure(volumes, temperature)) / unit


def checks() -> list[Check]:
    """Worked examples and tables of makers, handbooks and laws."""
    read, memory = Mark.READ, Mark.MEMORY
    gas = [
        Check(PRESS, f"gas water takes up at {warmth} deg C and one atmosphere [volumes]", "CO2-TREATISE, table", table,
              partial(lambda at: float(gas_absorbed(at)), warmth), tolerance, read)
        for warmth, table, tolerance in ((0, 1.7967, 0.07), (10, 1.1847, 0.03), (20, 0.9014, 0.04))
    ]  # fmt: skip
    brewers = [
        Check(PRESS, f"pressure of {volumes} volumes at {fahrenheit} F [psi]", "CO2-TABLE", table,
              partial(_over, volumes, (fahrenheit - 32) / 1.8, PSI), 2.0, read)
        for volumes, fahrenheit, table in ((2.5, 50, 17.6), (3.0, 60, 30.2), (2.0, 70, 20.8), (3.0, 70, 36.8))
    ]  # fmt: skip
    maker = [
        Check(PRESS, f"pressure of 6 g/L of gas at {warmth} deg C [bar]", "CIDER-CO2", table,
              partial(_over, 6 / VOLUME_OF_GAS, warmth, BAR), tolerance, read)
        for warmth, table, tolerance in ((0, 0.883, 0.15), (15, 1.98, 0.15), (20, 2.43, 0.2))
    ]  # fmt: skip
    acids = [
        Check(PRESS, f"pH of juice of {acid} g/L acid", source, table,
              partial(lambda at: float(ph_of_acid(at)), acid), 0.3, read)
        for acid, table, source in (
            (4.8, 3.45, "CIDER-SG, juice classes: medium acid, 3.4 to 3.5"),
            (7.5, 3.2, "CIDER-SG, juice classes: high acid, 3.1 to 3.3"),
            (14.3, 2.92, "GOVERD-JUICE"),
            (1.7, 4.03, "GOVERD-JUICE"),
        )
    ]  # fmt: skip
    return [
        Check(PRESS, "juice of a basket press, a litre of 2 kg [L/kg]", "PRESS-YIELD", 0.5,
              partial(_juice, "basket", "middle"), 0.001, read),
        Check(PRESS, "juice of a water press, a litre of 1.45 kg [L/kg]", "PRESS-YIELD", 1 / 1.45,
              partial(_juice, "water bladder", "middle"), 0.02, read),
        Check(PRESS, "juice of a good mill and press [L/kg]", "PRESS-YIELD", 0.75,
              partial(_juice, "rack and cloth", "high"), 0.001, read),
        Check(PRESS, "fruit for 10 L from a hand-wound mill and press at 60 % [kg]", "PRESS-YIELD", 10 / 0.6,
              lambda: fruit_for(0.010, juice=_juice("rack and cloth", "low"), left=1.0), 0.1, read),
        Check(PRESS, "alcohol of juice of gravity 1.045 [% by volume]", "CIDER-KEEPS", 5.7,
              lambda: float(strength(1.045)), 0.25, read),
        Check(PRESS, "alcohol of juice of gravity 1.051 fermented to 1.000 [% by volume]",
              "CIDER-SG, a club's worked example", 6.0, lambda: float(strength(1.051)), 0.6, read),
        Check(PRESS, "gravity of juice of 13.5 Brix, asked of juice to be keeved", "KEEVING", 1.055,
              lambda: gravity_of_brix(13.5), 0.001, read),
        *acids,
        Check(PRESS, "sulphite at pressing, pH 3.2: one tablet a gallon [mg/L]", "SO2-PRESSING", 50,
              lambda: float(sulphite_at_pressing(3.2) or 0.0), 1.0, read),
        Check(PRESS, "sulphite at pressing, pH 3.45: two tablets a gallon [mg/L]", "SO2-PRESSING", 100,
              lambda: float(sulphite_at_pressing(3.45) or 0.0), 1.0, read),
        Check(PRESS, "sulphite at pressing, pH 3.75: three tablets a gallon [mg/L]", "SO2-PRESSING", 150,
              lambda: float(sulphite_at_pressing(3.75) or 0.0), 1.0, read),
        *gas,
        *brewers,
        *maker,
        Check(PRESS, "gas of five points of gravity [g/L]", "CIDER-CO2", 6.0,
              lambda: 0.005 * SUGAR_OF_GRAVITY * GAS_OF_SUGAR, 0.2, read),
        Check(PRESS, "gravity that makes 6 g/L of gas from a cider that holds 2 g/L", "CIDER-CO2", 0.003,
              lambda: gravity_to_ferment(6 / VOLUME_OF_GAS, 2 / VOLUME_OF_GAS), 0.0006, read),
        Check(PRESS, "acid of vinegar of 5 % cider, four fifths turned [g/100 mL]", "VINEGAR", 4.0,
              lambda: float(vinegar_of(5.0, 0.8)), 0.3, memory),
        Check(PRESS, "labour of a machine harvest beside hand harvest", "CIDER-SHAKE", 4.0,
              partial(_way, "shake and sweep", "speed"), 0.001, read),
        Check(PRESS, "share of the fruit a machine harvest gets", "CIDER-SHAKE", 0.87,
              partial(_way, "shake and sweep", "got"), 0.001, read),
    ]  # fmt: skip
