"""The commands. Everything heavy is imported inside the command that needs it."""

import atexit
import gc
import os
import sys
from collections.abc import Iterable
from contextlib import closing, nullcontext
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from topwire import __version__
from topwire.cli.book import book
from topwire.cli.day import day
from topwire.cli.ending import Hindered, Said, ended, refused
from topwire.cli.guests import guests
from topwire.cli.learn import learn
from topwire.cli.many import many
from topwire.cli.note import note
from topwire.cli.protect import protect
from topwire.cli.records import records
from topwire.cli.season import cellar, week
from topwire.cli.serving import serve
from topwire.cli.weather import weather
from topwire.engine.collecting import seldom_collected
from topwire.values.fault import Faults, FileNotice, fault
from topwire.values.terms import MOST_TREES

if TYPE_CHECKING:
    from topwire.engine.delivery import Delivery, NotWritten
    from topwire.engine.orchard import Orchard
    from topwire.export.ahead import FilesAhead
    from topwire.tell.words import Told

CORE = ("place", "ground", "choice", "layout")  # without these there is no plan to write


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="topwire")
def main() -> None:
    """Plan a farm kitchen's own apple orchard: from the place's weather and the kitchen's needs to a
    planted field, its trellis and water, and the fruit of every week.

    Start with: topwire new my-orchard --units us
    """
    atexit.register(gc.freeze)  # what is held at the end need not be looked through once more
    # Matrices are small here: threads that share one out mostly wait for each other.
    os.environ.setdefault("OMP_NUM_THREADS", "1")


main.add_command(learn)
main.add_command(note)
main.add_command(records)


@main.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--units", type=click.Choice(["us", "metric"]), help="Units to write in; us if not said.")
@click.option("--example", help="Copy a shipped example instead: see the list with --example list.")
def new(folder: Path, units: str | None, example: str | None) -> None:
    """Make FOLDER with a commented starter plan (or a copy of an example)."""
    from topwire.plan import starter

    if example == "list":
        for name, says in starter.examples():
            click.echo(f"{name:19} {says}")
        return
    if example and units:
        says = "an example stays in the units it was written in."
        raise Said([fault("--units", says, f"Leave it out, and write units: {units} into its plan.yaml.")])
    with ended(folder):
        if example:
            from topwire.engine.example import new_example

            made = new_example(example, folder)
        else:
            made = starter.write_starter(folder, units or "us")
    for path in made:
        click.echo(f"wrote {path}")
    if example:
        click.echo(f"Next: topwire plan {folder}")
    else:
        click.echo(
            f"Next: say in {folder / 'plan.yaml'} where the orchard lies (latitude, longitude, elevation)."
        )
        click.echo(f"Then its weather: topwire weather fetch {folder} brings a near station's record,")
        click.echo(f"or put a file of your own into {folder / 'weather'} and name it in the plan.")
        click.echo(f"Then: topwire check {folder}")


@main.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--years", is_flag=True, help="Also how well each year of the weather record is covered.")
def check(folder: Path, years: bool) -> None:
    """Tell every fault in plan, weather and catalogue, with file, line and field.

    Where there is none, every department is asked, so that a plan found good is one that ends. The answers
    are kept, and `topwire plan` takes them.
    """
    from topwire.cli.writing import hash_of, standing_out
    from topwire.engine.check import check_folder, rehearse

    checked = check_folder(folder)
    inputs = checked.inputs
    if inputs is None:
        raise refused(checked.units, checked.faults)
    _tell(checked.notices)
    record = inputs.weather
    click.echo(
        f"{inputs.plan.name}: plan, catalogue and weather can be used "
        f"({record.day[0]} to {record.day[-1]}, {int(record.filled.sum())} days filled by rule)."
    )
    for credit in inputs.weather_credits:
        click.echo(credit)
    said = standing_out(folder, hash_of(inputs.plan_text))
    if said:
        click.echo(said)
    if years:
        from topwire.cli.showing import show_record

        show_record(record, checked.units)
    absent = rehearse(inputs, lambda message: click.echo(message, err=True))
    if absent:
        raise refused(inputs.plan.unit_system, absent)
    click.echo("Every department can answer: `topwire plan` ends.")


