"""Sheets as plain rows in SI units, for JSON, notebooks and other programs."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from topwire.engine.orchard import Orchard
from topwire.show.sheet import Column, Sheet, Value, value_of
from topwire.show.tables import NAMES, department_sheets
from topwire.values.notice import Measured
from topwire.values.quantities import Quantity
from topwire.values.units import Kind, UnitSystem, unit_of

PlainValue = bool | int | float | str | None
# SI units of the kinds; a kind that is not here is held in the unit metric readers are shown.
_SI = {
    Kind.LENGTH: "m", Kind.SMALL_LENGTH: "m", Kind.FINE_LENGTH: "m", Kind.DISTANCE: "m", Kind.AREA: "m2",
    Kind.GROUND: "m2", Kind.SMALL_AREA: "m2", Kind.MASS: "kg", Kind.SMALL_MASS: "kg",
    Kind.VOLUME: "m3", Kind.SMALL_VOLUME: "m3",
    Kind.TEMPERATURE: "degC", Kind.TEMPERATURE_STEP: "K", Kind.SPEED: "m/s", Kind.FLOW: "m3/s", Kind.SMALL_FLOW: "m3/s",
    Kind.PRESSURE: "Pa", Kind.FORCE: "N", Kind.STRENGTH: "Pa", Kind.SLOPE: "1", Kind.CROP: "kg/m2", Kind.HEAT: "K d",
}  # fmt: skip


@dataclass(frozen=True)
class PlainColumn:
    """What a column holds: its key, its caption, what it measures and in which unit."""

    key: str
    caption: str
    quantity: str
    unit: str


@dataclass(frozen=True)
class PlainTable:
    """One sheet as data."""

    name: str
    title: str
    columns: tuple[PlainColumn, ...]
    rows: tuple[Mapping[str, PlainValue], ...]
    rests_on: str


def plain_tables(orchard: Orchard) -> Mapping[str, PlainTable]:
    """Every sheet of every department by name."""
    return {
        sheet.name: plain(sheet)
        for department in NAMES
        for sheet in department_sheets(orchard, department, UnitSystem.METRIC)
    }


def plain(sheet: Sheet) -> PlainTable:
    keys = [column.key for column in sheet.columns]
    return PlainTable(
        sheet.name,
        sheet.title,
        tuple(_column(column) for column in sheet.columns),
        tuple(dict(zip(keys, map(_bare, row), strict=True)) for row in sheet.rows),
        sheet.rests_on,
    )


def _column(column: Column) -> PlainColumn:
    quantity = Kind.LENGTH if column.tape else column.quantity
    named = "" if quantity is None else str(quantity)
    return PlainColumn(column.key, column.caption, named, column.unit or si_unit(quantity))


def si_unit(quantity: Quantity | None) -> str:
    """The SI unit a figure of this kind is held in; empty for words and plain numbers."""
    if not isinstance(quantity, Kind):
        return ""
    return _SI.get(quantity) or unit_of(quantity, UnitSystem.METRIC)


def _bare(cell: Value) -> PlainValue:
    value = value_of(cell)
    if isinstance(value, Measured):
        return value.value if value.value == value.value else None
    if isinstance(value, tuple):
        return ", ".join(f"{length:.4g}" for length in value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and value != value:
        return None
    return value
