"""`topwire many`: the same questions asked of many places at once, on this machine or on a cluster."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from topwire.cli.ending import Hindered, Said
from topwire.values.fault import Faults, fault

if TYPE_CHECKING:
    from topwire.many.run import ManyWanted


class _Within(click.FloatRange):
    """A range that also refuses what is no number: no bound compares with “nan”."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        number = super().convert(value, param, ctx)
        return number if number == number else self.fail(f"{value!r} is not a number.", param, ctx)


@click.command()
@click.argument("places", type=click.Path(path_type=Path))
@click.option(
    "--plan", "template", type=click.Path(path_type=Path),
    help="The plan all places of a table share: a file or folder.",
)  # fmt: skip
@click.option(
    "--out", type=click.Path(path_type=Path), required=True, help="Folder of the answers; a run goes on in it."
)  # fmt: skip
@click.option(
    "--until", type=click.Choice(["place"]), help="Only what suits where: weather, bloom, frost, harvest."
)
@click.option(
    "--grid", type=click.Path(path_type=Path), help="NetCDF file of daily weather; each worker reads its cells."
)  # fmt: skip
@click.option(
    "--workers", type=click.IntRange(1, 512), help="Processes of this machine; one a processor else."
)
@click.option(
    "--memory", type=_Within(0.5, 1e5), default=2.0, show_default=True, help="GB a process may take."
)
@click.option(
    "--scheduler", metavar="ADDRESS", help="Your own cluster instead: tcp://host:8786, tls://host:8786."
)
@click.option(
    "--tls-ca", type=click.Path(path_type=Path), help="Certificate authority of a tls:// address (PEM)."
)
@click.option("--tls-cert", type=click.Path(path_type=Path), help="Your certificate for it (PEM).")
@click.option("--tls-key", type=click.Path(path_type=Path), help="Its key (PEM).")
@click.option(
    "--serve-share", type=_Within(0.1, 1.0), default=0.9, show_default=True,
    help="Share of the places that the region's list of cultivars has to serve.",
)  # fmt: skip
@click.option(
    "--choices", type=click.IntRange(1, 20), default=3, show_default=True,
    help="Cultivars a place wants to choose from in each part of the season.",
)  # fmt: skip
def many(
    places: Path,
    template: Path | None,
    out: Path,
    until: str | None,
    grid: Path | None,
    workers: int | None,
    memory: float,
    scheduler: str | None,
    tls_ca: Path | None,
    tls_cert: Path | None,
    tls_key: Path | None,
    serve_share: float,
    choices: int,
) -> None:
    """Answer every place of PLACES: a CSV with one row a place, or a folder of orchards.

    Columns: id, latitude, longitude, elevation; weather (a file) or cell (of --grid); and any setting of
    the plan under its name, as place.gust. A row that cannot be answered is told with its reason and the
    others stand; the run ends with 2 then. Stopped or killed, it goes on where it was: start it again.
    """
    from topwire.engine.at_work import Busy, at_work
    from topwire.export.many_files import write_region
    from topwire.many.cluster import Workers, client_of
    from topwire.many.kept import WORK, KeptAnswers
    from topwire.many.run import run_places, to_do

    def progress(message: str) -> None:
        click.echo(message, err=True)

    try:
        wanted = _wanted(places, template, out, until, grid)
        out.mkdir(parents=True, exist_ok=True)
        kept = KeptAnswers(out)
        with at_work(out):
            kept.clear_half_written()
            todo, already = to_do(wanted, kept)
            progress(f"{len(todo):,} places to answer, {already:,} answered before")
            wrong = list(wanted.listed.wrong)
            if todo:
                who = Workers(
                    number=workers or 0,
                    scheduler=scheduler or "",
                    authority=str(tls_ca or ""),
                    certificate=str(tls_cert or ""),
                    key=str(tls_key or ""),
                    memory=int(memory * 1e9),
                )
                with client_of(who, out / WORK) as client:
                    wrong += run_places(wanted, todo, already, kept, client, progress).wrong
            progress("putting the answers together")
            for line in write_region(wanted, kept, wrong, serve_share, choices):
                click.echo(line)
    except Faults as faults:
        raise Said(faults.notices) from None
    except Busy as busy:
        raise Hindered(f"another run is at work in {out} ({busy.who}); wait for it to end.") from None
    except OSError as error:
        raise Hindered(f"{error.strerror or error}. What is answered is kept: start the run again.") from None
    if wrong:
        for one in sorted(wrong, key=lambda one: one.line)[:20]:
            click.echo(f"{one.id or '(no id)'}: {one.reason}", err=True)
        if len(wrong) > 20:
            click.echo(f"and {len(wrong) - 20:,} more: {out / 'not_answered.csv'}", err=True)
        sys.exit(1 if any(one.ours for one in wrong) else 2)


def _wanted(
    places: Path, template: Path | None, out: Path, until: str | None, grid: Path | None
) -> "ManyWanted":
    """What is asked, read and held against what can be. Raises Faults."""
    from topwire.many.listed import read_places
    from topwire.many.run import ManyWanted
    from topwire.many.template import read_template

    if not places.exists():
        raise Faults([fault(str(places), "there is no such file or folder.", "Name a CSV of places.")])
    listed = read_places(places)
    if places.is_dir() and template is not None:
        says = "orchards have plans of their own."
        raise Faults([fault("--plan", says, "Leave it out, or name a CSV of places.")])
    if not places.is_dir() and template is None:
        raise Faults(
            [fault("--plan", "the places of a table share a plan.", "Name a plan file or an orchard.")]
        )
    if grid is not None and not grid.exists():
        raise Faults([fault("--grid", f"there is no file “{grid}”.")])
    if any(place.cell for place in listed.places) and grid is None:
        raise Faults([fault("--grid", "the table names cells of a grid.", "Name its NetCDF file.")])
    return ManyWanted(
        listed,
        read_template(template) if template is not None else None,
        str(grid.resolve()) if grid is not None else "",
        until or "",
        out,
    )