@main.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="The whole result on stdout, nothing else there.")
@click.option("--with", "with_", multiple=True, metavar="CULTIVAR", help="What if this one had to be there?")
@click.option("--without", multiple=True, metavar="CULTIVAR", help="What if this one were left out?")
@click.option("--trees", type=click.IntRange(1, MOST_TREES), help="What if the orchard had so many trees?")
@click.option(
    "--set",
    "settings",
    multiple=True,
    metavar="SETTING=VALUE",
    help="What if this setting were so? taste.most_cultivars=20, “kitchen.needs[1].amount=30 lb/week”.",
)
@click.option("--keep", metavar="NAME", help="Of a what-if: keep it as a trial under NAME, for the pages.")
@click.option("--fresh", is_flag=True, help="Compute every step again, kept answers or not.")
@seldom_collected()
def plan(
    folder: Path,
    as_json: bool,
    with_: tuple[str, ...],
    without: tuple[str, ...],
    trees: int | None,
    settings: tuple[str, ...],
    keep: str | None,
    fresh: bool,
) -> None:
    """Run every step of the plan in FOLDER and write FOLDER/out.

    With --with, --without, --trees or --set nothing is written: the choice is made again under these
    changes, all at once, and set beside the plan's own. Of all plantings as good the one nearest to the
    plan is shown.
    """
    from topwire.engine.beside import FILES, PROOF, WEIGHING, Ready
    from topwire.engine.state import changed_since, seen

    what_if = bool(with_ or without or trees or settings)
    if fresh and what_if:
        raise click.UsageError("--fresh computes the plan again, a what-if leaves it: give one of them.")
    if keep is not None:  # before anything is searched, and lest an ordinary run be taken for what was asked
        from topwire.engine.shelf import Otherwise, can_be_kept

        with ended(folder):
            can_be_kept(keep, Otherwise(settings, with_, without, trees))
    # While the program reads its own modules, others read those of the works beside: there is something to do.
    runs = not what_if and (fresh or changed_since(folder))
    ready = Ready(((WEIGHING, PROOF) if as_json else (WEIGHING, PROOF, FILES)) if runs else ())
    from topwire.engine.recall import remember, remember_coming, standing

    stands = None if runs or as_json or what_if else standing(folder)
    if stands is not None:
        _told_of(folder, *stands)
        return
    from topwire.cli.live import looked_on
    from topwire.engine.at_work import Busy, at_work
    from topwire.engine.delivery import NotWritten
    from topwire.engine.inputs import read_inputs
    from topwire.engine.orchard import CannotPlan
    from topwire.engine.run import plan_orchard
    from topwire.export.ahead import FilesAhead

    try:
        inputs = read_inputs(folder)
        if what_if:
            from topwire.engine.store import as_json as to_json
            from topwire.engine.what_if import compare
            from topwire.show.what_if_lines import lines_of
            from topwire.tell.reader import Reader

            found = compare(
                inputs, settings=settings, with_=with_, without=without, trees=trees,
                progress=lambda message: click.echo(message, err=True),
            )  # fmt: skip
            reader = Reader(inputs.plan.unit_system)
            click.echo(to_json(found) if as_json else "\n".join(lines_of(found, reader)))
            if keep is not None:
                from topwire.engine.shelf import Otherwise, keep_trial

                keep_trial(folder, keep, Otherwise(settings, with_, without, trees), found)
            return
        with at_work(folder), nullcontext() if as_json else closing(FilesAhead(ready.taken(FILES))) as ahead:
            was = seen(folder, inputs.named_files)
            with looked_on() as run:

                def came(so_far: "Orchard") -> None:
                    remember_coming(folder, so_far)
                    run.came(so_far)
                    if ahead is not None:
                        ahead.begin(so_far)

                orchard = plan_orchard(inputs, progress=run.says, fresh=fresh, came=came, ready=ready)
            remember(folder, orchard, was)
            _deliver(orchard, folder, ahead)
    except Faults as faults:
        raise Said(faults.notices) from None
    except CannotPlan as reasons:
        raise refused(inputs.plan.unit_system, reasons.notices) from None
    except Busy as busy:
        raise Hindered(f"another run is at work in {folder} ({busy.who}); wait for it to end.") from None
    except NotWritten as failed:
        raise Hindered(_not_written(failed)) from None
    except OSError as error:
        raise Hindered(f"{folder} cannot be written: {error.strerror or error}.") from None
    finally:
        ready.stop()


def _deliver(orchard: "Orchard", folder: Path, ahead: "FilesAhead | None") -> None:
    """What the plan came to: as JSON where no files are made, else into out/ with the decisions it asks for."""
    from topwire.engine.orchard import CannotPlan
    from topwire.values.notice import Severity

    absent = orchard.absent
    if any(name in CORE for name in absent):
        grave = [notice for notice in orchard.notices if str(notice.severity) == Severity.FAULT]
        raise CannotPlan(tuple(grave or orchard.notices))
    if ahead is None:
        from topwire.engine.store import as_json as to_json

        click.echo(to_json(orchard))
    else:
        from topwire.cli.writing import write_out

        click.echo("writing out/", err=True)
        ahead.begin(orchard)
        _told_of(folder, orchard, write_out(orchard, folder, ahead))
    if absent:
        click.echo(f"Not computed: {', '.join(absent)}.", err=True)
        sys.exit(1)


