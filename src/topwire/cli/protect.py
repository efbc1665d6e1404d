"""`topwire protect`: what threatened in the past fortnight and the days ahead, with its reasons."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING

import click

from topwire.cli.day import day as a_day
from topwire.cli.day import on
from topwire.cli.ending import ended
from topwire.values.days import day_named
from topwire.values.fault import Faults

if TYPE_CHECKING:
    from topwire.protection.asked import ProtectionBasis
    from topwire.show.table import Table

HEAD = 5  # columns of a window that make its first line: danger, threat, from, to, known from


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@on("2026-05-03")
@click.option(
    "--weather",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Weather of this year so far, beside the plan's record; hours with dew point, wind and rain are best.",
)
@click.option(
    "--forecast",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="A forecast of the days from that day on, in place of the one kept.",
)
@click.option(
    "--hail",
    multiple=True,
    type=a_day,
    help="A day on which hail or storm tore leaves and fruit; may be given again.",
)
@click.option(
    "--caught",
    multiple=True,
    metavar="INSECT=DATE",
    help="The first catch in a trap, as “codling moth=2026-05-02”; may be given again.",
)
@click.option(
    "--scabbed", is_flag=True, help="More than one leaf in a hundred had scab when the leaves last fell."
)
@click.option("--json", "as_json", is_flag=True, help="All of it, as JSON.")
def protect(
    folder: Path,
    day: date,
    weather: Path | None,
    forecast: Path | None,
    hail: tuple[date, ...],
    caught: tuple[str, ...],
    scabbed: bool,
    as_json: bool,
) -> None:
    """What threatens the orchard in FOLDER on a day: disease, insects, frost, sun, hail and wind, by urgency, with
    the reason, the rows, what to look for and what to do without a spray. Only what was known on that day counts."""
    from topwire.cli.showing import print_table
    from topwire.engine.store import as_json as to_json
    from topwire.season.kept import open_folder
    from topwire.season.records import seen_by
    from topwire.season.threats import threats_on
    from topwire.show.protection_sheets import frost, signs, windows
    from topwire.show.sheet import printed
    from topwire.tell.reader import Reader
    from topwire.tell.speech import all_told
    from topwire.weather.forecast_kept import read_forecast_file
    from topwire.weather.read import read_days

    with ended(folder):
        opened = open_folder(folder)
        found = threats_on(
            opened,
            day,
            seen_by(folder, day),
            weather=None if weather is None else read_days(weather),
            forecast=None if forecast is None else read_forecast_file(forecast),
            hail=hail,
            caught=dict(_caught(one, opened.basis.protection) for one in caught),
            scabbed=scabbed,
        )
    if as_json:
        click.echo(to_json(found))
        return
    reader = Reader(opened.basis.units)
    click.echo("\n".join(_blocks(printed(windows(found, reader), reader))))
    if found.windows:
        print_table(printed(signs(found, reader), reader))
    if found.frost:
        print_table(printed(frost(found, reader), reader))
    for notice in all_told(found.notices, reader):
        click.echo(f"{notice.severity}: {notice.says}{' ' + notice.remedy if notice.remedy else ''}")


def _caught(text: str, basis: "ProtectionBasis") -> "tuple[str, date]":
    """Insect and day out of “codling moth=2026-05-02”. Raises Faults where either cannot be understood."""
    from difflib import get_close_matches

    from topwire.values.fault import fault
    from topwire.values.insect_clock import ClockStart

    name, _, when = (part.strip() for part in text.partition("="))
    known = sorted({clock.insect for clock in basis.clocks if clock.starts is ClockStart.FIRST_CATCH})
    if name not in known:
        near = get_close_matches(name, known, n=1)
        remedy = f"Did you mean {near[0]}?" if near else f"Traps tell of {', '.join(known)}."
        raise Faults([fault("--caught", f"“{name}” is no insect that is dated by its first catch.", remedy)])
    try:
        return name, day_named(when)
    except ValueError as wrong:
        raise Faults([fault("--caught", str(wrong), f"As in --caught “{name}=2026-05-02”.")]) from None


def _blocks(table: "Table") -> Iterator[str]:
    """Each row as a paragraph: its first columns in one line, the others under it with their captions."""
    from topwire.show.table import UNKNOWN

    yield table.title
    if not table.rows:
        yield "\n  Nothing, as far as the weather known tells."
    for row in table.rows:
        danger, threat, first, last, known = (str(cell) for cell in row[:HEAD])
        yield f"\n{danger.upper()}: {threat}, {first if first == last else f'{first} to {last}'} ({known})"
        for caption, cell in zip(table.columns[HEAD:], row[HEAD:], strict=True):
            if str(cell) not in (UNKNOWN, ""):
                text = f"{caption}: {cell}"
                yield fill(text, 110, initial_indent="  ", subsequent_indent="    ", break_long_words=False)
    yield f"\n{table.rests_on}\n"
