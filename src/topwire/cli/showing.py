"""Tables and summaries on the terminal."""

import json
from collections.abc import Iterable, Iterator
from datetime import date
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from topwire.engine.orchard import Orchard
from topwire.layout.pollen import REACH
from topwire.tell.by_size import told_of
from topwire.tell.choice import no_better
from topwire.tell.reader import counted
from topwire.values.fault import Faults, fault
from topwire.values.notice import Severity
from topwire.values.units import Kind, UnitSystem, shown

if TYPE_CHECKING:
    from topwire.weather.record import Weather


def show_department(folder: Path, name: str, *, as_json: bool, years: bool = False) -> None:
    """One department of the orchard, as tables or as JSON, or one sheet of it (“ledger.sizes”); of the place also
    every year's dates as CSV.

    Raises
    ------
    Faults
        When there is no such department or its inputs are faulty.
    """
    from topwire.cli.writing import standing_out
    from topwire.engine.inputs import read_inputs
    from topwire.engine.orchard import CannotPlan
    from topwire.engine.recall import recall
    from topwire.engine.run import plan_orchard
    from topwire.engine.steps import STEPS
    from topwire.engine.store import as_json as to_json
    from topwire.export.dates import dates_by_year
    from topwire.show.tables import department_tables

    names = [step.name for step in STEPS]
    sheet = name
    name = name.partition(".")[0]
    if name not in names:
        near = get_close_matches(name, [*names, "catalogue", "rootstocks", "kitchen", "yields"], n=1)
        remedy = (
            f"Did you mean {near[0]}?"
            if near
            else f"There are {', '.join(names)}; and catalogue, rootstocks, kitchen, yields."
        )
        raise Faults([fault("show", f"there is no department “{name}”.", remedy)])
    orchard = recall(folder) or plan_orchard(read_inputs(folder), progress=progress, until=name)
    said = standing_out(folder, orchard.origin.plan_hash)
    if said:
        click.echo(said, err=True)
    result = orchard.departments[name]
    if result is None:
        raise CannotPlan(orchard.notices)
    if as_json:
        click.echo(to_json(result))
        return
    if years:
        click.echo(dates_by_year(orchard).decode("utf-8-sig"), nl=False)
        return
    tables = department_tables(orchard, name)
    if sheet != name:
        known = [table.name for table in tables]
        if sheet not in known:
            raise Faults([fault("show", f"{name} has no sheet “{sheet}”.", f"There are {', '.join(known)}.")])
        for table in tables:
            if table.name == sheet:
                print_table(table)
        return
    for table in tables:
        print_table(table)
    for notice in told_of(orchard, getattr(result, "notices", ())):
        click.echo(f"{notice.severity}: {notice}")


def show_this_week(folder: Path, forecast: Path, today: date) -> None:
    """What to run in each zone from today on. Raises Faults where it cannot be said."""
    from topwire.engine.inputs import read_inputs
    from topwire.engine.orchard import CannotPlan
    from topwire.engine.recall import recall
    from topwire.engine.run import plan_orchard
    from topwire.engine.this_week import water_this_week
    from topwire.show.sheet import printed
    from topwire.show.week_sheet import this_week
    from topwire.tell.reader import Reader
    from topwire.tell.speech import all_told
    from topwire.values.notice import CannotAnswer

    inputs = read_inputs(folder)
    orchard = recall(folder) or plan_orchard(inputs, progress=progress, until="water")
    reader = Reader(orchard.origin.units)
    try:
        advice = water_this_week(inputs, orchard, forecast, today)
    except CannotAnswer as reasons:
        raise CannotPlan(reasons.notices) from None
    print_table(printed(this_week(advice), reader))
    for notice in all_told(advice.notices, reader):
        click.echo(f"{notice.severity}: {notice}")


def show_record(weather: "Weather", units: UnitSystem) -> None:
    """How well each year of the weather record is covered."""
    from topwire.show.place_sheets import record
    from topwire.show.sheet import printed
    from topwire.tell.reader import Reader
    from topwire.weather.coverage import coverage

    print_table(printed(record(coverage(weather)), Reader(units)))


def progress(message: str) -> None:
    click.echo(message, err=True)


def show_table(
    folder: Path, what: str, *, as_json: bool, use: str | None, kind: str | None, right: str | None
) -> None:
    """A table of the catalogue, own rows of the folder included."""
    from topwire.catalogue.model import Catalogue
    from topwire.catalogue.tables import read_tables
    from topwire.show.catalogue_tables import catalogue_table

    catalogue = Catalogue(read_tables(folder / "catalogue"))
    table = catalogue_table(catalogue, what, use=use, kind=kind, right=right)
    if as_json:
        rows = [dict(zip(table.columns, row, strict=True)) for row in table.rows]
        click.echo(json.dumps(rows, ensure_ascii=False))
    else:
        print_table(table)


def show_sources(key: str | None, *, as_json: bool) -> None:
    from topwire.sources import bibliography

    known = bibliography()
    if key is not None and key not in known:
        raise _no_source(f"there is no source “{key}”.", key, known)
    wanted = [known[key]] if key else list(known.values())
    if as_json:
        click.echo(
            json.dumps(
                [vars(source) | {"marks": list(source.marks)} for source in wanted], ensure_ascii=False
            )
        )
        return
    for source in wanted:
        where = f"; {source.where}" if source.where else ""
        remark = f" [{source.remark}]" if source.remark else ""
        click.echo(f"{source.key}: {source.citation}{where} ({source.mark}){remark}")


