"""`topwire learn`: what the records teach, and having the plan follow it."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from topwire.cli.ending import Hindered, Said
from topwire.values.fault import Faults

if TYPE_CHECKING:
    from topwire.engine.learn import LearntFigures

_WHATS = click.Choice(["dates", "keeping", "hours", "yield"])


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--use", "used", multiple=True, type=_WHATS, help="Have the plan follow it from now on.")
@click.option(
    "--undo", "undone", multiple=True, type=_WHATS, help="Have the plan follow the catalogue again."
)
@click.option(
    "--try",
    "tried",
    multiple=True,
    type=_WHATS,
    help="Reckon what it would change in the plan; nothing is written.",
)
@click.option(
    "--choose", is_flag=True, help="With --try: have the choice asked, too, what it would plant today."
)
@click.option("--json", "as_json", is_flag=True, help="All of it, as JSON.")
def learn(
    folder: Path,
    used: tuple[str, ...],
    undone: tuple[str, ...],
    tried: tuple[str, ...],
    choose: bool,
    as_json: bool,
) -> None:
    """Show what the records of FOLDER teach: how long fruit keeps, hours of tasks, what the trees bear.

    Each figure stands beside the catalogue's, moved only as far as what was seen is sure, with how far both
    missed years not learnt from; --try reckons what one would change in the plan. Dates of bloom and picking:
    topwire show FOLDER learning.
    """
    from topwire.cli.showing import print_table
    from topwire.engine import learn as learning
    from topwire.engine.orchard import CannotPlan
    from topwire.engine.store import as_json as to_json
    from topwire.show.figures_sheets import sheets
    from topwire.show.sheet import printed
    from topwire.tell.reader import Reader

    try:
        if undone:
            for line in learning.unuse(folder, undone) or ["The plan followed none of it."]:
                click.echo(line)
        found = learning.learn(folder)
        if used:
            for line in learning.use(folder, used, found):
                click.echo(line)
            woken = learning.would_wake(folder)
            if woken:
                click.echo(f"It changes what is asked of: {', '.join(woken)}; and what hangs on them.")
            click.echo(f"Next: topwire plan {folder}")
        if tried:
            _try(folder, tried, found, choose)
        if used or undone or tried:
            return
        if as_json:
            click.echo(to_json(found))
            return
        reader = Reader(found.units)
        for sheet in sheets(found.figures, found.used, found.left_out):
            print_table(printed(sheet, reader))
        if not found.figures:
            click.echo("The records teach nothing of keeping, hours or crop yet: note picks, lots and work.")
        if found.figures and found.planned:
            click.echo(
                f"What using one changes: topwire learn {folder} --try keeping, hours, yield or dates."
            )
        if not found.planned:
            click.echo("What trees bear is held against the plan: run topwire plan first.")
    except (Faults, CannotPlan) as reasons:
        raise Said(reasons.notices) from None
    except OSError as error:
        raise Hindered(f"{folder} cannot be written: {error.strerror or error}.") from None


def _try(folder: Path, tried: tuple[str, ...], found: "LearntFigures", choose: bool) -> None:
    """What the figures would change, beside the plan."""
    from topwire.cli.showing import print_table
    from topwire.engine.tried import try_figures
    from topwire.show.sheet import printed
    from topwire.show.tried_sheets import sheets
    from topwire.show.what_if_lines import lines_of
    from topwire.tell.reader import Reader

    result = try_figures(
        folder, tried, found, choose=choose, progress=lambda line: click.echo(line, err=True)
    )
    reader = Reader(found.units)
    made = sheets(result, reader)
    for sheet in made:
        print_table(printed(sheet, reader))
    if not made:
        click.echo("Nothing in the plan would change by it.")
    if result.chosen is not None:
        click.echo("What would be planted today, by your records:")
        for line in lines_of(result.chosen, reader):
            click.echo(line)
    click.echo(f"To have the plan follow it: topwire learn {folder} --use {' --use '.join(tried)}")
