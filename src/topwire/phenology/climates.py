"""Other climates the grower has stated month by month, beside the plain warming of the plan."""

from dataclasses import dataclass
from enum import StrEnum

from topwire.catalogue.model import Catalogue
from topwire.notices import Faults, Notice, fault
from topwire.weather.climate_change import MonthlyChange, stated_change

TABLE = "climate_changes"


class Part(StrEnum):
    """What a row changes: days and nights in kelvin, rain and spread (of warm and cold spells) by a factor."""

    DAYS = "days"
    NIGHTS = "nights"
    RAIN = "rain"
    SPREAD = "spread"


@dataclass(frozen=True)
class StatedMonths:
    """A row of climate_changes.csv. Rows of one `change` belong together; `entry` is any word no other row has."""

    entry: str
    change: str
    part: Part
    jan: float
    feb: float
    mar: float
    apr: float
    may: float
    jun: float
    jul: float
    aug: float
    sep: float
    oct: float
    nov: float
    dec: float

    @property
    def months(self) -> list[float]:
        return [
            *(self.jan, self.feb, self.mar, self.apr, self.may, self.jun),
            *(self.jul, self.aug, self.sep, self.oct, self.nov, self.dec),
        ]


def stated_climates(catalogue: Catalogue) -> tuple[MonthlyChange, ...]:
    """Changes of the grower's own table, in the order first named.

    Raises
    ------
    Faults
        When a change says nothing of the days, names a part twice, or goes beyond what a climate can do.
    """
    changes: dict[str, dict[Part, list[float]]] = {}
    faults = []
    for row in catalogue.rows(TABLE, StatedMonths):
        parts = changes.setdefault(row.change, {})
        if row.part in parts:
            faults.append(_fault(row.change, f"states its {row.part} twice.", "Keep one of the rows."))
        parts[row.part] = row.months
    made = []
    for label, parts in changes.items():
        if Part.DAYS not in parts:
            faults.append(
                _fault(label, "says nothing of the days.", "Add a row with part “days”, in kelvin.")
            )
            continue
        try:
            made.append(
                stated_change(
                    label,
                    warming=parts[Part.DAYS],
                    nights=parts.get(Part.NIGHTS),
                    rain=parts.get(Part.RAIN, 1.0),
                    spread=parts.get(Part.SPREAD, 1.0),
                )
            )
        except ValueError as error:
            faults.append(_fault(label, f"{error}."))
    if faults:
        raise Faults(faults)
    return tuple(made)


def _fault(label: str, says: str, remedy: str = "") -> Notice:
    return fault(f"catalogue/{TABLE}.csv, {label}", says, remedy)