def _no_source(says: str, key: str, known: Iterable[str]) -> Faults:
    near = get_close_matches(key, list(known), n=1)
    return Faults([fault("sources", says, f"Did you mean {near[0]}?" if near else "")])


def show_checks(key: str | None, *, as_json: bool) -> None:
    """Every outside check, or those of one source, computed now."""
    from topwire.checks import all_checks

    by_source = [(check.source.partition(",")[0], check) for check in all_checks()]
    wanted = [check for source, check in by_source if key in (None, source)]
    if key is not None and not wanted:
        raise _no_source(
            f"no figure of ours stands beside one of “{key}”.", key, {name for name, _ in by_source}
        )
    rows: list[dict[str, Any]] = []
    for check in wanted:
        ours = check.ours()
        rows.append(
            {
                "department": check.department,
                "quantity": check.quantity,
                "source": check.source,
                "published": check.published,
                "ours": ours,
                "difference": ours - check.published,
                "tolerance": check.tolerance,
                "mark": str(check.mark),
            }
        )
    if as_json:
        click.echo(json.dumps(rows, ensure_ascii=False))
        return
    for row in rows:
        agrees = abs(row["difference"]) <= row["tolerance"]
        click.echo(
            f"{'agrees ' if agrees else 'DIFFERS'} {row['department']}: {row['quantity']}: published "
            f"{row['published']:.6g}, ours {row['ours']:.6g} (within {row['tolerance']:.3g}); {row['source']} "
            f"({row['mark']})"
        )
    click.echo(f"{len(rows)} checks.")


def summary(orchard: Orchard, folder: Path, names: list[str]) -> Iterator[str]:
    """What the plan came to, and where to look."""
    units = orchard.origin.units
    choice, layout, place = orchard.choice, orchard.layout, orchard.place
    if choice is not None and layout is not None and place is not None:
        planted = int((layout.cultivar >= 0).sum())
        yield (
            f"{orchard.origin.name}: {counted(planted, 'tree')} of {counted(len(choice.chosen), 'cultivar')}, "
            f"over {counted(len(place.years), 'weather year')}."
        )
        wanted, served = choice.wanted_kg, choice.served_kg
        yield (
            f"Of {shown(wanted, Kind.MASS, units)} wanted a year, {shown(served, Kind.MASS, units)} "
            f"({served / wanted:.0%}) can be served in the mean year of full crop; "
            f"{no_better(choice.gap_of_avoidable)}."
        )
        new = ~layout.standing & (layout.cultivar >= 0)
        if new.any():
            reach = layout.donors_in_reach[layout.cultivar >= 0]
            near = shown(REACH, Kind.LENGTH, units)
            yield f"Any tree has useful pollen of at least {counted(reach.min(), 'cultivar')} within {near}."
    counts = dict.fromkeys(Severity, 0)
    for notice in told_of(orchard, orchard.all_notices()):
        counts[notice.severity] += 1
    told = ", ".join(counted(count, str(severity)) for severity, count in counts.items() if count)
    yield f"Notices: {told} (all of them stand in the book)."
    run = [step for step in orchard.steps if step.seconds is not None]
    seconds = sum(step.seconds or 0 for step in run)
    yield f"{counted(len(run), 'step')} run in {seconds:.1f} s, {len(orchard.steps) - len(run)} unchanged."
    yield f"Open {folder / 'out' / 'book.pdf'}; beside it: {', '.join(name for name in names if name != 'book.pdf')}."


MOST_WORD = 14  # signs of a word a column keeps whole


def print_table(table: object) -> None:
    """A table as wide as the window; one that does not fit is turned: a line a figure, a block a row."""
    from rich import box
    from rich.console import Console
    from rich.table import Table as RichTable

    from topwire.show.table import Table

    assert isinstance(table, Table)
    console = Console(width=None if Console().is_terminal else 160, highlight=False, markup=False)
    rows = [[str(cell) for cell in row] for row in table.rows]
    if console.is_terminal and rows and _least(table.columns, rows) > console.width:
        console.print(f"{table.title}\n")
        wide = max(len(caption) for caption in table.columns)
        for row in rows:
            for caption, cell in zip(table.columns, row, strict=True):
                console.print(f"  {caption:{wide}}  {cell}", soft_wrap=False)
            console.print()
    else:
        drawn = RichTable(title=table.title, title_justify="left", box=box.SIMPLE_HEAD, pad_edge=False)
        for column in table.columns:
            drawn.add_column(column, overflow="fold")
        for cells in rows:
            drawn.add_row(*cells)
        console.print(drawn)
    for note in (*table.notes, table.rests_on):
        if note:
            console.print(note)


def _least(captions: tuple[str, ...], rows: list[list[str]]) -> int:
    """Signs a table wants, so that no ordinary word of it is broken."""
    words = (
        max(len(word) for cell in column for word in cell.split() or [""])
        for column in zip(captions, *rows, strict=True)
    )
    return sum(min(word, MOST_WORD) + 2 for word in words)
