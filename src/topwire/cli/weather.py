"""topwire weather: the record and the forecast, kept current on request. Nothing else opens a connection outwards."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from topwire.cli.ending import Hindered, Said
from topwire.values.fault import Faults, fault

if TYPE_CHECKING:
    from topwire.plan.model import Plan
    from topwire.weather.online.asking import Asker
    from topwire.weather.online.journeys import Came, Whereabouts
    from topwire.weather.online.services import WeatherService

F = TypeVar("F", bound=Callable[..., Any])
_FOLDER = click.argument("folder", type=click.Path(path_type=Path))


def _asks(command: F) -> F:
    """The options of every command that asks a service."""
    yes = click.option("--yes", is_flag=True, help="Do not ask before the connection is opened.")
    contact = click.option(
        "--contact",
        default="",
        envvar="TOPWIRE_CONTACT",
        metavar="ADDRESS",
        help="Your e-mail address, told to services that want to know whom to write to.",
    )
    return yes(contact(command))


@click.group()
def weather() -> None:
    """Find, fetch and keep current the weather of an orchard, and the forecast.

    Only these commands open a connection, and they say first to whom and what is sent.
    """


@weather.command()
@_FOLDER
@_asks
def find(folder: Path, yes: bool, contact: str) -> None:
    """Look which weather stations near the orchard in FOLDER have a record worth having."""
    with _at(folder) as (plan, where), _asking([_stations(where)], yes, contact) as asker:
        _look(plan, where, asker)


@weather.command()
@_FOLDER
@click.argument("station", required=False)
@click.option("--cell", is_flag=True, help="The record of the grid cell the orchard lies in, to fill gaps.")
@_asks
def fetch(folder: Path, station: str | None, cell: bool, yes: bool, contact: str) -> None:
    """Bring the record of STATION (or of the best one near, or of the grid cell) into FOLDER/weather.

    The files are kept as the service sent them, with their source and licence in weather/fetched.json.
    """
    from topwire.weather.online.bringing import now
    from topwire.weather.online.journeys import STATION, bring_cell, bring_station
    from topwire.weather.online.services import CELL

    if station is not None and (cell or not STATION.fullmatch(station)):
        says = "a station or --cell, one at a time." if cell else f"“{station[:30]}” is no name of a station."
        raise Said([fault("weather fetch", says, "topwire weather find FOLDER lists those near.")])
    with (
        _at(folder) as (plan, where),
        _asking([CELL if cell else _stations(where, station or "")], yes, contact) as asker,
    ):
        if cell:
            came = bring_cell(where, asker, now())
        else:
            station = station or _look(plan, where, asker, fetching=True)
            came = bring_station(where, station, asker, now())
        _tell(plan, came)
        _name(folder, plan, [f"weather/{one.entry.file}" for one in came], yes)


@weather.command()
@_FOLDER
@_asks
def update(folder: Path, yes: bool, contact: str) -> None:
    """Bring the record of the orchard in FOLDER up to yesterday, and tell what came and what changed."""
    from topwire.weather.fetched import read_fetched
    from topwire.weather.online.bringing import now
    from topwire.weather.online.journeys import RECORD, bring_up_to_date
    from topwire.weather.online.services import SERVICES, STATIONS

    with _at(folder) as (plan, where):
        held = {one.service for one in read_fetched(folder / RECORD)}
        asked = [one for key, one in SERVICES.items() if key in held] or [STATIONS]
        with _asking(asked, yes, contact) as asker:
            came = bring_up_to_date(where, asker, now())
        _tell(plan, came)
        _whole_record(folder, plan)
        failed = sum(one.how is None for one in came)
        if failed:
            raise Hindered(
                f"{failed} of {len(came)} files could not be brought up to date; they stay as they are."
            )


@weather.command()
@_FOLDER
@click.option(
    "--file",
    "own",
    type=click.Path(path_type=Path),
    metavar="FORECAST",
    help="Keep this forecast of your own: a service's answer, or a plain table of the days ahead.",
)
@click.option("--kept", is_flag=True, help="Only show the one that is kept.")
@_asks
def forecast(folder: Path, own: Path | None, kept: bool, yes: bool, contact: str) -> None:
    """The days ahead for the orchard in FOLDER; kept in weather/forecast, apart from the record."""
    import numpy as np

    from topwire.cli.showing import print_table
    from topwire.show.sheet import printed
    from topwire.show.weather_sheets import forecast as forecast_sheet
    from topwire.tell.reader import Reader
    from topwire.weather.forecast_kept import keep_own, kept_forecast
    from topwire.weather.online.bringing import now

    moment = now().replace(tzinfo=None)
    with _at(folder, writes=own is not None or not kept) as (plan, where):
        if own is not None:
            keep_own(folder, own, plan.place.latitude, plan.place.longitude, f"{moment.isoformat()}Z")
        elif not kept:
            _forecast(where, yes, contact)
        found = kept_forecast(folder)
        if found is None:
            remedy = "Get one: topwire weather forecast FOLDER"
            raise Faults([fault("weather/forecast", "holds no forecast.", remedy)])
        print_table(printed(forecast_sheet(found, np.datetime64(moment, "s")), Reader(plan.unit_system)))


@weather.command()
@_FOLDER
@click.option(
    "--days", type=click.IntRange(1, 400), default=14, show_default=True, help="So many days, the last ones."
)
def score(folder: Path, days: int) -> None:
    """What was forecast for the orchard in FOLDER, and what came; no service is asked.

    Forecasts that newer ones replaced stay in weather/forecast/earlier; the record says what came.
    """
    from topwire.cli.showing import print_table
    from topwire.engine.inputs import read_inputs
    from topwire.show.forecast_sheets import sheets
    from topwire.show.sheet import printed
    from topwire.tell.reader import Reader
    from topwire.weather.forecast_kept import told_so_far

    try:
        inputs = read_inputs(folder)
        told = told_so_far(folder)
        record = inputs.weather
    except Faults as found:
        raise Said(found.notices) from None
    made = sheets(told, record, last=days)
    for sheet in made:
        print_table(printed(sheet, Reader(inputs.plan.unit_system)))
    if not told:
        click.echo(f"No forecast was kept yet. Get one: topwire weather forecast {folder}")
    elif not made:
        click.echo(f"The record does not reach the days that were forecast: topwire weather update {folder}")


def _forecast(where: "Whereabouts", yes: bool, contact: str) -> None:
    """Bring the forecast: of the United States' service where it knows the place, of the second one elsewhere."""
    from topwire.weather.online.ahead import perhaps_in_the_states
    from topwire.weather.online.bringing import now
    from topwire.weather.online.journeys import bring_grid, bring_point, forecast_still_good
    from topwire.weather.online.services import GRID_AHEAD, POINT_AHEAD

    if forecast_still_good(where.folder, now()):
        click.echo("The kept forecast is still good; no service was asked.", err=True)
        return
    brought = None
    if perhaps_in_the_states(where.latitude, where.longitude):
        with _asking([GRID_AHEAD], yes, contact) as asker:
            brought = bring_grid(where, asker, now())
        if brought is None:
            click.echo(f"{GRID_AHEAD.host} does not know the place; a second service does.", err=True)
    if brought is None:
        with _asking([POINT_AHEAD], yes, contact) as asker:
            brought = bring_point(where, asker, now())
    if brought.outdated:
        click.echo("The service says that this way of asking will end: look for a newer topwire.", err=True)


