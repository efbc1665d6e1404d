"""Which sheets a plan shows by its size: a garden gets its own in place of a field's, and no empty ones."""

from dataclasses import replace

from topwire.engine.orchard import Orchard
from topwire.show.garden_sheets import garden_sheets
from topwire.show.sheet import Sheet
from topwire.tell.reader import Reader
from topwire.values.quantities import Quantity
from topwire.values.units import Kind

# Sheets that serve crews, machines, banks and comparison of many rows.
OF_A_FIELD = frozenset({
    "choice.batches", "choice.guests", "ground.bearings", "ground.light", "layout.cultivars", "layout.hours",
    "layout.runs", "layout.walk", "ledger.banker", "ledger.late_start", "ledger.published", "ledger.rows",
    "ledger.short_weeks", "ledger.worth", "ledger.years", "ledger.sensitivity", "nursery.troubles",
    "soil.covers", "staking.bring_out", "staking.corners", "staking.sides", "staking.tapes", "staking.totals",
    "water.evapotranspiration", "water.lines_tried", "water.losses", "water.points", "water.pipes",
    "water.quality", "water.zones", "years.rows", "years.rules", "years.sugar", "years.trials",
})  # fmt: skip
CHARTS_OF_A_FIELD = frozenset({"cash", "labour", "rivals", "gives"})
_OWN_HOURS = "Going out to each job is counted in it."
# Quantities by the acre or hectare.
_BY_AREA: frozenset[Quantity] = frozenset({Kind.CROP})


def for_size(orchard: Orchard, name: str, found: list[Sheet], reader: Reader) -> list[Sheet]:
    """A department's sheets as a plan of this size shows them."""
    if not orchard.is_garden:
        return found
    kept = [_without_areas(sheet) for sheet in found if sheet.name not in OF_A_FIELD]
    kept = [replace(sheet, rests_on=_OWN_HOURS) if sheet.name == "ledger.hours" else sheet for sheet in kept]
    mine = [*garden_sheets(orchard, name, reader), *kept]
    return [sheet for sheet in mine if sheet.rows] or mine[
        :1
    ]  # an empty department teaches what would stand there


def _without_areas(sheet: Sheet) -> Sheet:
    """Without columns and notes by the acre or hectare."""
    here = [at for at, column in enumerate(sheet.columns) if column.quantity not in _BY_AREA]
    notes = () if sheet.name == "years.crop" else sheet.notes
    if len(here) == len(sheet.columns) and notes == sheet.notes:
        return sheet
    rests = "New trees only." if sheet.name == "years.crop" else sheet.rests_on
    return replace(
        sheet,
        columns=tuple(sheet.columns[at] for at in here),
        rows=tuple(tuple(row[at] for at in here) for row in sheet.rows),
        notes=notes,
        rests_on=rests,
    )
