"""The week on one page, for the kitchen door."""

from dataclasses import replace

from topwire.book.blocks import table
from topwire.book.sheets import paper
from topwire.season.findings import SeasonStage, WeekFindings
from topwire.show import season_sheets
from topwire.show.sheet import Sheet, printed
from topwire.show.week_sheet import this_week
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.values.notice import Severity

_LINES = 14  # cultivars shown; those that come next
_JOBS = 12
_THIN, _THREATS = 6, 5
_TOLD = (Severity.WARNING, Severity.CAUTION)
_DOOR_LEAVES_OUT = {
    "week.jobs": ("people", "caution", "key", "tools"),
    "week.stages": ("trees", "seen", "day"),
    "week.picks": ("left", "crop_low", "crop_high", "first", "hours"),
    "week.ahead": ("hours",),
    "water.this_week": ("leaf", "missing", "ready"),
}


def week_data(found: WeekFindings) -> dict[str, object]:
    """Everything the page prints."""
    reader = Reader(found.units)
    coming = [
        line for line in found.stages if line.coming is not None and line.coming is not SeasonStage.OVER
    ]
    shown = replace(found, stages=tuple(coming[:_LINES]), jobs=found.jobs[:_JOBS], thin=found.thin[:_THIN])
    wide = [
        season_sheets.threats(shown, reader, _THREATS),
        season_sheets.jobs(shown, reader),
        season_sheets.thin(shown),
        season_sheets.picks(shown),
    ]
    left = [season_sheets.stages(shown)]
    right = [season_sheets.kitchen(shown), season_sheets.ahead(shown, reader)]
    if not found.stages:  # nothing stands there yet
        wide.pop(0)
    if found.water is not None:
        right.insert(0, this_week(found.water))
    more = len(coming) - _LINES
    return {
        "title": found.name,
        "day": reader.date(found.day),
        "paper": paper(found.units),
        "told": [told.says for told in all_told(found.notices, reader) if told.severity in _TOLD],
        "wide": [table(printed(_narrow(sheet), reader)) for sheet in wide if sheet.rows],
        "left": [table(printed(_narrow(sheet), reader)) for sheet in left if sheet.rows],
        "right": [table(printed(_narrow(sheet), reader)) for sheet in right if sheet.rows],
        "more": f"and {more} more cultivars later" if more > 0 else "",
    }


def _narrow(sheet: Sheet) -> Sheet:
    """Without the columns a door does not need, and without what it rests on."""
    out = _DOOR_LEAVES_OUT.get(sheet.name, ())
    keep = [at for at, column in enumerate(sheet.columns) if column.key not in out]
    return replace(
        sheet,
        columns=tuple(replace(sheet.columns[at], width=0.0) for at in keep),
        rows=tuple(tuple(row[at] for at in keep) for row in sheet.rows),
        rests_on="",
    )