def _stations(where: "Whereabouts", station: str = "") -> "WeatherService":
    """Whose stations are asked: the German service's in Germany, else the world's network."""
    from topwire.weather.online.german import PREFIX, in_germany
    from topwire.weather.online.services import GERMAN, STATIONS

    near = in_germany(where.latitude, where.longitude) if not station else station.startswith(PREFIX)
    return GERMAN if near else STATIONS


@contextmanager
def _at(folder: Path, *, writes: bool = True) -> "Iterator[tuple[Plan, Whereabouts]]":
    """The orchard, held where it is written; what goes wrong inside is told, with the exit code of who is at fault."""
    from topwire.engine.at_work import Busy, at_work
    from topwire.engine.inputs import PLAN_FILE
    from topwire.plan.read import parse_plan, read_plan_text
    from topwire.weather.online.asking import NoAnswer
    from topwire.weather.online.journeys import Whereabouts

    try:
        plan = parse_plan(read_plan_text(folder / PLAN_FILE), PLAN_FILE)
        place = plan.place
        with at_work(folder) if writes else nullcontext():
            yield plan, Whereabouts(folder, place.latitude, place.longitude, place.elevation)
    except Faults as found:
        raise Said(found.notices) from None
    except NoAnswer as none:
        if none.absent:
            raise Said([fault("weather", none.says, "Is the name right? What was kept stays.")]) from None
        raise Hindered(f"{none.says} What was kept stays as it was.") from None
    except Busy as busy:
        raise Hindered(f"another run is at work in {folder} ({busy.who}); wait for it to end.") from None
    except OSError as error:
        done = "written" if writes else "read"
        raise Hindered(f"{folder} cannot be {done}: {error.strerror or error}.") from None


