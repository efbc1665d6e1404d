"""The command that makes what guests are shown."""

from datetime import date
from pathlib import Path

import click

from topwire.cli.day import on
from topwire.cli.ending import ended

_SIZES = ("a4", "a5", "a6", "letter", "half-letter", "quarter-letter")


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@on("2026-10-10")
@click.option("--cards", is_flag=True, help="Only the cards, one a cultivar.")
@click.option("--board", is_flag=True, help="Only the board: what is on the table.")
@click.option("--walk", is_flag=True, help="Only the walk through the rows.")
@click.option("--pages", is_flag=True, help="Only the pages for your web site.")
@click.option(
    "--size",
    type=click.Choice(_SIZES),
    help="Paper of each card, board and walk; by the plan's units if not said.",
)
@click.option(
    "--to", type=click.Path(path_type=Path, file_okay=False), help="Folder to write to instead of out/guests."
)
@click.option("--json", "as_json", is_flag=True, help="All of it, as JSON; nothing is written.")
@click.option("--show", is_flag=True, help="As tables on the screen; nothing is written.")
def guests(
    folder: Path,
    day: date,
    cards: bool,
    board: bool,
    walk: bool,
    pages: bool,
    size: str | None,
    to: Path | None,
    as_json: bool,
    show: bool,
) -> None:
    """Cards, today's board and a walk for the guests of the orchard in FOLDER, and pages for your web site.

    Stories are told from facts with a source alone; what nobody knows is said to be unknown.
    """
    from topwire.cli.showing import print_table
    from topwire.engine.store import as_json as to_json
    from topwire.export.guest_files import guest_files, put
    from topwire.guests.answer import answer
    from topwire.guests.question import question
    from topwire.show.guests_sheets import sheets
    from topwire.show.sheet import printed
    from topwire.tell.reader import Reader
    from topwire.tell.speech import all_told

    with ended(to or folder):
        found = answer(question(folder, day))
        if as_json:
            click.echo(to_json(found))
            return
        reader = Reader(found.units)
        for notice in all_told(found.notices, reader):
            click.echo(
                f"{notice.severity}: {notice.says}{' ' + notice.remedy if notice.remedy else ''}", err=True
            )
        if show:
            for sheet in sheets(found):
                print_table(printed(sheet, reader))
            return
        wanted = [
            name
            for name, asked in (("cards", cards), ("board", board), ("walk", walk), ("pages", pages))
            if asked
        ]
        into = to or folder / "out" / "guests"
        for path in put(guest_files(found, wanted, size), into):
            click.echo(f"wrote {path}")
