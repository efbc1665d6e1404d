"""Every department's sheets by its name: one place for terminal, page, book and spreadsheet."""

from collections.abc import Callable, Mapping
from typing import cast

from topwire.engine.orchard import Orchard
from topwire.show import (
    calendar_sheets,
    choice_sheets,
    ground_sheets,
    layout_sheets,
    learning_sheets,
    ledger_sheets,
    nursery_sheets,
    place_sheets,
    press_sheets,
    soil_sheets,
    staking_sheets,
    trellis_sheets,
    water_sheets,
    years_sheets,
)
from topwire.show.by_record import for_record
from topwire.show.by_size import for_size
from topwire.show.sheet import Sheet, printed
from topwire.show.table import Table
from topwire.tell.reader import Reader
from topwire.values.units import UnitSystem

NAMES = (
    "place",
    "learning",
    "ground",
    "choice",
    "press",
    "layout",
    "years",
    "nursery",
    "trellis",
    "water",
    "soil",
    "ledger",
)


def department_tables(orchard: Orchard, name: str) -> list[Table]:
    """Tables of one department, in the person's units; none where it is absent.

    Raises
    ------
    KeyError
        When there is no such department.
    """
    reader = Reader(orchard.origin.units)
    key = "tables", name, reader.system
    if key not in orchard.made_of_it:
        orchard.made_of_it[key] = tuple(printed(sheet, reader) for sheet in department_sheets(orchard, name))
    return list(cast(tuple[Table, ...], orchard.made_of_it[key]))


def every_sheet(orchard: Orchard) -> list[Sheet]:
    """Every sheet of every department."""
    return [sheet for name in NAMES for sheet in department_sheets(orchard, name)]


def every_table(orchard: Orchard) -> list[Table]:
    """Every table of every department, in the person's units."""
    return [table for name in NAMES for table in department_tables(orchard, name)]


def department_sheets(orchard: Orchard, name: str, system: UnitSystem | None = None) -> list[Sheet]:
    """Sheets of one department as a plan of its size shows them, in the plan's units or those of `system`."""
    reader = Reader(system or orchard.origin.units)
    key = "sheets", name, reader.system
    if key not in orchard.made_of_it:
        found = for_record(orchard, for_size(orchard, name, _SHEETS[name](orchard, reader), reader))
        orchard.made_of_it[key] = tuple(found)
    return list(cast(tuple[Sheet, ...], orchard.made_of_it[key]))


def _learning(orchard: Orchard, reader: Reader) -> list[Sheet]:
    chosen = [line.name for line in orchard.choice.chosen] if orchard.choice else []
    return learning_sheets.sheets(orchard.learning, chosen) if orchard.learning else []


def _layout(orchard: Orchard, reader: Reader) -> list[Sheet]:
    ground, layout = orchard.ground, orchard.layout
    if ground is None or layout is None:
        return []
    return [*layout_sheets.sheets(ground, layout, reader), *staking_sheets.sheets(ground, layout)]


def _years(orchard: Orchard, reader: Reader) -> list[Sheet]:
    if orchard.years is None:
        return []
    needs = orchard.choice.needs if orchard.choice else ()
    pressed = {line.name for line in orchard.choice.chosen if line.for_cider} if orchard.choice else set()
    return years_sheets.sheets(orchard.years, needs, orchard.origin.planting_year, reader, pressed)


def _water(orchard: Orchard, reader: Reader) -> list[Sheet]:
    return water_sheets.sheets(orchard.water, orchard.origin.currency, reader) if orchard.water else []


def _ledger(orchard: Orchard, reader: Reader) -> list[Sheet]:
    ledger, ground, layout = orchard.ledger, orchard.ground, orchard.layout
    if ledger is None:
        return []
    by_row = [calendar_sheets.row_hours(ledger, ground, layout)] if ground and layout else []
    return [*ledger_sheets.sheets(ledger, reader), *by_row]


_SHEETS: Mapping[str, Callable[[Orchard, Reader], list[Sheet]]] = {
    "place": lambda one, reader: place_sheets.sheets(one.place, one.choice, reader) if one.place else [],
    "learning": _learning,
    "ground": lambda one, reader: ground_sheets.sheets(one.ground, reader) if one.ground else [],
    "choice": lambda one, reader: choice_sheets.sheets(one.choice, reader) if one.choice else [],
    "press": lambda one, reader: press_sheets.sheets(one.press) if one.press else [],
    "layout": _layout,
    "years": _years,
    "nursery": lambda one, reader: nursery_sheets.sheets(one.nursery, reader) if one.nursery else [],
    "trellis": lambda one, reader: trellis_sheets.sheets(one.trellis, reader) if one.trellis else [],
    "water": _water,
    "soil": lambda one, reader: (
        soil_sheets.sheets(one.soil, one.origin.planting_year, reader) if one.soil else []
    ),
    "ledger": _ledger,
}
