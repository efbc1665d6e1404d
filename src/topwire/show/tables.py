"""Every department's tables by its name: one place for terminal, page, book and spreadsheet."""

from collections.abc import Callable, Mapping

from topwire.engine.orchard import Orchard
from topwire.show import (
    choice_sheets,
    ground_sheets,
    layout_sheets,
    ledger_sheets,
    nursery_sheets,
    place_sheets,
    trellis_sheets,
    water_tables,
    years_sheets,
)
from topwire.show.catalogue_tables import catalogue_table
from topwire.show.sheet import Sheet, printed
from topwire.show.table import Cell, Figure, Table
from topwire.tell.reader import Reader
from topwire.values.units import UnitSystem

__all__ = ["NAMES", "Cell", "Figure", "Table", "catalogue_table", "department_tables"]

NAMES = ("place", "ground", "choice", "layout", "years", "nursery", "trellis", "water", "ledger")
DEPARTMENTS: Mapping[str, Callable[[Orchard], list[Table]]] = {
    "water": water_tables.water_tables,
}


def department_tables(orchard: Orchard, name: str) -> list[Table]:
    """Tables of one department, in the person's units; none where it is absent.

    Raises
    ------
    KeyError
        When there is no such department.
    """
    if name in SHEETS:
        reader = Reader(orchard.origin.units)
        return [printed(sheet, reader) for sheet in department_sheets(orchard, name)]
    return DEPARTMENTS[name](orchard)


def named_tables(orchard: Orchard) -> list[tuple[str, Table]]:
    """Every table of every department with its name ("nursery.grafts"), in the person's units."""
    reader = Reader(orchard.origin.units)
    found: list[tuple[str, Table]] = []
    for name in NAMES:
        if name in SHEETS:
            found += [(sheet.name, printed(sheet, reader)) for sheet in department_sheets(orchard, name)]
        else:
            found += [(f"{name}.{n}", table) for n, table in enumerate(DEPARTMENTS[name](orchard), start=1)]
    return found


def department_sheets(orchard: Orchard, name: str, system: UnitSystem | None = None) -> list[Sheet]:
    """Sheets of one department, its sentences in the plan's units or those of `system`; none where it is absent."""
    return SHEETS[name](orchard, Reader(system or orchard.origin.units))


def _ground(orchard: Orchard, reader: Reader) -> list[Sheet]:
    return ground_sheets.sheets(orchard.ground, reader) if orchard.ground else []


def _layout(orchard: Orchard, reader: Reader) -> list[Sheet]:
    ground, layout = orchard.ground, orchard.layout
    return layout_sheets.sheets(ground, layout, reader) if ground and layout else []


def _nursery(orchard: Orchard, reader: Reader) -> list[Sheet]:
    return nursery_sheets.sheets(orchard.nursery, reader) if orchard.nursery else []


def _place(orchard: Orchard, reader: Reader) -> list[Sheet]:
    return place_sheets.sheets(orchard.place, orchard.choice, reader) if orchard.place else []


def _trellis(orchard: Orchard, reader: Reader) -> list[Sheet]:
    return trellis_sheets.sheets(orchard.trellis, reader) if orchard.trellis else []


def _years(orchard: Orchard, reader: Reader) -> list[Sheet]:
    return years_sheets.sheets(orchard.years, orchard.origin.planting_year, reader) if orchard.years else []


def _ledger(orchard: Orchard, reader: Reader) -> list[Sheet]:
    return ledger_sheets.sheets(orchard.ledger, reader) if orchard.ledger else []


def _choice(orchard: Orchard, reader: Reader) -> list[Sheet]:
    return choice_sheets.sheets(orchard.choice, reader) if orchard.choice else []


SHEETS: Mapping[str, Callable[[Orchard, Reader], list[Sheet]]] = {
    "place": _place,
    "nursery": _nursery,
    "ledger": _ledger,
    "ground": _ground,
    "choice": _choice,
    "layout": _layout,
    "years": _years,
    "trellis": _trellis,
}
