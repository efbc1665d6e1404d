"""Hours and money held against published budgets and rates."""

import numpy as np

from topwire.catalogue.model import Catalogue, Mark
from topwire.catalogue.tables import read_tables
from topwire.checks import Check
from topwire.ledger.budgets import SMALL_FARM_HOURS
from topwire.ledger.labour import LabourRow, crop_hours, per_tree_hours
from topwire.ledger.money import (
    break_even_amount,
    break_even_price,
    internal_rate,
    net_present_value,
    payback_year,
)
from topwire.values.units import Kind, from_si, to_si

_FIXED, _PER_BIN = 7767.41, 320.105  # USD/acre and USD/bin: the line through the printed grid
_FLOW = np.array([-45_000, -9_000, -3_000, 4_000, 12_000] + [16_000] * 16, dtype=float)
_SYNTHETIC = "NPV-SYN"
_ACRE = from_si(1e4, "acre", Kind.AREA)  # acres in a hectare


def _rate(task: str) -> float:
    return {row.task: row.middle for row in Catalogue(read_tables()).rows("labour", LabourRow)}[task]


def checks() -> list[Check]:
    """All checks of the Ledger."""
    read, memory = Mark.READ, Mark.MEMORY
    return [
        Check("Ledger", "Break-even price at 45 bins [USD/bin]", "MON-WA11", 492.71,
              lambda: break_even_price(45, fixed=_FIXED, per_unit=_PER_BIN), 0.05, read),
        Check("Ledger", "Break-even yield at 500 [bins/acre]", "MON-WA11, line; the article says at least 45", 43.18,
              lambda: break_even_amount(500, fixed=_FIXED, per_unit=_PER_BIN) or 0, 0.01, read),
        Check("Ledger", "Present value at 5 %", _SYNTHETIC, 99695.42,
              lambda: float(net_present_value(_FLOW, 0.05)), 0.01, memory),
        Check("Ledger", "Present value at 8 %", _SYNTHETIC, 60186.67,
              lambda: float(net_present_value(_FLOW, 0.08)), 0.01, memory),
        Check("Ledger", "Present value at 3 %", _SYNTHETIC, 136322.78,
              lambda: float(net_present_value(_FLOW, 0.03)), 0.01, memory),
        Check("Ledger", "Internal rate of return [%]", _SYNTHETIC, 17.04,
              lambda: 100 * (internal_rate(_FLOW) or 0), 0.01, memory),
        Check("Ledger", "Payback, not discounted [year]", _SYNTHETIC, 7,
              lambda: payback_year(_FLOW) or -1, 0, memory),
        Check("Ledger", "Payback at 5 % [year]", _SYNTHETIC, 8, lambda: payback_year(_FLOW, 0.05) or -1, 0, memory),
        Check("Ledger", "Small hands-on farm, 540 h/acre [h/ha]", "SMALL-ORCHARD-PRACTICE", 1334,
              lambda: SMALL_FARM_HOURS * 1e4, 1, read),
        Check("Ledger", "Hand thinning of a full crop, 1,150 trees an acre [h/acre]",
              "LAB-ONT10, 24 commercial, and SMALL-ORCHARD-PRACTICE, 80 small farm: their middle", 52,
              lambda: float(per_tree_hours(_rate("hand thinning"), 1150)), 28, read),
        Check("Ledger", "Planting 1,150 trees [h/acre]", "common practice, no source", 37.5,
              lambda: float(per_tree_hours(_rate("planting"), 1150)), 12.5, memory),
        Check("Ledger", "Winter pruning of 1,150 grown trees with ladders [h/acre]", "common practice, no source", 45,
              lambda: float(per_tree_hours(_rate("winter pruning"), 1150)), 15, memory),
        Check("Ledger", "Picking and sorting 30 t/ha [h/acre]",
              "SMALL-ORCHARD-PRACTICE, 240 h/acre harvest and grading", 240,
              lambda: float(crop_hours(30_000, _rate("picking")) + crop_hours(30_000, _rate("sorting and storing")))
              / _ACRE, 90, read),
        Check("Ledger", "0.20 USD/lb as USD/kg", "UNION-S8", 0.44,
              lambda: 0.20 / to_si(1, "lb", Kind.MASS), 0.005, read),
    ]  # fmt: skip
