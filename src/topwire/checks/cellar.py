"""Outside checks of the Cellar department: heat of fruit, sugar and strength of cider, sulphite."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, partial

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Catalogue, Mark
from topwire.catalogue.tables import read_tables
from topwire.cellar.cider import brix_of_gravity, free_sulphite, strength
from topwire.cellar.moisture import water_loss
from topwire.cellar.respiration import (
    HEAT_PER_MG,
    SPECIFIC_HEAT,
    breathing_heat,
    field_heat,
)
from topwire.checks import Check

CELLAR = "Cellar"
QUART = 0.946352946  # [L]
POUND = 0.45359237  # [kg]
MG_PER_ML = 1.9563  # of carbon dioxide at 0 deg C


@dataclass(frozen=True)
class ProductYield:
    """A row of kitchen_yields.csv: product of a kilogram of whole fruit, low and high."""

    product: str
    low: float
    high: float
    unit: str
    note: str | None
    source: str | None
    mark: str | None


def _number(function: Callable[[float], npt.NDArray[np.float64]], value: float) -> float:
    return float(function(value))


@cache
def _yields() -> dict[str, ProductYield]:
    return {row.product: row for row in Catalogue(read_tables()).rows("kitchen_yields", ProductYield)}


def _kitchen() -> list[Check]:
    """Yields of the kitchen table beside the figures they come from."""
    quarts = [
        Check(CELLAR, f"sauce, {count} quarts of a 48-lb bushel [L/kg]", "KITCH-USDA", count * QUART / (48 * POUND),
              partial(getattr, _yields()["sauce"], side), 0.001, Mark.READ)
        for count, side in ((14, "low"), (19, "high"))
    ]  # fmt: skip
    return [
        *quarts,
        Check(CELLAR, "peeled and cored, from the recipe factor 1.28 [kg/kg]", "KITCH-PREP", 1 / 1.28,
              lambda: _yields()["peeled and cored"].high, 0.001, Mark.READ),
        Check(CELLAR, "dried slices, 0.78 x 16 % of dry matter / 80 % [kg/kg]", "KITCH-PREP", 0.78 * 0.16 / 0.80,
              lambda: (_yields()["dried slices"].low + _yields()["dried slices"].high) / 2, 0.001, Mark.READ),
        Check(CELLAR, "juice of a hand press at its best, 3 gallons of a 40-lb bushel [L/kg]", "JOLICOEUR-YIELD",
              3 * 4 * QUART / (40 * POUND), lambda: _yields()["juice from a hand press"].high, 0.03, Mark.READ),
    ]  # fmt: skip


def checks() -> list[Check]:
    sulphite = [
        Check(CELLAR, f"free SO2 for 0.8 mg/L molecular at pH {acidity} [mg/L]", "CIDER-SO2, table", table,
              partial(_number, free_sulphite, acidity), 1.0, Mark.READ)
        for acidity, table in ((3.0, 13), (3.2, 21), (3.3, 26), (3.4, 32), (3.5, 40), (3.6, 50), (3.7, 63))
    ]  # fmt: skip
    gravity = [
        Check(CELLAR, f"sugar of juice of gravity {sg} [Brix]", "CIDER-SG, table", brix,
              partial(_number, brix_of_gravity, sg), 0.35, Mark.READ)
        for sg, brix in ((1.040, 10.0), (1.050, 12.5), (1.055, 13.5), (1.060, 15.0), (1.070, 17.0))
    ]  # fmt: skip
    alcohol = [
        Check(CELLAR, f"alcohol of cider from gravity {sg} [% by volume]", "CIDER-SG, table", table,
              partial(_number, strength, sg), 0.25, Mark.READ)
        for sg, table in ((1.040, 5.0), (1.050, 6.2), (1.055, 7.0), (1.060, 7.8), (1.070, 9.0))
    ]  # fmt: skip
    return [
        *sulphite,
        *gravity,
        *alcohol,
        Check(CELLAR, "water lost in 30 days at 0 deg C and 90 % humidity [% of mass]", "ASHRAE-REFRIG", 0.67,
              lambda: 100 * float(water_loss(0.0, 0.9, 30.0)), 0.02, Mark.MEMORY),
        *_kitchen(),
        Check(CELLAR, "specific heat of apples, 0.87 Btu/lb/F [J/(kg K)]", "NCSTATE-COOL", 0.87 * 4186.8,
              lambda: SPECIFIC_HEAT, 10.0, Mark.READ),
        Check(CELLAR, "heat in 1 t of apples from 25 to 1 deg C at 0.87 Btu/lb/F [MJ]", "NCSTATE-COOL",
              1000 * 0.87 * 4186.8 * 24 / 1e6, lambda: float(field_heat(1000, 25, 1)) / 1e6, 0.3, Mark.READ),
        Check(CELLAR, "heat of breathing at 0 deg C [W/t]", "ASHRAE-REFRIG", 13.7,
              lambda: float(breathing_heat(1000, 0)), 0.1, Mark.MEMORY),
        Check(CELLAR, "heat of breathing at 20 deg C [W/t]", "ASHRAE-REFRIG", 97.3,
              lambda: float(breathing_heat(1000, 20)), 0.3, Mark.MEMORY),
        Check(CELLAR, "heat of 1 mL CO2/kg/h, from 122 kcal/t/day [W/t]", "UC-RESP", 122 * 4186.8 / 86400,
              lambda: 1000 * MG_PER_ML * HEAT_PER_MG / 3600, 0.15, Mark.READ),
    ]  # fmt: skip
