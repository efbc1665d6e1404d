"""What a short record of weather cannot say: columns on one year in ten are left out until there are years enough."""

from collections.abc import Mapping
from dataclasses import replace

from topwire.engine.orchard import Orchard
from topwire.show.sheet import Sheet

ENOUGH = 10  # usable weather years from which one year in ten is told: common practice, no source
# Columns that tell a low and a high year, by sheet; a key that ends in an underscore stands for all that begin with it.
_ONE_IN_TEN: Mapping[str, tuple[str, ...]] = {
    "place.climate": ("low", "high"),
    "place.calendar": ("bloom_low", "bloom_high", "pick_low", "pick_high"),
    "place.frost": ("crop_left_low", "loses_"),
    "choice.service": ("low", "high"),
    "layout.pollen": ("pollen",),
    "years.crop": ("low", "high"),
    "water.need": ("low", "high"),
    "water.by_age": ("low", "high"),
    "water.by_tree": ("dry",),
    "water.evapotranspiration": ("low", "high"),
    "water.schedule": ("dry_",),
    "water.calendar": (),  # its words under the table
    "water.what_ifs": ("low", "high", "lost"),
    "water.store": ("dry_level",),
    "press.drinks": ("made_low",),
    "ledger.sizes": ("worst_fifth",),
}
CHARTS = frozenset(
    {"watering", "bloom", "harvest", "frost", "service", "seasons", "board", "cellar", "crop", "sizes"}
)


def is_short(orchard: Orchard) -> bool:
    """Whether the record has too few usable years for a year in ten."""
    return orchard.place is not None and len(orchard.place.years) < ENOUGH


def for_record(orchard: Orchard, found: list[Sheet]) -> list[Sheet]:
    """Sheets without what so few years cannot say, and the reason under each."""
    if not is_short(orchard):
        return found
    assert orchard.place is not None
    return [_withheld(sheet, len(orchard.place.years)) for sheet in found]


def _withheld(sheet: Sheet, years: int) -> Sheet:
    gone = _ONE_IN_TEN.get(sheet.name)
    if gone is None:
        return sheet
    here = [
        at
        for at, column in enumerate(sheet.columns)
        if not any(column.key.startswith(key) if key.endswith("_") else column.key == key for key in gone)
    ]
    notes = tuple(note for note in sheet.notes if "of ten" not in note and "in 10" not in note)
    return replace(
        sheet,
        columns=tuple(sheet.columns[at] for at in here),
        rows=tuple(tuple(row[at] for at in here) for row in sheet.rows),
        rests_on=f"Over {years} weather year{'s' if years > 1 else ''}: too few to say what comes one year in ten.",
        notes=notes,
        charts=(),
    )