def _told_of(folder: Path, orchard: "Orchard", delivery: "Delivery") -> None:
    """What is grave, and the plan in a few lines."""
    from topwire.cli.showing import summary
    from topwire.tell.reader import Reader
    from topwire.tell.speech import all_told
    from topwire.values.notice import Severity

    heavy = (Severity.FAULT, Severity.WARNING)
    told = all_told(orchard.all_notices(), Reader(orchard.origin.units))
    _tell(line for line in told if line.severity in heavy)
    for name in delivery.set_aside:
        click.echo(f"A file of out/ had been changed by hand; the changed one is kept as {name}.", err=True)
    for line in summary(orchard, folder, list(delivery.names)):
        click.echo(line)


def _not_written(failed: "NotWritten") -> str:
    what = (
        "Please report it."
        if failed.ours
        else "Look for space and rights, and close the file where it is open."
    )
    return f"{failed.name} could not be written: {failed.reason}. {what} out/ is as it was."


@main.command()
@click.argument("folder_or_table", metavar="[FOLDER] WHAT", nargs=-1, required=True)
@click.option("--json", "as_json", is_flag=True, help="All of it, as JSON.")
@click.option("--years", is_flag=True, help="place: bloom and harvest of every cultivar and year, as CSV.")
@click.option(
    "--this-week",
    type=click.Path(path_type=Path),
    metavar="FORECAST",
    help="water: hours to run from today on, by FORECAST, a weather file of this year so far and the days ahead.",
)
@click.option("--today", type=day, help="water: a day instead of today, as 2026-07-15.")
@click.option("--use", help="catalogue: only cultivars that serve this use.")
@click.option("--kind", help="catalogue: dessert, cooking, dual, cider, crab, or heritage.")
@click.option("--right", help="catalogue, rootstocks: free, licensed or unknown.")
def show(
    folder_or_table: tuple[str, ...],
    as_json: bool,
    years: bool,
    this_week: Path | None,
    today: date | None,
    use: str | None,
    kind: str | None,
    right: str | None,
) -> None:
    """Show a department's result (place, learning, ground, choice, press, layout, years, nursery, trellis, water, soil,
    ledger) of the orchard in FOLDER, or a table of the catalogue (catalogue, rootstocks, kitchen, yields)."""
    from topwire.cli.showing import show_department, show_table, show_this_week
    from topwire.engine.inputs import read_inputs
    from topwire.engine.orchard import CannotPlan

    folder = Path(folder_or_table[0]) if len(folder_or_table) > 1 else Path()
    what = folder_or_table[-1]
    listed = what in ("catalogue", "cultivars", "rootstocks", "kitchen", "yields")
    _fit(
        what,
        ("--use", use, listed, "catalogue"),
        ("--kind", kind, listed, "catalogue"),
        ("--right", right, listed, "catalogue"),
        ("--years", years, what.partition(".")[0] == "place", "place"),
        ("--this-week", this_week, what == "water", "water"),
        ("--today", today, what == "water" and this_week, "water --this-week FORECAST"),
        ("--json", as_json, not this_week, "water, without --this-week"),
    )
    try:
        if listed:
            show_table(folder, what, as_json=as_json, use=use, kind=kind, right=right)
        elif this_week:
            show_this_week(folder, this_week, today or date.today())
        else:
            show_department(folder, what, as_json=as_json, years=years)
    except Faults as found:
        raise Said(found.notices) from None
    except CannotPlan as reasons:
        raise refused(read_inputs(folder).plan.unit_system, reasons.notices) from None


def _fit(what: str, *options: tuple[str, object, object, str]) -> None:
    """Nothing where each option that is given goes with what is shown; what it goes with is the last of each."""
    for option, given, fits, goes in options:
        if given and not fits:
            raise Said([fault(option, f"does not go with `show {what}`.", f"It goes with `show {goes}`.")])


main.add_command(serve)


@main.command()
@click.argument("key", required=False)
@click.option("--checks", is_flag=True, help="Every check against the outside world instead.")
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
def sources(key: str | None, checks: bool, as_json: bool) -> None:
    """The bibliography, one source by its KEY, or (--checks) how our figures stand beside published ones (of KEY)."""
    from topwire.cli.showing import show_checks, show_sources

    try:
        (show_checks if checks else show_sources)(key, as_json=as_json)
    except Faults as found:
        raise Said(found.notices) from None


main.add_command(weather)


def _tell(notices: "Iterable[Told | FileNotice]") -> None:
    for notice in notices:
        click.echo(f"{notice.severity}: {notice}", err=True)


main.add_command(book)
main.add_command(week)
main.add_command(cellar)
main.add_command(protect)
main.add_command(guests)
main.add_command(many)
