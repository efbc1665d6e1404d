"""Pages of one idea each: its picture, its few tables, and what has to be decided, minded or known of it."""

from collections.abc import Callable, Iterable
from dataclasses import replace

from topwire.book.blocks import Block, Drawings, figure, notices, table
from topwire.book.drawings import drawn_as, elevations, ground_maps, harvest_map, whip_trees
from topwire.book.ideas import DECISIONS, IDEAS, Idea, Pick, belongs, department_of
from topwire.engine.orchard import Orchard
from topwire.show.charts import Chart, department_charts
from topwire.show.garden_sheets import months
from topwire.show.kitchen_calendar import draw_calendar
from topwire.show.sheet import Sheet, StandsIn, printed
from topwire.show.table import Table
from topwire.show.tables import department_sheets
from topwire.tell.reader import Reader, listed
from topwire.tell.speech import all_told
from topwire.tell.words import Told
from topwire.values.notice import Severity


def _calendar(orchard: Orchard, drawings: Drawings) -> list[Block]:
    says = "Each cell a week, as full as that week is served in the mean year of full crop; crosses: what is short."
    drawn = draw_calendar(orchard, Reader(orchard.origin.units))
    return [drawn_as("", drawn, says, drawings)] if drawn else []


_DRAWN: dict[str, Callable[[Orchard, Drawings], list[Block]]] = {
    "calendar": _calendar,
    "maps": ground_maps,
    "harvest-map": harvest_map,
    "rows": elevations,
    "whips": whip_trees,
}


def told_in(orchard: Orchard, name: str) -> tuple[Told, ...]:
    """Notices of a part; what was found reading the inputs stands with the place."""
    reader = Reader(orchard.origin.units)
    own = all_told(getattr(orchard.departments[department_of(name)], "notices", ()), reader)
    return (*all_told(orchard.notices, reader), *own) if name == "place" else own


def sheets_by_name(orchard: Orchard, name: str) -> dict[str, Sheet]:
    """A part's sheets that have rows; of the year's work also that of grown trees by its months."""
    found = {sheet.name: sheet for sheet in _sheets(orchard, name)}
    if name == "calendar" and orchard.ledger is not None:
        by_month = months(orchard.ledger, Reader(orchard.origin.units))
        found |= {by_month.name: by_month} if by_month.rows else {}
    return found


def chart_block(chart: Chart, drawings: Drawings, title: str = "") -> Block:
    file = f"chart-{chart.name}.svg"
    drawings[file] = chart
    return figure(title, file, chart.says, width=1.0)


def ideas_of(orchard: Orchard, name: str, drawings: Drawings) -> list[dict[str, object]]:
    """A department's pages for reading, without those that have nothing to show."""
    charts = {chart.name: chart for chart in department_charts(orchard, department_of(name))}
    sheets, told = sheets_by_name(orchard, name), told_in(orchard, name)
    found: list[dict[str, object]] = []
    said: set[str] = set()  # under a table of the part, so that it is not said twice
    for idea in IDEAS[name]:
        blocks = [
            *_pictures(orchard, idea, charts, drawings),
            *_notices(told, idea, DECISIONS),
            *(
                table(_said_once(_titled(_picked(sheets[pick.sheet], pick, orchard), idea), said))
                for pick in idea.picks
                if pick.sheet in sheets
            ),
            *_notices(told, idea, (Severity.CAUTION, Severity.REMARK)),
        ]
        if blocks:
            found.append({"title": idea.title, "blocks": blocks})
    same = [part for part in IDEAS if department_of(part) == department_of(name)]
    placed = {severity for part in same for idea in IDEAS[part] for severity in idea.told} | {
        Severity.ASSUMPTION
    }
    left = [notices(told, severity) for severity in Severity if severity not in placed]
    left = [block for block in left if block["items"]]
    if left:
        found.append({"title": "Also to mind", "blocks": left})
    return found


def rest_of(orchard: Orchard, name: str, drawings: Drawings) -> list[Block]:
    """What a part printed alone holds beyond its pages for reading: further charts, and every sheet in full."""
    shown = {picture for idea in IDEAS[name] for picture in idea.pictures} | {"rivals"}
    charts = {
        chart.name: chart
        for chart in department_charts(orchard, department_of(name))
        if chart.name not in shown and belongs(chart.name, name)
    }
    blocks = []
    reader = Reader(orchard.origin.units)
    for sheet in _beyond(orchard, name):
        blocks += [
            chart_block(charts.pop(key), drawings, charts_title)
            for key, charts_title in _titles(sheet, charts)
        ]
        blocks.append(table(printed(sheet, reader)))
    return [*blocks, *(chart_block(chart, drawings, chart.title) for chart in charts.values())]


def rest_said(orchard: Orchard, name: str) -> str:
    """Which sheets a part printed alone adds; empty where it adds none."""
    titles = [sheet.title for sheet in _beyond(orchard, name)]
    few = titles[:9] + ([f"{len(titles) - 9} more"] if len(titles) > 9 else [])
    return listed([title[:1].lower() + title[1:] for title in few])


def _beyond(orchard: Orchard, name: str) -> list[Sheet]:
    """Sheets the pages for reading leave out, or show in part."""
    whole = {pick.sheet for idea in IDEAS[name] for pick in idea.picks if not pick.columns and not pick.first}
    return [
        sheet
        for sheet in _sheets(orchard, name)
        if sheet.stands_in is StandsIn.CHAPTER and sheet.name not in whole
    ]


def _sheets(orchard: Orchard, name: str) -> list[Sheet]:
    found = department_sheets(orchard, department_of(name))
    return [sheet for sheet in found if sheet.rows and belongs(sheet.name, name)]


def _titles(sheet: Sheet, charts: dict[str, Chart]) -> list[tuple[str, str]]:
    return [(key, charts[key].title) for key in sheet.charts if key in charts]


def _pictures(orchard: Orchard, idea: Idea, charts: dict[str, Chart], drawings: Drawings) -> list[Block]:
    found = []
    for name in idea.pictures:
        if name in _DRAWN:
            found += _DRAWN[name](orchard, drawings)
        elif name in charts:
            found.append(
                chart_block(charts[name], drawings, charts[name].title if len(idea.pictures) > 1 else "")
            )
    return found


def _picked(sheet: Sheet, pick: Pick, orchard: Orchard) -> Table:
    keep = [at for at, column in enumerate(sheet.columns) if not pick.columns or column.key in pick.columns]
    rows = sheet.rows[: pick.first or None]
    notes = sheet.notes
    if len(rows) < len(sheet.rows):
        notes = (f"The first {len(rows)} of {len(sheet.rows)}; all stand in the part printed alone.", *notes)
    return printed(
        replace(
            sheet,
            columns=tuple(sheet.columns[at] for at in keep),
            rows=tuple(tuple(row[at] for at in keep) for row in rows),
            notes=notes,
        ),
        Reader(orchard.origin.units),
    )


def _titled(found: Table, idea: Idea) -> Table:
    """Without its title where the page says the same."""
    return replace(found, title="") if len(idea.picks) == 1 or found.title == idea.title else found


def _said_once(found: Table, said: set[str]) -> Table:
    """Without what stands under an earlier table of the part."""
    fresh = replace(
        found,
        notes=tuple(note for note in found.notes if note not in said),
        rests_on="" if found.rests_on in said else found.rests_on,
    )
    said |= {*found.notes, found.rests_on}
    return fresh


def _notices(told: Iterable[Told], idea: Idea, kinds: tuple[Severity, ...]) -> list[Block]:
    made = [notices(told, severity) for severity in kinds if severity in idea.told]
    return [block for block in made if block["items"]]
