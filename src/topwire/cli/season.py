"""The commands of the season: what a day of the year asks for."""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from topwire.cli.day import on
from topwire.cli.ending import ended

if TYPE_CHECKING:
    from topwire.season.findings import WeekFindings


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@on("2026-05-03")
@click.option("--json", "as_json", is_flag=True, help="All of it, as JSON.")
@click.option("--pdf", type=click.Path(path_type=Path), help="Write one page for the kitchen door here.")
@click.option("--ics", type=click.Path(path_type=Path), help="Write the week for a calendar program here.")
def week(folder: Path, day: date, as_json: bool, pdf: Path | None, ics: Path | None) -> None:
    """The week of the orchard in FOLDER: where it stands, what to do, pick, water and serve.

    On a past day it tells what was known then: weather and records up to that day.
    """
    from topwire.cli.showing import print_table
    from topwire.engine.store import as_json as to_json
    from topwire.files.safely import write_where_asked
    from topwire.season.answer import week_of
    from topwire.season.kept import open_folder
    from topwire.season.records import seen_by
    from topwire.show.season_sheets import sheets
    from topwire.show.sheet import printed
    from topwire.tell.reader import Reader
    from topwire.tell.speech import all_told

    with ended(folder):
        opened = open_folder(folder)
        found = week_of(opened, day, seen_by(folder, day))
    if as_json:
        click.echo(to_json(found))
        return
    for path, make in ((pdf, _pdf), (ics, _ics)):
        if path is not None:
            with ended(path):
                write_where_asked(path, make(found))
            click.echo(f"wrote {path}")
    if pdf is not None or ics is not None:
        return
    reader = Reader(found.units)
    click.echo(f"{found.name}, week of {reader.date(found.day)}")
    for notice in all_told(found.notices, reader):
        click.echo(f"{notice.severity}: {notice}")
    for sheet in sheets(found, reader):
        print_table(printed(sheet, reader))


def _pdf(found: "WeekFindings") -> bytes:
    from topwire.book.build import week_pdf

    return week_pdf(found)


def _ics(found: "WeekFindings") -> bytes:
    from topwire.export.week_calendar import week_calendar

    return week_calendar(found)


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@on("2026-11-20")
@click.option("--json", "as_json", is_flag=True, help="All of it, as JSON.")
def cellar(folder: Path, day: date, as_json: bool) -> None:
    """The cellar of the orchard in FOLDER: what goes first, what the kitchen gets of it, what is made of the rest.

    It rests on what was noted: picks, what was taken out, lots looked through, the cellar's temperature.
    """
    from topwire.cli.showing import print_table
    from topwire.engine.store import as_json as to_json
    from topwire.season.cellar import cellar_of
    from topwire.season.kept import open_folder
    from topwire.season.outlook import outlook_on
    from topwire.season.records import seen_by
    from topwire.show.cellar_sheets import sheets
    from topwire.show.sheet import printed
    from topwire.tell.reader import Reader
    from topwire.tell.speech import all_told

    with ended(folder):
        opened = open_folder(folder)
        seen = seen_by(folder, day)
        found = cellar_of(opened, day, seen, outlook_on(opened, day, seen))
    if as_json:
        click.echo(to_json(found))
        return
    reader = Reader(found.units)
    click.echo(f"{found.name}, cellar on {reader.date(found.day)}")
    for notice in all_told(found.notices, reader):
        click.echo(f"{notice.severity}: {notice.says}{' ' + notice.remedy if notice.remedy else ''}")
    for sheet in sheets(found, reader):
        print_table(printed(sheet, reader))