@contextmanager
def _asking(services: "Sequence[WeatherService]", yes: bool, contact: str) -> "Iterator[Asker]":
    """Whoever may open the connection, after the person has been told to whom and what is sent."""
    from topwire.show.weather_lines import question
    from topwire.weather.online.asking import Asker, MissingExtra

    try:
        asker = Asker(contact=contact, progress=lambda says: click.echo(f"{says} ...", err=True))
    except MissingExtra:
        says = 'needs one more package, which opens the connection: pip install "topwire[online]"'
        raise Hindered(f"topwire weather {says}") from None
    except ValueError as error:
        raise Said([str(error)]) from None
    with asker:
        for line in question(services, contact):
            click.echo(line, err=True)
        if not yes:
            try:
                agreed = click.confirm("Go on?", err=True)
            except click.Abort:
                agreed = False
            if not agreed:
                raise Said([fault("weather", "nothing was asked.", "--yes goes on without asking.")])
        yield asker


def _look(plan: "Plan", where: "Whereabouts", asker: "Asker", *, fetching: bool = False) -> str:
    """Stations near, shown; the name of the best. Raises Faults where there is none."""
    from topwire.cli.showing import print_table
    from topwire.show.sheet import printed
    from topwire.show.weather_lines import verdict
    from topwire.show.weather_sheets import stations
    from topwire.tell.reader import Reader
    from topwire.weather.online.bringing import now
    from topwire.weather.online.journeys import look_for_stations

    looked = look_for_stations(where, asker, now())
    reader = Reader(plan.unit_system)
    if looked.candidates:
        print_table(printed(stations(looked.candidates), reader))
    for line in verdict(looked, str(where.folder), reader, bring=not fetching):
        click.echo(line)
    if not looked.candidates:
        says = "no station near enough measures both temperatures and still reports."
        raise Faults([fault("weather", says, "The grid cell’s record stands in: fetch FOLDER --cell")])
    return looked.candidates[0].station.station


def _tell(plan: "Plan", came: "Sequence[Came]") -> None:
    import numpy as np

    from topwire.show.weather_lines import what_came
    from topwire.tell.reader import Reader
    from topwire.weather.online.bringing import now

    for line in what_came(came, np.datetime64(now().date(), "D"), Reader(plan.unit_system)):
        click.echo(line)


def _whole_record(folder: Path, plan: "Plan") -> None:
    import numpy as np

    from topwire.show.weather_lines import whole_record
    from topwire.tell.reader import Reader
    from topwire.weather.online.bringing import now
    from topwire.weather.read import read_weather

    record = read_weather([folder / name for name in plan.weather.files], labels=plan.weather.files)
    for line in whole_record(record, np.datetime64(now().date(), "D"), Reader(plan.unit_system)):
        click.echo(line)


def _name(folder: Path, plan: "Plan", names: Sequence[str], yes: bool) -> None:
    """Write the files into the plan's list, where the person agrees and the list is written on one line."""
    from topwire.engine.inputs import PLAN_FILE
    from topwire.files.safely import write_safely
    from topwire.plan.naming import with_weather_file
    from topwire.plan.read import read_plan_text

    wanting = [name for name in names if name not in plan.weather.files]
    if not wanting:
        return
    text = before = read_plan_text(folder / PLAN_FILE)
    absent = frozenset(name for name in plan.weather.files if not (folder / name).exists())
    for name in wanting:
        text = with_weather_file(text, name, absent) or ""
    line = f"files: [{', '.join([*(one for one in plan.weather.files if one not in absent), *wanting])}]"
    if not text or not (yes or click.confirm(f"Name it in {PLAN_FILE} (weather, {line})?", err=True)):
        click.echo(f"Name it in {PLAN_FILE}, under weather: {line}")
        return
    write_safely(folder / f"{PLAN_FILE}.bak", before.encode())
    write_safely(folder / PLAN_FILE, text.encode())
    click.echo(f"{PLAN_FILE} now has, under weather: {line} (the plan before: {PLAN_FILE}.bak)")
    click.echo(f"Next: topwire check {folder}")
